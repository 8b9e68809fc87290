"""The sweep: whatever a lost message, a dead worker or a long sleep left behind is found in the rows."""

import contextlib
import datetime
import time
from pathlib import Path

from django.conf import settings
from django.db import transaction
from django.db.models import Max, Q

from jobs import registry
from jobs.choices import JobState, ProcessKind
from jobs.models import Heartbeat, Job
from jobs.periods import Period
from jobs.requests import hint
from jobs.setting_aside import set_aside_exhausted

HINT_AGAIN_AFTER = datetime.timedelta(seconds=20)
HINTS_PER_SWEEP = 200
# Of those hinted before only the first in line: enough for every worker, and a long queue does not fill the broker.
REPEATED_FOR = 50


def sweep(*, at: datetime.datetime, everything: bool = False) -> int:
    """Set aside what is exhausted, create what is scheduled, hint what waits. Returns the number of hints sent.

    A worker that starts sweeps `everything`: the hints its predecessor held are gone.
    """
    set_aside_exhausted(at=at)
    create_scheduled(at=at)
    sent = hint_waiting(at=at, everything=everything)
    clear_delivered_hints()
    return sent


def create_scheduled(*, at: datetime.datetime) -> None:
    for task in registry.every_task():
        if task.schedule is not None:
            _create_period(task, task.schedule.latest(at))


def _create_period(task: registry.Task, period: Period) -> None:
    key, starts = period
    if Job.objects.filter(name=task.name, period=key).exists():
        return
    with transaction.atomic():
        _, created = Job.objects.get_or_create(
            name=task.name, period=key, defaults={"run_at": starts, "max_attempts": task.max_attempts}
        )
        if created:
            waiting = Job.objects.filter(name=task.name, state=JobState.QUEUED, run_at__lt=starts)
            waiting.exclude(period="").delete()


def hint_waiting(*, at: datetime.datetime, everything: bool = False) -> int:
    waiting = Job.objects.claimable(at)
    fresh = waiting if everything else waiting.filter(hinted_at=None)
    first_in_line = waiting.values_list("pk", "hinted_at")[:REPEATED_FOR]
    repeated = [pk for pk, hinted_at in first_in_line if hinted_at and hinted_at <= at - HINT_AGAIN_AFTER]
    ids = dict.fromkeys([*repeated, *fresh.values_list("pk", flat=True)[:HINTS_PER_SWEEP]])
    sent = [job_id for job_id in ids if hint(job_id)]
    with transaction.atomic():
        # A row that somebody holds is being started or joined. To wait for it could be to wait for each other.
        ours = Job.objects.claimable(at).filter(pk__in=sent).select_for_update(skip_locked=True)
        Job.objects.filter(pk__in=[job.pk for job in ours]).update(hinted_at=at)
    return len(sent)


def clear_delivered_hints() -> None:
    """The filesystem broker keeps every message it has delivered."""
    # By change of name: one that was delivered a moment ago is still to be read.
    old = time.time() - 60
    for message in Path(settings.BROKER_FOLDER, "delivered").glob("*.msg"):
        with contextlib.suppress(FileNotFoundError):
            if message.stat().st_ctime < old:
                message.unlink()


def remove_old(*, at: datetime.datetime) -> int:
    """Forget finished jobs: what was done after a month, what is scheduled after two days, what was set
    aside after three months.

    The newest of a scheduled task stays: without it, its period would be created again. What was set aside and is a
    practice's business stays until somebody has seen it.
    """
    newest = Job.objects.exclude(period="").values("name").annotate(newest=Max("pk")).values("newest")
    failed = Q(state=JobState.FAILED, finished_at__lt=at - datetime.timedelta(days=90))
    failed &= Q(practice_id=None) | Q(seen_at__isnull=False)
    done = Q(state=JobState.DONE, finished_at__lt=at - datetime.timedelta(days=30))
    scheduled = Q(state=JobState.DONE, finished_at__lt=at - datetime.timedelta(days=2)) & ~Q(period="")
    return Job.objects.filter(failed | done | scheduled).exclude(pk__in=newest).delete()[0]


def beat(kind: ProcessKind, *, at: datetime.datetime) -> None:
    """Leave a sign of life."""
    if not Heartbeat.objects.filter(kind=kind).update(seen_at=at):
        Heartbeat.objects.get_or_create(kind=kind, defaults={"seen_at": at})
