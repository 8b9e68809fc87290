"""Whether this process lives, and whether the house is ready for people. Neither tells anything about them."""

import datetime
import shutil
from collections.abc import Callable

from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from jobs import guards
from jobs.choices import ProcessKind
from jobs.clock import database_now
from jobs.models import Heartbeat

LONGEST_SILENCE = datetime.timedelta(seconds=60)
NEEDED_BYTES = 1024**3 // 4


@never_cache
@require_safe
def livez(request: HttpRequest) -> HttpResponse:
    return HttpResponse("ok", content_type="text/plain")


@never_cache
@require_safe
def readyz(request: HttpRequest) -> JsonResponse:
    results = {name: _answer(check) for name, check in CHECKS.items()}
    ready = all(result["ok"] for result in results.values())
    return JsonResponse({"ready": ready, "checks": results}, status=200 if ready else 503)


def _answer(check: Callable[[], str]) -> dict[str, object]:
    try:
        why = check()
    except (DatabaseError, OSError) as error:
        why = type(error).__name__
    return {"ok": not why, "why": why or "ok"}


def database() -> str:
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return ""


def migrations() -> str:
    executor = MigrationExecutor(connection)
    missing = executor.migration_plan(executor.loader.graph.leaf_nodes())
    return f"{len(missing)} not applied" if missing else ""


def disk() -> str:
    free = shutil.disk_usage(settings.VAR).free
    return f"{free // 1024**2} MB free" if free < NEEDED_BYTES else ""


def sweep() -> str:
    return _silence(ProcessKind.SCHEDULER)


def worker() -> str:
    return _silence(ProcessKind.WORKER)


def database_guards() -> str:
    missing = guards.expected_triggers() - guards.installed_triggers()
    return f"{len(missing)} missing" if missing else ""


def _silence(kind: ProcessKind) -> str:
    beat = Heartbeat.objects.filter(kind=kind).first()
    if beat is None:
        return "never seen"
    silent = database_now() - beat.seen_at
    return f"silent for {silent.total_seconds():.0f} s" if silent > LONGEST_SILENCE else ""


CHECKS = {
    "database": database,
    "migrations": migrations,
    "disk": disk,
    "sweep": sweep,
    "worker": worker,
    "guards": database_guards,
}
