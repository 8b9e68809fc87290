"""Pain reports, and what the published pain-monitoring table answers to them."""

import datetime
import uuid as uuids
from typing import Any

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
        )
        decision = _table_answer(version, replaces)
        version.action, version.action_row, version.refer = decision.action.value, decision.row, decision.refer
        kept = supersede(replaces, version)
        _plan_morning_letter(kept, at=at)
        return kept


def _table_answer(report: PainReport, replaces: PainReport | None) -> pain.PainDecision:
    """What the published table says to a report, given what else is known of the client."""
    return pain.monitor_pain(
        during=report.during,
        after=report.after,
        next_morning=report.next_morning or None,
        week_mean_change=_week_mean_change(report),
        red_flag=_red_flag(report),
        refer_first=refer_first_groups(report.client, on=report.on),
        earlier_stops=_earlier_stops(report, replaces),
    )


def _red_flag(report: PainReport) -> bool | None:
    """A lock is yes; an area whose questions nobody has asked is unknown, never no."""
    if RedFlagReport.objects.of(report.client).locking().exists():
        return True
    return None if red_flags.areas_opening_red_flags(report.area) and not report.flags_asked else False


def _earlier_stops(report: PainReport, replaces: PainReport | None) -> int:
    """How often the table already stopped this movement; told outside of training, this area."""
    stopped = PainReport.objects.current().filter(client=report.client, action_row=2, on__lte=report.on)
    stopped = stopped.exclude(pk=replaces.pk) if replaces else stopped
    if report.movement_slug:
        return stopped.filter(movement_slug=report.movement_slug).count()
    return stopped.filter(area=report.area, side=report.side).count()


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
    after = report.after if after is None else after
    return _tell_again(report, after=after, next_morning=next_morning, by=by, at=at)


def answer_no_warning_sign(report: PainReport, *, by: User, at: datetime.datetime) -> PainReport:
    """The warning signs were asked and none applies: the table answers again, on what is known now."""
    return _tell_again(report, flags_asked=True, by=by, at=at)


def _tell_again(report: PainReport, *, by: User, at: datetime.datetime, **changed: Any) -> PainReport:
    """A new version that says the same but for what changed."""
    same = ("area", "side", "during", "after", "next_morning", "on", "told_in", "movement_slug", "note")
    said = {name: getattr(report, name) for name in same}
    return report_pain(report.client, **(said | changed), by=by, at=at, replaces=report)


def awaiting_flags(client: Client) -> list[PainReport]:
    """Reports of areas that open warning signs which nobody has asked about yet, newest first."""
    reports = PainReport.objects.current().filter(client=client).exclude(flags_asked=True).order_by("-on", "-pk")
    return [report for report in reports if red_flags.areas_opening_red_flags(report.area)]


def _week_mean_change(report: PainReport) -> float | None:
    """The last seven days beside the seven before (methods.pain.week_mean_change), of reports that are kept already."""
    week = datetime.timedelta(days=7)
    this, last = (
        list(
            PainReport.objects.current()
            .filter(client=report.client, area=report.area, side=report.side)
            .filter(on__gt=report.on - n * week, on__lte=report.on - (n - 1) * week)
            .exclude(during=None)
            .values_list("during", flat=True)
        )
        for n in (1, 2)
    )
    return pain.week_mean_change(last, this)  # type: ignore[arg-type]  # the excluded None


def awaiting_morning(client: Client) -> list[PainReport]:
    """Reports whose next morning nobody has told yet, newest first."""
    reports = PainReport.objects.current().filter(client=client, next_morning="").order_by("-on", "-pk")
    return [report for report in reports if report.owes_morning]
