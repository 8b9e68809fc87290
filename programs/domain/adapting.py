"""A public session as one visitor can do it: each movement resolved, or left out with the reason.

Nothing here asks the database or the clock.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from clients.domain.equipment import ALWAYS_THERE
from programs.choices import BY_THE_CLOCK, IN_ROUNDS, GroupKind, Measure, Pattern, RepScheme, SectionKind, SetKind
from programs.domain.dosing import RPE_AS_RESERVE
from programs.domain.graph import Graph, Known
from programs.domain.placing import parts_that_fit
from programs.domain.public_wording import public_dose_words
from programs.domain.resolving import (
    Answer,
    Asked,
    Day,
    Want,
    reason_words,
    refusal,
    resolve,
    with_reserve,
)
from programs.domain.rows import Together, kind_by_number, wider_interval_s
from programs.domain.timing import long_enough_interval_s, minutes_of
from programs.domain.visitor import Visitor
from programs.domain.wording import together_words

# What keeps work moderate (methods.screening.effort_intensity).
LEAST_RESERVE = 3
_BY_NUMBER = frozenset({GroupKind.SINGLE.value, GroupKind.PAIR.value, GroupKind.CIRCUIT.value})


@dataclass(frozen=True)
class Planned:
    """A prescription of the document. Nothing is asked where the library has no such movement any more."""

    name: str
    cue: str
    asked: Asked | None


@dataclass(frozen=True)
class PlannedSection:
    kind: str
    groups: list[Together[Planned]]


@dataclass(frozen=True)
class Shown:
    """One movement for the visitor; without a dose it is left out, and `why` says why."""

    planned: Planned
    dose: Asked | None
    why: str
    words: str = ""
    # Seconds after each set; none where the clock of the group says when the next one begins.
    rest_s: int = 0

    @property
    def name(self) -> str:
        return self.planned.name if self.dose is None else self.dose.movement.name

    @property
    def is_as_planned(self) -> bool:
        asked = self.planned.asked
        return self.dose is not None and asked is not None and self.dose.movement.slug == asked.movement.slug

    @property
    def note(self) -> str:
        """Why it is not what was written."""
        return "" if self.dose == self.planned.asked else self.why

    @property
    def cue(self) -> str:
        """What the coach wrote for one movement says nothing of another."""
        return self.planned.cue if self.is_as_planned else ""

    @property
    def hold_s(self) -> int:
        """How long to hold still; marching for a time is no hold."""
        dose = self.dose
        if dose is None or dose.movement.measure != Measure.SECONDS or dose.movement.pattern == Pattern.RAISE:
            return 0
        return dose.amount_low

    @property
    def timed_s(self) -> int:
        """How long to go on with what is counted in seconds and is no hold."""
        is_timed = self.dose is not None and self.dose.movement.measure == Measure.SECONDS
        return self.dose.amount_high if self.dose is not None and is_timed and not self.hold_s else 0


@dataclass(frozen=True)
class ShownGroup:
    """`words` say how it is done together; empty for a movement alone."""

    words: str
    members: list[Shown]
    doses: Together[Asked]


@dataclass(frozen=True)
class ShownSection:
    label: str
    groups: list[ShownGroup]


@dataclass(frozen=True)
class Adapted:
    sections: list[ShownSection]
    left_out: list[Shown]
    minutes: int

    @property
    def shown(self) -> list[Shown]:
        return [one for section in self.sections for group in section.groups for one in group.members]


def planned_in(document: Mapping[str, Any], graph: Graph) -> list[PlannedSection]:
    """The one session of a public document, in terms of the library as it is now."""
    return [
        PlannedSection(section["kind"], [_group(group, graph) for group in section["groups"]])
        for session in document["sessions"][:1]
        for section in session["sections"]
    ]


def _group(told: Mapping[str, Any], graph: Graph) -> Together[Planned]:
    members = [_planned(one, graph) for one in told["prescriptions"]]
    return Together(members, told["kind"], told.get("minutes"), told.get("interval_s"))


def _planned(told: Mapping[str, Any], graph: Graph) -> Planned:
    movement = graph.movements.get(told["movement"])
    name = told.get("movement_name", told["movement"])
    if movement is None or movement.measure != told["measure"]:
        return Planned(name, told.get("cue", ""), None)
    return Planned(movement.name, told.get("cue", ""), asked_of(told, movement))


def asked_of(told: Mapping[str, Any], movement: Known) -> Asked:
    """A prescription of a document for somebody nobody knows: without loads, and nothing to the limit."""
    kind = told.get("kind", SetKind.WORK.value)
    dose = Asked(
        movement,
        sets=int(told["sets"]),
        amount_low=int(told["amount_low"]),
        amount_high=int(told["amount_high"]),
        kind=SetKind.WORK.value if kind == SetKind.MAX_REPS else kind,
        scheme=told.get("scheme", RepScheme.RANGE.value),
        per_side=told.get("per_side", False) or movement.one_sided,
        rest_s=int(told.get("rest_s", 90)),
        tempo=told.get("tempo", ""),
        target_rir=_stated_reserve(told),
        grip=told.get("grip", ""),
        cluster_reps=told.get("cluster_reps"),
        rest_within_s=told.get("rest_within_s"),
    )
    return with_reserve(dose, LEAST_RESERVE)


def _stated_reserve(told: Mapping[str, Any]) -> Decimal | None:
    """An effort of ten says the same from the other end (Zourdos et al. 2016)."""
    if "target_rir" in told:
        return Decimal(str(told["target_rir"]))
    if "target_rpe" not in told:
        return None
    # Below that a rating names no number of repetitions.
    return 10 - max(Decimal(str(told["target_rpe"])), Decimal(RPE_AS_RESERVE))


def own_things(sections: Iterable[PlannedSection]) -> frozenset[str]:
    """What the session's own movements can be set up with."""
    return frozenset(kind for asked in _asked(sections) for way in asked.movement.ways for kind in way) - ALWAYS_THERE


def all_things(sections: Iterable[PlannedSection], graph: Graph) -> frozenset[str]:
    """The same, and what everything needs that could take a movement's place."""
    return (
        frozenset(
            kind
            for asked in _asked(sections)
            for option in (*graph.easier_than(asked.movement.slug), *graph.harder_than(asked.movement.slug))
            for way in option.movement.ways
            for kind in way
        ).union(own_things(sections))
        - ALWAYS_THERE
    )


def _asked(sections: Iterable[PlannedSection]) -> Iterator[Asked]:
    for section in sections:
        for group in section.groups:
            yield from (one.asked for one in group if one.asked is not None)


def adapt(sections: Iterable[PlannedSection], graph: Graph, visitor: Visitor) -> Adapted:
    """Every prescription is either shown or left out with its reason; a section without any is not shown."""
    day = visitor.day(graph)
    shown: list[ShownSection] = []
    left_out: list[Shown] = []
    for section in sections:
        groups: list[ShownGroup] = []
        for group in section.groups:
            answers = [_shown(one, str(group.kind), day, graph, _want(visitor, section.kind, one)) for one in group]
            left_out += [one for one in answers if one.dose is None]
            groups += _what_is_left(answers, group)
        if groups:
            shown.append(ShownSection(str(SectionKind(section.kind).label), groups))
    return Adapted(shown, left_out, minutes_of(group.doses for section in shown for group in section.groups))


def _want(visitor: Visitor, section: str, planned: Planned) -> Want:
    return Want.NEAREST if planned.asked is None else visitor.want(section, planned.asked.kind)


def _what_is_left(answers: Iterable[Shown], planned: Together[Planned]) -> list[ShownGroup]:
    """A pair without its second half is a movement alone, with the rest of the pair after it."""
    members = [one for one in answers if one.dose is not None]
    if not members:
        return []
    kind = kind_by_number(len(members)) if planned.kind in _BY_NUMBER else planned.kind
    if len(members) < len(planned) and kind not in BY_THE_CLOCK:
        members[-1] = _with_rest(members[-1], max(one.asked.rest_s for one in planned if one.asked is not None))
    if kind in IN_ROUNDS:
        rounds = min(one.dose.sets for one in members if one.dose is not None)
        members = [_reworded(one, sets=rounds) for one in members]
    interval_s = wider_interval_s(planned.interval_s, len(planned), len(members))
    doses = Together([one.dose for one in members if one.dose is not None], kind, planned.minutes, interval_s)
    doses = replace(doses, interval_s=long_enough_interval_s(doses))
    return [ShownGroup(together_words(doses), members, doses)]


def _with_rest(shown: Shown, rest_s: int) -> Shown:
    return _reworded(replace(shown, rest_s=rest_s), rest_s=rest_s)


def _reworded(shown: Shown, **dose: Any) -> Shown:
    if shown.dose is None or shown.planned.asked is None:
        return shown
    changed = replace(shown.dose, **dose)
    words = public_dose_words(changed, shown.planned.asked, rest_s=shown.rest_s)
    return replace(shown, dose=changed, words=words)


def _shown(planned: Planned, group_kind: str, day: Day, graph: Graph, want: Want) -> Shown:
    if planned.asked is None:
        return Shown(planned, None, _("This movement is no longer in the library."))
    answer = answer_for(planned.asked, day, graph, want)
    if answer.dose is None:
        return Shown(planned, None, why_none(planned.asked, day))
    rest_s = 0 if group_kind in BY_THE_CLOCK else answer.dose.rest_s
    return Shown(planned, answer.dose, answer.why, public_dose_words(answer.dose, planned.asked, rest_s=rest_s), rest_s)


def answer_for(asked: Asked, day: Day, graph: Graph, want: Want) -> Answer:
    """Where no harder step is possible, what was written is what remains. Parts of a set are no larger than the set."""
    answer = resolve(asked, day, graph, want)
    if answer.dose is None and want is Want.HARDER:
        answer = resolve(asked, day, graph)
    dose = answer.dose
    return answer if dose is None else replace(answer, dose=replace(dose, **parts_that_fit(dose)))


def why_none(asked: Asked, day: Day) -> str:
    """Nobody screened the visitor, so no sentence here speaks of a screening."""
    code = refusal(asked, day)
    reason = reason_words(asked.movement, code, day)
    if code == "ceiling":
        reason = _("Too hard without somebody who knows you.")
    return f"{reason} {_('Nothing that could stand in for it is possible here either.')}".strip()
