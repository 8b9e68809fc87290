"""Opening a warning sign: whoever does it first is kept, and until then it goes on waking people."""

import datetime

from clients.models import Client, RedFlagReport, User

REPORTS_SHOWN = 10


def open_warning_signs(client: Client, *, by: User, at: datetime.datetime) -> int:
    """Note who opened the reports that wait, and when; one that somebody else has opened keeps its name."""
    return RedFlagReport.objects.of(client).filter(erased_at=None, seen_at=None).update(seen_by=by, seen_at=at)


def waiting_warning_signs(client: Client) -> list[RedFlagReport]:
    """Those that nobody has opened yet, the newest first."""
    return list(RedFlagReport.objects.of(client).filter(erased_at=None, seen_at=None).order_by("-reported_at"))


def opened_warning_signs(client: Client) -> list[RedFlagReport]:
    """The newest that were opened, and every one that still locks."""
    told = RedFlagReport.objects.of(client).filter(erased_at=None).exclude(seen_at=None).order_by("-reported_at")
    reports = enumerate(told.select_related("seen_by"))
    return [report for n, report in reports if n < REPORTS_SHOWN or (report.locks and report.lifted_by_id is None)]
