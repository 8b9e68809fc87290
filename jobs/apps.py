from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_migrate, pre_migrate


class JobsConfig(AppConfig):
    name = "jobs"

    def ready(self) -> None:
        # Our only signals (docs/decisions/database-guards.md): no other place hears of every migrate.
        pre_migrate.connect(_step_aside, sender=self)
        post_migrate.connect(_install, sender=self)


def _step_aside(using: str, plan: list, **_: Any) -> None:
    from jobs import guards  # noqa: PLC0415 -- needs the apps

    if plan:
        guards.remove(using)


def _install(using: str, **_: Any) -> None:
    from jobs import guards  # noqa: PLC0415 -- needs the apps

    guards.install(using)
