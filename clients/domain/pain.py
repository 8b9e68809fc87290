"""Pain reports, and what the published pain-monitoring table answers to them."""

import datetime
import uuid as uuids
from typing import Any, Required, TypedDict, Unpack

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

import jobs
from clients.choices import SORENESS
from clients.domain.mail import absolute
from clients.domain.notices import tell_client
from clients.domain.safety import has_clearance_given, refer_first_groups, said_groups
from clients.domain.versions import supersede
from clients.models import Client, PainReport, RedFlagReport, User
from methods import pain, red_flags
from methods.referral import ReferFirst

MORNING_LETTER_AT = datetime.time(7)


class PainTold(TypedDict, total=False):
    """What a client says of pain in one area on one day. Whatever is left out is not known."""

    area: Required[str]
    side: Required[str]
    on: Required[datetime.date]
    since: str
    after_blow: bool | None
    pin_point: bool | None
    during: int | None
    after: int | None
    next_morning: str
    said_soreness: bool | None
    soreness_level: int | None
    in_joint: bool | None
    sharp: bool | None
    soreness_hours: int | None
    told_in: uuids.UUID | None
    movement_slug: str
    note: str


def report_pain(
    client: Client,
    *,
    by: User,
    at: datetime.datetime,
    uuid: uuids.UUID | None = None,
    replaces: PainReport | None = None,
    flags_asked: bool | None = None,
    **told: Unpack[PainTold],
) -> PainReport:
    """Keep a report with the table's answer. Told again with the same id, it is stored once.

    `flags_asked` says that the warning signs it opens were asked and none was ticked; while nobody has asked, the
    report stays pending and the client's page asks. A later version keeps that answer, unless it opens further ones.

    A later answer (the next morning, say) is a new version of the same report. A letter asks for it, unless that
    morning is over already: then the client's page does.
    """
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        known = PainReport.objects.filter(client=client, uuid=uuid).first() if uuid else None
        if known is not None:
            return known
        version = PainReport(
            practice_id=client.practice_id,
            client=client,
            uuid=uuid or uuids.uuid4(),
            reported_at=at,
            flags_asked=flags_asked,
            **told,
        )
        if flags_asked is None and replaces is not None and set(opened_groups(version)) <= set(opened_groups(replaces)):
            version.flags_asked = replaces.flags_asked
        _decide(version, replaces)
        kept = supersede(replaces, version)
        _plan_morning_letter(kept, at=at)
        return kept


def opened_groups(report: PainReport) -> tuple[str, ...]:
    """Which groups of warning signs come first. A blow or a point of bone that nobody was asked about counts as one."""
    return red_flags.areas_opening_red_flags(
        report.area,
        pin_point=report.pin_point is not False,
        after_blow=report.after_blow is not False,
        pregnant=ReferFirst.PREGNANT in said_groups(report.client),
    )


def owes_warning_signs(report: PainReport) -> bool:
    return bool(opened_groups(report)) and not report.flags_asked


def _decide(report: PainReport, replaces: PainReport | None) -> None:
    """The published table's answer, given what else is known; usual muscle soreness is no matter for it."""
    if report.said_soreness and may_be_soreness(report):
        report.is_soreness = not pain.soreness_takes_pain_path(
            report.soreness_level, in_joint=report.in_joint, sharp=report.sharp, hours=report.soreness_hours
        )
    if report.is_soreness:
        report.action, report.action_row, report.refer = SORENESS, None, False
        return
    decision = pain.monitor_pain(
        during=report.during,
        after=report.after,
        next_morning=report.next_morning or None,
        week_mean_change=_week_mean_change(report, replaces),
        red_flag=_red_flag(report),
        refer_first=_refer_first(report),
        earlier_stops=_earlier_stops(report, replaces),
    )
    report.action, report.action_row, report.refer = decision.action.value, decision.row, decision.refer


def may_be_soreness(report: PainReport) -> bool:
    """Whether the question makes sense: nothing rated as pain, no warning sign open, nobody who asks first."""
    is_unrated = report.during is None and not report.after and not report.next_morning
    begins_gently = report.after_blow is False and report.pin_point is False
    return is_unrated and begins_gently and _red_flag(report) is False and not _refer_first(report)


def _red_flag(report: PainReport) -> bool | None:
    """A lock is yes; questions that nobody has asked are unknown, never no."""
    if RedFlagReport.objects.of(report.client).locking().exists():
        return True
    return None if owes_warning_signs(report) else False


def _refer_first(report: PainReport) -> list[ReferFirst]:
    """Why this client asks a professional first. A blow is a new injury until somebody has looked at it."""
    groups = refer_first_groups(report.client, on=report.on)
    today = report.reported_at.astimezone(report.client.zone).date()
    if report.after_blow and not has_clearance_given(report.client, since=report.on, on=today):
        groups = [*groups, ReferFirst.NEW_INJURY]
    return groups


def _earlier_stops(report: PainReport, replaces: PainReport | None) -> int:
    """How often the table already stopped this movement; told outside of training, this area."""
    stopped = PainReport.objects.pains().filter(client=report.client, action_row=2, on__lte=report.on)
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
        if report is None or not report.owes_morning:
            return
        tell_client(
            report.client,
            subject=_("A short question for this morning"),
            body=_("Your page has a short question for you:\n%(link)s") % {"link": absolute(reverse("home"))},
        )


def tell_again(
    report: PainReport, *, by: User, at: datetime.datetime, uuid: uuids.UUID | None = None, **changed: Any
) -> PainReport:
    """A new version that says the same but for what changed. Elsewhere on the body, nothing else is known yet."""
    said = {name: getattr(report, name) for name in PainTold.__annotations__}
    moved = (changed.get("area", report.area), changed.get("side", report.side)) != (report.area, report.side)
    if moved:
        said = {name: said[name] for name in ("on", "told_in", "movement_slug", "note")}
    flags_asked = changed.pop("flags_asked", None)
    return report_pain(
        report.client, **(said | changed), by=by, at=at, uuid=uuid, replaces=report, flags_asked=flags_asked
    )


def _week_mean_change(report: PainReport, replaces: PainReport | None) -> float | None:
    """The seven days up to this report, itself among them, beside the seven before (methods.pain.week_mean_change)."""
    week = datetime.timedelta(days=7)
    others = PainReport.objects.pains().filter(client=report.client, area=report.area, side=report.side)
    others = others.exclude(during=None).exclude(pk=replaces.pk if replaces else None)
    this, last = (
        [
            other.during
            for other in others.filter(on__gt=report.on - n * week, on__lte=report.on - (n - 1) * week)
            if other.during is not None
        ]
        for n in (1, 2)
    )
    own = [] if report.during is None else [report.during]
    return pain.week_mean_change(last, [*this, *own])
