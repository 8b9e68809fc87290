"""What a report of pain still asks of the client, in which order, and what each answer makes of it."""

import datetime

from django.db.models import Q

from clients.choices import PainQuestion
from clients.domain.pain import may_be_soreness, owes_warning_signs, tell_again
from clients.library.words import FIRST_WEEK, PAIN, SORENESS_WORDS, UNFINISHED, PainWords
from clients.models import Client, PainReport, RedFlagReport, User
from methods.pain import PainAction

# Older reports speak no more about what is done next; nobody is asked about them again.
LOOK_BACK = datetime.timedelta(days=14)
# Rated, with its warning signs asked.
OWES_NOTHING = Q(flags_asked=True, during__isnull=False)


def next_question(report: PainReport) -> PainQuestion | None:
    """Warning signs first; then whether it is usual soreness; then how much. None when nothing more is asked today."""
    if owes_warning_signs(report) and not _is_locked(report.client):
        return PainQuestion.WARNING_SIGNS
    if report.is_soreness or report.during is not None or report.action == PainAction.STOP_REFER:
        return None
    is_unasked = report.said_soreness is None and may_be_soreness(report)
    return PainQuestion.SORENESS if is_unasked else PainQuestion.HOW_MUCH


def _is_locked(client: Client) -> bool:
    return RedFlagReport.objects.of(client).locking().exists()


def awaiting_answers(client: Client, *, on: datetime.date) -> list[tuple[PainReport, PainQuestion]]:
    """Reports of the last two weeks that were left half-way, each with what it asks next, newest first."""
    told = PainReport.objects.pains().filter(client=client, on__gt=on - LOOK_BACK).exclude(OWES_NOTHING)
    asking = [(report, next_question(report)) for report in told.select_related("client").order_by("-on", "-pk")]
    return [(report, question) for report, question in asking if question is not None]


def answer_warning_sign_ticked(report: PainReport, *, by: User, at: datetime.datetime) -> PainReport:
    """A warning sign was kept (clients.domain.screening.report_red_flags): the table answers again, knowing it."""
    return tell_again(report, by=by, at=at)


def answer_no_warning_sign(report: PainReport, *, by: User, at: datetime.datetime) -> PainReport:
    """The warning signs were asked and none applies: the table answers again, on what is known now."""
    return tell_again(report, flags_asked=True, by=by, at=at)


def answer_soreness(
    report: PainReport,
    *,
    is_usual: bool,
    level: int | None = None,
    in_joint: bool | None = None,
    sharp: bool | None = None,
    hours: int | None = None,
    by: User,
    at: datetime.datetime,
) -> PainReport:
    """Usual muscle soreness is kept as that; what the rule does not let pass stays pain (methods.pain)."""
    return tell_again(
        report,
        said_soreness=is_usual,
        soreness_level=level,
        in_joint=in_joint,
        sharp=sharp,
        soreness_hours=hours,
        by=by,
        at=at,
    )


def answer_how_much(
    report: PainReport, *, during: int, after: int | None, note: str = "", by: User, at: datetime.datetime
) -> PainReport:
    return tell_again(report, during=during, after=after, note=note or report.note, by=by, at=at)


def answer_next_morning(
    report: PainReport,
    *,
    next_morning: str,
    during: int | None = None,
    after: int | None = None,
    by: User,
    at: datetime.datetime,
) -> PainReport:
    """The next morning's answer completes a report. Until it comes, the report is pending and nothing progresses."""
    during = report.during if during is None else during
    after = report.after if after is None else after
    return tell_again(report, during=during, after=after, next_morning=next_morning, by=by, at=at)


def awaiting_morning(client: Client) -> list[PainReport]:
    """Reports whose next morning nobody has told yet, newest first."""
    reports = PainReport.objects.pains().filter(client=client, next_morning="").order_by("-on", "-pk")
    return [report for report in reports if report.owes_morning]


def pain_words(report: PainReport) -> PainWords:
    """What a client reads after telling pain, by the table's answer and what is still open."""
    if report.is_soreness:
        return SORENESS_WORDS
    if report.action == PainAction.PENDING and report.during is None:
        return UNFINISHED
    if report.action == PainAction.PENDING and report.next_morning:
        return FIRST_WEEK
    return PAIN[report.action]
