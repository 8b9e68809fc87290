"""Django's system checks: what only the disk and the database tell. Before them stands coaching.configuration."""

import os
from collections.abc import Callable
from typing import Any

from django.core.checks import CheckMessage, Error, Tags, Warning, register

from coaching import configuration
from coaching.serving import checks


@register("purlin")
def folder_is_private(app_configs: Any, **_: Any) -> list[CheckMessage]:
    return _errors(checks.check_private_folder, "purlin.E001")


@register(Tags.database)
def no_demo_accounts(app_configs: Any, databases: Any = None, **_: Any) -> list[CheckMessage]:
    """Asked by `migrate`, and by `check --database default`."""
    return _errors(checks.check_no_demo_people, "purlin.E002") if databases else []


@register("purlin", deploy=True)
def nothing_surprises(app_configs: Any, **_: Any) -> list[CheckMessage]:
    return [Warning(doubt, id="purlin.W001") for doubt in configuration.doubts(os.environ)]


def _errors(check: Callable[[], None], name: str) -> list[CheckMessage]:
    try:
        check()
    except checks.Refused as refused:
        return [Error(str(refused), id=name)]
    return []
