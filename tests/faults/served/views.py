"""Asking for work by HTTP, as the product does it, and looking at what came of it."""

from typing import Any

from django.db import transaction
from django.db.models import Max
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_POST

import jobs
from jobs.choices import JobState
from jobs.models import Heartbeat, Job
from tests.faults.served import plain
from tests.faults.served.models import Asked, Effect, PlainEffect, Run, Told


@csrf_exempt
@require_POST
def ask(request: HttpRequest) -> HttpResponse:
    """The cause and the job in one transaction. Asked twice with the same uuid, it happens once."""
    uuid, kind = request.POST["uuid"], request.POST["kind"]
    with transaction.atomic():
        if kind == "again":
            topic = int(request.POST["topic"])
            Told.objects.get_or_create(uuid=uuid, defaults={"topic": topic})
            jobs.ensure("faults.again", topic)
        else:
            _, is_new = Asked.objects.get_or_create(uuid=uuid, defaults={"kind": kind})
            jobs.request(f"faults.{kind}", uuid, key=f"faults {uuid}")
            if is_new and kind in plain.TASKS:
                transaction.on_commit(lambda: plain.TASKS[kind].apply_async((uuid,), retry=False), robust=True)
    return HttpResponse(status=201)


@require_GET
def unfinished(request: HttpRequest) -> JsonResponse:
    ours = Job.objects.filter(name__startswith="faults.", period="")
    asked = Asked.objects.filter(kind__in=plain.TASKS).count()
    return JsonResponse(
        {
            "jobs": ours.filter(state__in=[JobState.QUEUED, JobState.RUNNING]).count(),
            "plain": asked - PlainEffect.objects.values("asked").distinct().count(),
        }
    )


@require_GET
def running(request: HttpRequest) -> JsonResponse:
    """The processes that are in the middle of a job, as far as the ledger knows."""
    under_way = Job.objects.filter(state=JobState.RUNNING).values("uuid")
    return JsonResponse(
        {"pids": list(Run.objects.filter(ended_at=None, job__in=under_way).values_list("pid", flat=True))}
    )


@require_GET
def signs(request: HttpRequest) -> JsonResponse:
    """When worker and scheduler were last seen alive."""
    return JsonResponse({beat.kind: beat.seen_at for beat in Heartbeat.objects.all()})


@require_GET
def state(request: HttpRequest) -> JsonResponse:
    jobs_of_ours = Job.objects.filter(name__startswith="faults.")
    told = Told.objects.values("topic").annotate(newest=Max("pk"))
    return JsonResponse(
        {
            "jobs": _rows(
                jobs_of_ours,
                "uuid",
                "name",
                "args",
                "period",
                "state",
                "attempts",
                "run_at",
                "finished_at",
                "last_error",
            ),
            "runs": _rows(Run.objects.order_by("pk"), "pk", "job", "started_at", "ended_at", "error"),
            "effects": _rows(Effect.objects.order_by("pk"), "job", "run_id", "at", "topic", "seen"),
            "plain": _rows(PlainEffect.objects.order_by("pk"), "asked"),
            "told": _rows(told, "topic", "newest"),
        }
    )


def _rows(queryset: Any, *names: str) -> list[dict[str, Any]]:
    return list(queryset.values(*names))
