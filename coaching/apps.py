from django.apps import AppConfig


class CoachingConfig(AppConfig):
    name = "coaching"

    def ready(self) -> None:
        from coaching import checks  # noqa: F401, PLC0415 -- registers them
