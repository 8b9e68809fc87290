"""Why a client needs the coach. Every item names its reason and keeps the numbers it saw."""

import datetime
from collections.abc import Iterable, Iterator
from typing import Any

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clients.choices import Ceiling, ClientState
from clients.domain.safety import ceiling_under, current_screening, newest_clearance
from clients.models import Client, PainReport, RedFlagReport
from coaching.choices import AttentionKind
from coaching.domain.overdue import overdue_check_in
from coaching.models import AttentionItem, Observation
from methods.pain import PainAction
from programs.choices import BlockState, SessionState
from programs.models import Block, ScheduledSession

# House settings, not published thresholds: how far back pain and gaps are looked at, how early an end is announced.
PAIN_DAYS = 14
GAP_DAYS = 14
GAP_SESSIONS = 2
ENDING_DAYS = 7

RANKS = {kind: rank for rank, kind in enumerate(AttentionKind)}
PAIN_SOURCE = "Silbernagel et al. 2007, Am J Sports Med 35:897-906; the stricter zones of several sources"
STALL_SOURCE = "Theil-Sen slope with its interval against the expected rate (Steele et al. 2023)"
URGENT_PAIN = {PainAction.STOP_REFER, PainAction.STOP_EXERCISE, PainAction.REDUCE}


def attention_items(
    client: Client, observations: Iterable[Observation], *, today: datetime.date
) -> list[AttentionItem]:
    """All reasons for this client on this day, not saved."""
    finders = (
        _red_flags(client),
        _pain(client, today),
        _clearance(client, today),
        _trends(observations, today),
        _gaps(client, today),
        _check_in(client, today),
        _blocks(client, today),
    )
    return [
        AttentionItem(practice_id=client.practice_id, client=client, rank=RANKS[item["kind"]], **item)
        for finder in finders
        for item in finder
    ]


Item = dict[str, Any]


def _red_flags(client: Client) -> Iterator[Item]:
    for report in RedFlagReport.objects.of(client).filter(erased_at=None, lifted_by=None):
        if report.seen_at is not None and not report.locks:
            continue
        yield {
            "kind": AttentionKind.RED_FLAG,
            "key": f"red_flag:{report.uuid}",
            "since": report.reported_at.astimezone(client.zone).date(),
            "reason": _("Ticked a warning sign and was told to seek care. Locked until a clearance is recorded.")
            if report.locks
            else _("Ticked a warning sign and was shown where to find help. Please call."),
            "source": "methods/red_flags: warning signs, own wording of published lists",
            "numbers": {"lane": report.lane, "groups": report.groups},
        }


def _pain(client: Client, today: datetime.date) -> Iterator[Item]:
    recent = PainReport.objects.pains().filter(client=client, on__gt=today - datetime.timedelta(days=PAIN_DAYS))
    speaking: dict[tuple[str, str], PainReport] = {}
    for report in recent.order_by("on", "pk"):
        where = report.area, report.side
        # A tap on "fine" is kept and erases nothing; neither does an answer about another day close an open morning.
        is_fine = report.action == PainAction.PENDING and report.during == 0 and not report.after
        leaves_open = report.action not in URGENT_PAIN and where in speaking and _is_late(speaking[where], today)
        if not is_fine and not leaves_open:
            speaking[where] = report
    for report in speaking.values():
        is_late = _is_late(report, today)
        if report.action not in URGENT_PAIN and not is_late:
            continue
        yield {
            "kind": AttentionKind.PAIN,
            "key": f"pain:{report.area}:{report.side}",
            "since": report.on,
            "reason": _pain_reason(report, is_late=is_late),
            "source": PAIN_SOURCE,
            "numbers": {"during": report.during, "after": report.after, "row": report.action_row, "on": str(report.on)},
        }


def _is_late(report: PainReport, today: datetime.date) -> bool:
    return report.action == PainAction.PENDING and report.owes_morning and report.on < today


def _pain_reason(report: PainReport, *, is_late: bool) -> str:
    where = _("%(area)s, %(side)s") % {
        "area": report.get_area_display(),
        "side": str(report.get_side_display()).lower(),
    }
    if is_late and report.during is None and report.after is None:
        return _("%(where)s: it hurts, and the questions about it were left half-way.") % {"where": where}
    if is_late:
        return _("%(where)s: %(n)s of 10, and the next morning was never told.") % {
            "where": where,
            "n": max(report.during or 0, report.after or 0),
        }
    if report.action == PainAction.REDUCE:
        return _("%(where)s: %(n)s of 10, and it had not settled by the morning, or it is more than last week.") % {
            "where": where,
            "n": report.during,
        }
    if report.refer and report.action == PainAction.STOP_EXERCISE:
        words = _("%(where)s: %(n)s of 10, not for the first time. The table says stop, and send to a professional.")
        return words % {"where": where, "n": report.during}
    return _("%(where)s: %(n)s of 10. The table says stop this movement.") % {"where": where, "n": report.during}


def _clearance(client: Client, today: datetime.date) -> Iterator[Item]:
    screening = current_screening(client)
    if screening is None or client.state in {ClientState.PAUSED, ClientState.ENDED}:
        return
    clearance = newest_clearance(client, screening)
    if screening.expires_on is not None and screening.expires_on < today:
        reason, since = _("The health answers are older than a year. They need fresh ones."), screening.expires_on
    elif clearance is not None and clearance.expires_on < today:
        reason, since = _("The clearance has run out."), clearance.expires_on
    elif ceiling_under(screening, clearance, on=today) == Ceiling.NONE:
        since = screening.decided_at.astimezone(client.zone).date()
        reason = _("Outcome %(code)s: waits for a clearance before training.") % {"code": screening.code or "–"}
    else:
        return
    yield {
        "kind": AttentionKind.CLEARANCE,
        "key": f"clearance:{screening.uuid}",
        "since": since,
        "reason": reason,
        "source": "Riebe et al. 2015, Med Sci Sports Exerc 47:2473-2479; cells from secondary sources",
        "numbers": {"code": screening.code, "clearance": str(clearance.expires_on) if clearance else None},
    }


TREND_KINDS = {"DECLINING": AttentionKind.DECLINE, "STALLED": AttentionKind.STALL}


def _trends(observations: Iterable[Observation], today: datetime.date) -> Iterator[Item]:
    """At most the two clearest: every movement looked at adds false alarms."""
    speaking = [o for o in observations if o.verdict in TREND_KINDS]
    speaking.sort(key=lambda o: (RANKS[TREND_KINDS[o.verdict]], -o.numbers.get("n", 0), o.movement_name))
    for observation in speaking[:2]:
        yield {
            "kind": TREND_KINDS[observation.verdict],
            "key": f"trend:{observation.lineage}",
            "since": datetime.date.fromisoformat(observation.numbers["last_day"]),
            "reason": f"{observation.movement_name}: {observation.reason}",
            "source": STALL_SOURCE,
            "numbers": observation.numbers,
        }


def _gaps(client: Client, today: datetime.date) -> Iterator[Item]:
    if client.state != ClientState.ACTIVE:
        return
    first = today - datetime.timedelta(days=GAP_DAYS)
    missed = list(
        ScheduledSession.objects.of(client)
        .filter(state=SessionState.PLANNED, on__gte=first, on__lt=today)
        .order_by("on")
        .values_list("on", flat=True)
    )
    if len(missed) < GAP_SESSIONS:
        return
    yield {
        "kind": AttentionKind.NOT_RECORDING,
        "key": "not_recording",
        "since": missed[0],
        "reason": ngettext(
            "%(n)s session of the last two weeks was not recorded. That is not the same as missed.",
            "%(n)s sessions of the last two weeks were not recorded. That is not the same as missed.",
            len(missed),
        )
        % {"n": len(missed)},
        "source": "House rule",
        "numbers": {"not_recorded": len(missed), "last": str(missed[-1])},
    }


def _check_in(client: Client, today: datetime.date) -> Iterator[Item]:
    asked = overdue_check_in(client, on=today)
    if asked is None:
        return
    yield {
        "kind": AttentionKind.CHECK_IN,
        "key": "check_in",
        "since": asked.due_on,
        "reason": _("The check-in of %(day)s has not come.") % {"day": date_format(asked.due_on, "l, j F")},
        "source": "House rule",
        "numbers": {"due_on": str(asked.due_on)},
    }


def _blocks(client: Client, today: datetime.date) -> Iterator[Item]:
    if client.state != ClientState.ACTIVE:
        return
    blocks = list(Block.objects.of(client).filter(state=BlockState.PUBLISHED).order_by("-starts_on", "-pk")[:1])
    if not blocks or blocks[0].ends_on < today:
        yield {
            "kind": AttentionKind.NEEDS_BLOCK,
            "key": "needs_block",
            "since": blocks[0].ends_on if blocks else today,
            "reason": _("Has no block after this day."),
            "source": "House rule",
            "numbers": {"last_block_ended": str(blocks[0].ends_on) if blocks else None},
        }
    elif blocks[0].ends_on - today < datetime.timedelta(days=ENDING_DAYS):
        yield {
            "kind": AttentionKind.BLOCK_ENDING,
            "key": f"block_ending:{blocks[0].uuid}",
            "since": today,
            "reason": _("“%(title)s” ends on %(day)s and there is no next one.")
            % {"title": blocks[0].title, "day": date_format(blocks[0].ends_on, "j F")},
            "source": "House rule",
            "numbers": {"ends_on": str(blocks[0].ends_on)},
        }
