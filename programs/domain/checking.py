"""What a coach should know about a session before it is published: limits, equipment, effort, time."""

import datetime
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from clients.choices import Ceiling
from clients.domain.safety import protected_areas
from clients.models import Client, IntakeAnswer
from programs.domain.baseline_maxima import movements_with_max
from programs.domain.demands import Demand, demands_of, is_above_ceiling, loaded_areas, options_of
from programs.domain.instead import Around, around
from programs.domain.library import AtHand, why_not
from programs.domain.rows import Row, Together, groups_of
from programs.domain.step_remarks import step_remarks
from programs.domain.timing import minutes_of, too_long_for_its_interval
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
    # Movements that percentages have something to go by.
    with_max: frozenset[int] = frozenset()
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
        with_max=movements_with_max(client),
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
    for session in sessions:
        for remark in check_session(groups_of(session), limits):
            found[remark].append(session)
    return dict(sorted(found.items(), key=lambda item: not item[0].stops))


def _about_dose(dose: Row | Prescription, limits: Limits) -> Iterable[Remark]:
    for demand in demands_of(dose):
        yield from _about_safety(demand, limits)
    name = dose.movement.name
    if dose.percent_of_max is not None and dose.movement.movement_id not in limits.with_max:
        yield Remark(_("A percentage, and no reference max yet."), stops=True, movement=name)
    for text in step_remarks(dose):
        yield Remark(text, movement=name)
    if reason := why_not(dose.movement, limits.there):
        instead = limits.around.instead_of(dose)
        # What the client would be offered on the day.
        yield Remark(f"{reason} {instead.why}" if instead.dose else reason, movement=name)
    for option in options_of(dose):
        if reason := why_not(option.movement, limits.there):
            yield Remark(_("An option that is not possible: %(why)s") % {"why": reason}, movement=option.movement.name)


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


def _about_time(minutes: int, budget: int | None) -> Iterable[Remark]:
    if budget is not None and minutes > budget:
        text = _("About %(minutes)d minutes; the client has %(budget)d.") % {"minutes": minutes, "budget": budget}
        yield Remark(text)
