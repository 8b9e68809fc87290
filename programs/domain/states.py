"""The state of a scheduled session follows the facts about it."""

import uuid
from collections.abc import Collection, Mapping

from django.db import transaction

from programs.choices import EXCUSES, WORK_SECTIONS, LoggedSide, Outcome, SessionState, SetKind
from programs.models import Excuse, Prescription, ScheduledSession, SetLog, TrainingLog

Slot = tuple[uuid.UUID, int]
WHOLE = frozenset({LoggedSide.LEFT, LoggedSide.RIGHT})


def state_from(
    log: TrainingLog | None,
    sets: Mapping[Slot, Collection[str]],
    prescribed: Collection[Slot],
    *,
    is_excused: bool = False,
) -> SessionState:
    """What became of a session, from what the client says and the sets with numbers (by the sides they were done on).

    What was said stands, but for two things that the numbers know better: a session with logged sets was not skipped,
    and "done" with every prescribed set logged is done with numbers. An excused day tells only of a session about which
    nothing was logged.
    """
    is_complete = bool(prescribed) and all(_is_whole(sets.get(slot, ())) for slot in prescribed)
    if log is None:
        if not sets:
            return SessionState.EXCUSED if is_excused else SessionState.PLANNED
        return SessionState.WITH_NUMBERS if is_complete else SessionState.PARTLY
    if log.outcome == Outcome.SKIPPED:
        if sets:
            return SessionState.PARTLY
        return SessionState.EXCUSED if log.skip_reason in EXCUSES else SessionState.SKIPPED
    if log.outcome == Outcome.PARTLY:
        return SessionState.PARTLY
    has_numbers = is_complete or (log.outcome == Outcome.WITH_NUMBERS and bool(sets))
    return SessionState.WITH_NUMBERS if has_numbers else SessionState.AS_PLANNED


def _is_whole(sides: Collection[str]) -> bool:
    return LoggedSide.BOTH in sides or set(sides) >= WHOLE


def refresh_state(scheduled: ScheduledSession) -> None:
    """Set the state of a session from its facts, under a lock. Moved ones stay what they are.

    One that was withdrawn stays so while nobody says anything about it: what was trained after all is on the plan.
    """
    with transaction.atomic():
        locked = ScheduledSession.objects.select_for_update().get(pk=scheduled.pk)
        log, sides = TrainingLog.objects.counting().filter(scheduled=locked).first(), _sides_by_set(locked)
        is_off = locked.state == SessionState.WITHDRAWN and log is None and not sides
        if is_off or locked.state == SessionState.MOVED:
            return
        excuse = excuse_on(locked)
        state = state_from(log, sides, _prescribed(locked), is_excused=excuse is not None)
        reason = _reason(state, log, excuse)
        if (locked.state, locked.reason) != (state, reason):
            locked.state, locked.reason = state, reason
            locked.changes += 1
            locked.save(update_fields=["state", "reason", "changes", "changed_at"])


def excuse_on(scheduled: ScheduledSession) -> Excuse | None:
    """What excuses the day of a session."""
    return Excuse.objects.counting().filter(client=scheduled.client_id).touching(scheduled.on, scheduled.on).first()


def _reason(state: SessionState, log: TrainingLog | None, excuse: Excuse | None) -> str:
    if log is not None:
        return log.skip_reason
    return excuse.reason if excuse is not None and state == SessionState.EXCUSED else ""


def _sides_by_set(scheduled: ScheduledSession) -> dict[Slot, set[str]]:
    sides: dict[Slot, set[str]] = {}
    sets = SetLog.objects.counting().filter(scheduled=scheduled)
    for lineage, number, side in sets.values_list("lineage", "number", "side"):
        sides.setdefault((lineage, number), set()).add(side)
    return sides


def _prescribed(scheduled: ScheduledSession) -> set[Slot]:
    """The work sets of the strength and trunk parts: nobody has to write down a warm-up."""
    work = Prescription.objects.filter(
        group__section__session=scheduled.session_id, group__section__kind__in=WORK_SECTIONS
    ).exclude(kind=SetKind.WARM_UP)
    return {(lineage, number) for lineage, sets in work.values_list("lineage", "sets") for number in range(1, sets + 1)}
