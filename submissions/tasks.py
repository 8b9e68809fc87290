"""Background work of the submissions' room."""

import datetime

from django.utils import timezone
from django.utils.translation import gettext_lazy as _

import jobs


# A full disk or a missing tool is mended by people: keep trying for some hours.
@jobs.task("submissions.process_clip", label=_("Preparing a clip for review"), max_attempts=12)
def process_clip(clip_id: int) -> None:
    from submissions.domain import processing  # noqa: PLC0415 -- task

    processing.process_clip(clip_id, now=timezone.now)


@jobs.task("submissions.process_demonstration", label=_("Preparing a demonstration clip"), max_attempts=12)
def process_demonstration(demonstration_id: int) -> None:
    from submissions.domain import demonstrations  # noqa: PLC0415 -- task

    demonstrations.process_demonstration(demonstration_id, now=timezone.now)


@jobs.periodic(
    "submissions.sweep_files", label=_("Clearing away files that nothing needs"), every=datetime.timedelta(minutes=15)
)
def sweep_files() -> None:
    from submissions.domain import sweeping  # noqa: PLC0415 -- task

    sweeping.sweep_files(at=timezone.now())


@jobs.periodic(
    "submissions.raise_lanes", label=_("Keeping the review queue in order"), every=datetime.timedelta(minutes=10)
)
def raise_lanes() -> None:
    from submissions.domain import queueing  # noqa: PLC0415 -- task

    queueing.raise_all_lanes(at=timezone.now())


@jobs.periodic(
    "submissions.erase_withdrawn_clips",
    label=_("Erasing clips after a withdrawn consent"),
    every=datetime.timedelta(minutes=5),
)
def erase_withdrawn_clips() -> None:
    from submissions.domain import withdrawal  # noqa: PLC0415 -- task

    withdrawal.erase_withdrawn_clips(at=timezone.now())


@jobs.periodic(
    "submissions.request_reminders",
    label=_("Looking for check-ins that nobody has told yet"),
    every=datetime.timedelta(minutes=30),
)
def request_reminders() -> None:
    from submissions.domain import checking_in  # noqa: PLC0415 -- task

    checking_in.request_reminders(at=timezone.now())


@jobs.task("submissions.remind_check_in", label=_("Reminding a client of the weekly check-in"))
def remind_check_in(client_id: int, week: str, kind: str) -> None:
    from submissions.domain import checking_in  # noqa: PLC0415 -- task

    checking_in.remind(client_id, datetime.date.fromisoformat(week), at=timezone.now())
