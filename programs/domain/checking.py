"""What a coach should know about a session before it is published: limits, equipment, effort, time."""

import datetime
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext as _

from clients.choices import Ceiling, MassUnit
from clients.domain.safety import protected_areas
from clients.models import Client, IntakeAnswer
from programs.choices import WORK_SECTIONS, SetKind
from programs.domain.baseline_maxima import KnownMaxima, known_maxima
from programs.domain.demands import Demand, demands_of, is_above_ceiling, loaded_areas, options_of
from programs.domain.dosing import plain
from programs.domain.instead import Around, around
from programs.domain.library import AtHand, why_not
from programs.domain.rows import Row, Together, groups_of, rows_of
from programs.domain.step_remarks import step_remarks
from programs.domain.timing import minutes_of, rounds_over_time_s, too_long_for_its_interval
from programs.models import BlockSession, Prescription


@dataclass(frozen=True)
class Limits:
    """What one client's plan has to respect on a day, read once for a whole page."""

    around: Around
    protected: frozenset[str]
    barred: frozenset[str]
    ceiling: Ceiling
    minutes: int | None
    clearance_limits: str = ""
    # What percentages go by.
    maxima: KnownMaxima = field(default_factory=lambda: KnownMaxima({}, MassUnit.KG))
    # Why nothing may start, in words; empty when it may.
    no_start: str = ""

    @property
    def there(self) -> AtHand:
        return self.around.there


@dataclass(frozen=True)
class Remark:
    """One remark with its reason. One that `stops` keeps the block from being published, whoever asks."""

    text: str
    stops: bool = False
    movement: str = ""


def limits_of(client: Client, *, on: datetime.date) -> Limits:
    found = around(client, on=on)
    clearance = found.start.clearance if found.start else None
    return Limits(
        around=found,
        protected=frozenset(protected_areas(client, on=on)),
        barred=found.day.barred,
        ceiling=Ceiling(found.day.ceiling),
        minutes=minutes_budget(client),
        clearance_limits=clearance.limits if clearance else "",
        maxima=known_maxima(client, on=on),
        no_start=found.day.no_start,
    )


def minutes_budget(client: Client) -> int | None:
    """The minutes a session that the client named in the newest intake."""
    answer = IntakeAnswer.objects.current().filter(client=client, question="minutes").order_by("-answered_at").first()
    return int(answer.value) if answer and answer.value else None


def check_session(groups: Sequence[Together[Any]], limits: Limits) -> list[Remark]:
    """Remarks about a session, the ones that stop it first."""
    found = [remark for group in groups for dose in group for remark in _about_dose(dose, limits)]
    found += [remark for group in groups for remark in _about_interval(group)]
    found += _about_time(minutes_of(groups), limits.minutes)
    return sorted(dict.fromkeys(found), key=lambda remark: not remark.stops)


def check_block(sessions: Iterable[BlockSession], limits: Limits) -> dict[Remark, list[BlockSession]]:
    """Remarks about a whole block with the sessions they stand in, the ones that stop it first."""
    found: dict[Remark, list[BlockSession]] = defaultdict(list)
    sessions = list(sessions)
    for session in sessions:
        for remark in check_session(groups_of(session), limits):
            found[remark].append(session)
        if not groups_of(session):
            found[Remark(_("Nothing in it yet: it gets no day."))].append(session)
    for session in _no_lighter(sessions):
        text = _("The deload week is no lighter than the week before: step the weeks once more.")
        found[Remark(text)].append(session)
    return dict(sorted(found.items(), key=lambda item: not item[0].stops))


def _no_lighter(sessions: Sequence[BlockSession]) -> list[BlockSession]:
    """The sessions of a week that is called the deload week and asks for as many work sets as the one before."""
    sets: dict[int, int] = defaultdict(int)
    for session in sessions:
        counted = (row for row in rows_of(session) if row.section in WORK_SECTIONS and row.kind != SetKind.WARM_UP)
        sets[session.week] += sum(row.sets for row in counted)
    deload = {session.block.deload_week for session in sessions}
    return [one for one in sessions if one.week in deload and 0 < sets.get(one.week - 1, 0) <= sets[one.week]]


def _about_dose(dose: Row | Prescription, limits: Limits) -> Iterable[Remark]:
    for demand in demands_of(dose):
        yield from _about_safety(demand, limits)
    name = dose.movement.name
    yield from _about_percentage(dose, limits.maxima)
    for text in step_remarks(dose):
        yield Remark(text, movement=name)
    if reason := why_not(dose.movement, limits.there):
        instead = limits.around.instead_of(dose)
        # What the client would be offered on the day.
        yield Remark(f"{reason} {instead.why}" if instead.dose else reason, movement=name)
    for option in options_of(dose):
        if reason := why_not(option.movement, limits.there):
            yield Remark(_("An option that is not possible: %(why)s") % {"why": reason}, movement=option.movement.name)


def _about_percentage(dose: Row | Prescription, maxima: KnownMaxima) -> Iterable[Remark]:
    """What would keep it from becoming a load when the block is published."""
    if dose.percent_of_max is None:
        return
    load = maxima.load(dose.movement, dose.percent_of_max)
    text = ""
    if dose.movement.movement.slug not in maxima.by_slug:
        text = _("A percentage, and no reference max yet.")
    elif load is None:
        text = _("A percentage of a load with the body in it, and no body mass is known.")
    elif load <= 0:
        text = _("%(percent)s %% of the reference max leaves nothing to lift.") % {
            "percent": plain(dose.percent_of_max)
        }
    if text:
        yield Remark(text, stops=True, movement=dose.movement.name)


def _about_safety(demand: Demand, limits: Limits) -> Iterable[Remark]:
    name = demand.movement.name
    if not limits.no_start and is_above_ceiling(demand, limits.ceiling):
        text = _("Harder than the screening allows (%(ceiling)s).") % {"ceiling": limits.ceiling.label}
        yield Remark(text, stops=True, movement=name)
    if barred := loaded_areas(demand, limits.barred):
        yield Remark(_("Loads an area that must not be loaded: %(areas)s.") % {"areas": barred}, True, name)
    if protected := loaded_areas(demand, limits.protected - limits.barred):
        yield Remark(_("Stresses an area to protect: %(areas)s.") % {"areas": protected}, movement=name)


def _about_interval(group: Together[Any]) -> Iterable[Remark]:
    for dose in too_long_for_its_interval(group):
        text = _("Its set is not over when the next one begins (every %(seconds)d s).") % {"seconds": group.interval_s}
        yield Remark(text, movement=dose.movement.name)
    if over_s := rounds_over_time_s(group):
        told = {"rounds": max(dose.sets for dose in group), "minutes": group.minutes, "over": -int(-over_s // 60)}
        yield Remark(
            _("%(rounds)d rounds do not fit into %(minutes)d minutes: about %(over)d minutes more, without rest.")
            % told,
            movement=group.doses[0].movement.name,
        )


def _about_time(minutes: int, budget: int | None) -> Iterable[Remark]:
    if budget is not None and minutes > budget:
        text = _("About %(minutes)d minutes; the client has %(budget)d.") % {"minutes": minutes, "budget": budget}
        yield Remark(text)
