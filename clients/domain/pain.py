"""Pain reports, and what the published pain-monitoring table answers to them."""

import datetime
import uuid as uuids

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

import jobs
from clients.domain.mail import absolute
from clients.domain.notices import tell_client
from clients.domain.safety import refer_first_groups
from clients.domain.versions import supersede
from clients.models import Client, PainReport, RedFlagReport, User
from methods import pain, red_flags

MORNING_LETTER_AT = datetime.time(7)


def report_pain(
    client: Client,
    *,
    area: str,
    side: str,
    during: int | None,
    after: int | None = None,
    next_morning: str = "",
    on: datetime.date,
    told_in: uuids.UUID | None = None,
    movement_slug: str = "",
    note: str = "",
    by: User,
    at: datetime.datetime,
    uuid: uuids.UUID | None = None,
    replaces: PainReport | None = None,
    flags_asked: bool | None = None,
) -> PainReport:
    """Keep a report with the table's answer. Told again with the same id, it is stored once.

    `flags_asked` says that the warning signs were asked and none was ticked. Where the area opens them and nobody has
    asked, the report stays pending and the client's page asks. A later version keeps the answer for the same area.

    A later answer (the next morning, say) is a new version of the same report. A letter asks for it, unless that
    morning is over already: then the client's page does.
    """
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        known = PainReport.objects.filter(client=client, uuid=uuid).first() if uuid else None
        if known is not None:
            return known
        if flags_asked is None and replaces is not None and replaces.area == area:
            flags_asked = replaces.flags_asked
        decision = pain.monitor_pain(
            during=during,
            after=after,
            next_morning=next_morning or None,
            week_mean_change=week_mean_change(client, area, side, on=on),
            red_flag=_red_flag(client, area, flags_asked=flags_asked),
            refer_first=refer_first_groups(client, on=on),
            earlier_stops=_earlier_stops(client, area, side, movement_slug, on=on, replaces=replaces),
        )
        version = PainReport(
            practice_id=client.practice_id,
            client=client,
            uuid=uuid or uuids.uuid4(),
            on=on,
            area=area,
            side=side,
            during=during,
            after=after,
            next_morning=next_morning,
            told_in=told_in,
            movement_slug=movement_slug,
            note=note,
            reported_at=at,
            flags_asked=flags_asked,
            action=decision.action.value,
            action_row=decision.row,
            refer=decision.refer,
        )
        kept = supersede(replaces, version)
        _plan_morning_letter(kept, at=at)
        return kept


def _red_flag(client: Client, area: str, *, flags_asked: bool | None) -> bool | None:
    """A lock is yes; an area whose questions nobody has asked is unknown, never no."""
    if RedFlagReport.objects.of(client).locking().exists():
        return True
    return None if red_flags.areas_opening_red_flags(area) and not flags_asked else False


def _earlier_stops(
    client: Client, area: str, side: str, movement_slug: str, *, on: datetime.date, replaces: PainReport | None
) -> int:
    """How often the table already stopped this movement; told outside of training, this area."""
    stopped = PainReport.objects.current().filter(client=client, action_row=2, on__lte=on)
    stopped = stopped.exclude(pk=replaces.pk) if replaces else stopped
    if movement_slug:
        return stopped.filter(movement_slug=movement_slug).count()
    return stopped.filter(area=area, side=side).count()


def _plan_morning_letter(report: PainReport, *, at: datetime.datetime) -> None:
    morning = datetime.datetime.combine(
        report.on + datetime.timedelta(days=1), MORNING_LETTER_AT, tzinfo=report.client.zone
    )
    if not report.owes_morning or morning <= at:
        return
    jobs.request(
        "clients.ask_next_morning",
        report.pk,
        practice=report.practice_id,
        key=f"morning:{report.uuid}",
        run_at=morning,
    )


def ask_next_morning(report_id: int) -> None:
    """Ask by letter how it was the next morning, unless told, corrected or erased meanwhile. Written once.

    The letter says nothing about health and opens the client's page; only a person's answer changes the report.
    """
    with jobs.publishing(last=True):
        report = PainReport.objects.current().filter(pk=report_id).first()
        if report is None:
            return
        tell_client(
            report.client,
            subject=_("A short question for this morning"),
            body=_("Your page has a short question for you:\n%(link)s") % {"link": absolute(reverse("home"))},
        )


def answer_next_morning(
    report: PainReport, *, after: int | None, next_morning: str, by: User, at: datetime.datetime
) -> PainReport:
    """The next morning's answer completes a report. Until it comes, the report is pending and nothing progresses."""
    return report_pain(
        report.client,
        area=report.area,
        side=report.side,
        during=report.during,
        after=after if after is not None else report.after,
        next_morning=next_morning,
        on=report.on,
        told_in=report.told_in,
        movement_slug=report.movement_slug,
        note=report.note,
        by=by,
        at=at,
        replaces=report,
    )


def answer_no_warning_sign(report: PainReport, *, by: User, at: datetime.datetime) -> PainReport:
    """The warning signs were asked and none applies: the table answers again, on what is known now."""
    return report_pain(
        report.client,
        area=report.area,
        side=report.side,
        during=report.during,
        after=report.after,
        next_morning=report.next_morning,
        on=report.on,
        told_in=report.told_in,
        movement_slug=report.movement_slug,
        note=report.note,
        by=by,
        at=at,
        replaces=report,
        flags_asked=True,
    )


def awaiting_flags(client: Client) -> list[PainReport]:
    """Reports of areas that open warning signs which nobody has asked about yet, newest first."""
    reports = PainReport.objects.current().filter(client=client).exclude(flags_asked=True).order_by("-on", "-pk")
    return [report for report in reports if red_flags.areas_opening_red_flags(report.area)]


def week_mean_change(client: Client, area: str, side: str, *, on: datetime.date) -> float | None:
    """Mean pain of the last seven days less that of the seven before; None without reports in both."""
    week = datetime.timedelta(days=7)
    this, last = (_mean(client, area, side, first=on - n * week, before=on - (n - 1) * week) for n in (1, 2))
    return None if this is None or last is None else this - last


def _mean(client: Client, area: str, side: str, *, first: datetime.date, before: datetime.date) -> float | None:
    values = (
        PainReport.objects.current()
        .filter(client=client, area=area, side=side, on__gt=first, on__lte=before)
        .exclude(during=None)
        .values_list("during", flat=True)
    )
    told = [value for value in values if value is not None]
    return sum(told) / len(told) if told else None


def awaiting_morning(client: Client) -> list[PainReport]:
    """Reports whose next morning nobody has told yet, newest first."""
    reports = PainReport.objects.current().filter(client=client, next_morning="").order_by("-on", "-pk")
    return [report for report in reports if report.owes_morning]
