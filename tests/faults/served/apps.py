from django.apps import AppConfig


class FaultsConfig(AppConfig):
    name = "tests.faults.served"
    label = "faults"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from tests.faults.served import clock  # noqa: PLC0415 -- the settings are read by now

        clock.install()
