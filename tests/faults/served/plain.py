"""The contrast: the same work as tasks of Celery alone, with the settings that are meant to lose nothing."""

import os
from pathlib import Path

from celery import Celery, Task
from django.conf import settings

from coaching.celery import transport_options

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.faults.served.settings")

app = Celery("plain", set_as_current=False, broker=settings.CELERY_BROKER_URL)
app.conf.update(
    task_default_queue="plain",
    task_acks_late=True,
    task_reject_on_worker_lost=True,
    worker_prefetch_multiplier=1,
    task_ignore_result=True,
    task_serializer="json",
    accept_content=["json"],
    worker_enable_remote_control=False,
    broker_connection_retry_on_startup=True,
    broker_transport_options=transport_options(settings.CELERY_BROKER_URL, Path(settings.BROKER_FOLDER) / "plain")
    | ({"global_keyprefix": "plain"} if settings.CELERY_BROKER_URL.startswith("redis") else {}),
)


def _leave_effect(asked: str) -> None:
    from django.utils import timezone  # noqa: PLC0415

    from tests.faults.served.models import PlainEffect  # noqa: PLC0415 -- the apps are ready by now

    PlainEffect.objects.create(asked=asked, at=timezone.now())


def _work_for(seconds: float) -> None:
    from tests.faults.served.tasks import work_for  # noqa: PLC0415

    work_for(seconds)


@app.task(name="plain.short")
def short(asked: str) -> None:
    _work_for(settings.SHORT_SECONDS)
    _leave_effect(asked)


@app.task(name="plain.long")
def long(asked: str) -> None:
    _work_for(settings.LONG_SECONDS)
    _leave_effect(asked)


@app.task(name="plain.fails_twice", bind=True, max_retries=60)
def fails_twice(self: Task, asked: str) -> None:
    _work_for(settings.SHORT_SECONDS)
    if self.request.retries < 2:
        raise self.retry(countdown=10 * 2**self.request.retries)
    _leave_effect(asked)


TASKS = {"short": short, "long": long, "fails_twice": fails_twice}
