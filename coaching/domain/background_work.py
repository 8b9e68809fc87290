"""What a practice's owner sees of background work: what was set aside, in words, and nothing of anybody."""

import datetime
import re
from dataclasses import dataclass

from django.db.models import Count, F, Max, OuterRef, Q, Subquery
from django.utils.translation import gettext as _

from clients.models import Membership, User
from jobs import registry
from jobs.choices import JobState
from jobs.errors import UnknownTask
from jobs.models import Job, JobQuerySet
from jobs.setting_aside import DIED

# Of the whole installation, what is older was noticed or does not matter any more.
SHOWN_FOR = datetime.timedelta(days=7)
KIND_AND_PLACE = re.compile(r"(?P<kind>\w+)(?: at \S+:\d+)?")


def jobs_for(user: User) -> JobQuerySet:
    """Jobs of the practices this person owns. No owner, and no coach, sees another practice's."""
    owned = Membership.objects.of(user).owners()
    return Job.objects.filter(practice_id__in=owned.values("practice"))


def count_undone(user: User) -> int:
    """Set aside, and not yet seen by an owner."""
    return jobs_for(user).set_aside().filter(seen_at=None).count()


@dataclass(frozen=True)
class Trouble:
    """A kind of work for all practices together that failed lately."""

    label: str
    count: int
    last_at: datetime.datetime
    is_regular: bool


def trouble_for_all(*, at: datetime.datetime) -> list[Trouble]:
    """Failures that are no practice's own. Regular work that has been done since is in order again."""
    done = Job.objects.filter(name=OuterRef("name"), state=JobState.DONE, practice_id=None).order_by("-finished_at")
    failed = (
        Job.objects.set_aside()
        .filter(practice_id=None, finished_at__gte=at - SHOWN_FOR)
        .annotate(done_at=Subquery(done.values("finished_at")[:1]))
        .filter(Q(period="") | Q(done_at=None) | Q(done_at__lt=F("finished_at")))
        .order_by("name")
    )
    rows = failed.values("name").annotate(count=Count("pk"), last_at=Max("finished_at"), period=Max("period"))
    return [Trouble(label_of(row["name"]), row["count"], row["last_at"], bool(row["period"])) for row in rows]


def label_of(name: str) -> str:
    try:
        return str(registry.find(name).label)
    except UnknownTask:
        return _("Work that this version does not know")


def reason_in_words(error: str) -> str:
    """Why a job was set aside, for people. An error's kind says enough; its text was never stored."""
    if error == DIED:
        return _("The process that worked on it ended each time before it could finish.")
    match = KIND_AND_PLACE.fullmatch(error)
    return error if match is None else _kind_in_words(match["kind"])


def _kind_in_words(kind: str) -> str:
    if kind.startswith("SMTP"):
        return _("The mail server did not take the letter.")
    known = {
        "OSError": _("A file could not be read or written. Is there room on the disk?"),
        "PermissionError": _("A file may not be read or written by Purlin."),
        "FileNotFoundError": _("A file or a program that is needed is not there."),
        "MemoryError": _("There was not enough memory."),
        "TimeoutExpired": _("It took longer than it may take."),
        "OperationalError": _("The database could not be reached, or was busy for too long."),
        "InterfaceError": _("The database could not be reached, or was busy for too long."),
        "ConnectionRefusedError": _("Another server refused the connection."),
        "ConnectionResetError": _("Another server broke the connection off."),
        "TimeoutError": _("Another server did not answer in time."),
        "gaierror": _("Another server was not found by its name."),
        "StorageUnavailable": _("The storage of the clips could not be reached."),
        "DoesNotExist": _("What it was about is not there any more."),
        "UnknownTask": _("This version of Purlin does not know this kind of work."),
    }
    return known.get(kind) or _("Something went wrong in Purlin itself. Trying again may not help.")
