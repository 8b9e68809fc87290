"""What a written block becomes for one client: each prescription as it is, as the nearest possible one, or left out.

Nothing here asks the database or the clock. What changes is told once for all weeks in which it stands.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from decimal import Decimal
from itertools import chain
from typing import Any

from django.utils.translation import gettext as _

from clients.choices import Ceiling
from methods.units import in_unit
from methods.volume import is_long_lowering
from programs.choices import IN_ROUNDS, GroupKind, Measure, SetKind
from programs.domain.dosing import DOSE_FIELDS, plain
from programs.domain.exchange.sessions import Movements, ReadSession
from programs.domain.graph import Graph
from programs.domain.instead import Around
from programs.domain.resolving import (
    BREAK_DAYS,
    Asked,
    Day,
    lessened,
    reason_words,
    refusal,
    resolve,
    turned,
    with_reserve,
)
from programs.domain.rows import Row, chained, kind_by_number, wider_interval_s
from programs.models import MovementRevision

# What belongs to the movement for which it was written, and to no other.
_NOT_TAKEN_ALONG: dict[str, Any] = {"load_entered": None, "load_unit": "", "load_kg": None, "percent_of_max": None}
_NOT_TAKEN_ALONG |= {"cue": "", "step_sets": 0, "step_amount": 0, "step_rir": Decimal(0), "step_load": Decimal(0)}
_NO_LOAD: dict[str, Any] = {"load_entered": None, "load_unit": "", "load_kg": None, "step_load": Decimal(0)}
_OPTIONS = {"easier": "easier_below", "harder": "harder_from"}
# Reserve is rated from 0 to 10.
MOST_IN_RESERVE = 10
_AT_LEAST_TWO = frozenset({GroupKind.PAIR.value, GroupKind.CIRCUIT.value})


@dataclass(frozen=True)
class Told:
    """What became of one prescription, in all its weeks; nothing became of it when `became` is empty."""

    session: str
    movement: str
    became: str
    why: str

    def as_json(self) -> dict[str, str]:
        return asdict(self)


@dataclass(frozen=True)
class Placed:
    sessions: list[ReadSession]
    told: list[Told]


@dataclass(frozen=True)
class _Choice:
    """One movement for all weeks of a prescription with the dose of each; or none, and why."""

    doses: Sequence[Asked] = ()
    why: str = ""


@dataclass(frozen=True)
class Own:
    """What a client lifted last with a movement, and the help they had; None where there was none."""

    load_kg: Decimal | None = None
    help_kg: Decimal | None = None


def place(
    sessions: Sequence[ReadSession], found: Around, movements: Movements, own: Mapping[str, Own] | None = None
) -> Placed:
    """Every prescription as this client can do it on that day.

    Possible in all weeks as written, it stays. Above the ceiling alone, it stays with less of it or more in reserve.
    Else it becomes the nearest movement that is not harder, the same one in every week, with its dose; else it is left
    out. A load above the client's own last one, or less help than they had, was right for somebody else: theirs takes
    its place (`own`, by movement), or none. What is not as written is told.
    """
    own = own or {}
    day = day_of_placing(found.day)
    kept: dict[tuple[int, int], Row] = {}
    told: list[Told] = []
    for places in _by_lineage(sessions).values():
        rows = [sessions[s].rows[r] for s, r in places]
        choice = _choose([found.asked(row) for row in rows], day, found.graph)
        name = sessions[places[0][0]].name
        placed = [_as_row(row, dose, movements) for row, dose in zip(rows, choice.doses, strict=False)]
        placed, changed = _with_own_amounts(placed, own.get(choice.doses[0].movement.slug) if choice.doses else None)
        told += [Told(name, rows[0].movement.name, placed[0].movement.name, why) for why in changed]
        if choice.why:
            became = placed[0].movement.name if placed else ""
            told.append(Told(name, rows[0].movement.name, became, _with_cue(choice.why, rows, placed)))
        lost = _lost_options(placed, rows, found, day)
        told += [Told(name, movement, "", why) for movement, why in lost.values()]
        kept |= zip(places, (_without(row, lost) for row in placed), strict=False)
    return Placed([_rebuilt(session, s, kept) for s, session in enumerate(sessions)], told)


def day_of_placing(day: Day) -> Day:
    """While nothing may start, things and areas are looked at alone: publishing is what is refused until then."""
    if day.no_start or day.ceiling == Ceiling.NONE:
        return replace(day, no_start="", ceiling=Ceiling.VIGOROUS.value)
    return day


def _by_lineage(sessions: Sequence[ReadSession]) -> dict[tuple[object, int], list[tuple[int, int]]]:
    """Where each prescription stands, in the order of the weeks. One that changes its movement half-way is two."""
    found: dict[tuple[object, int], list[tuple[int, int]]] = defaultdict(list)
    for s in sorted(range(len(sessions)), key=lambda n: sessions[n].week):
        for r, row in enumerate(sessions[s].rows):
            found[row.lineage or (s, r), row.movement.movement_id].append((s, r))
    return found


def _choose(asked: Sequence[Asked], day: Day, graph: Graph) -> _Choice:
    refused = [one for one in asked if refusal(one, day) is not None]
    if not refused:
        return _with_a_small_beginning(asked, day)
    answers = [resolve(one, day, graph) for one in asked]
    reason = reason_words(refused[0].movement, refusal(refused[0], day), day)
    # The movement itself first: an effort above the ceiling is no reason to change it.
    nearest = [asked[0].movement.slug, *(answer.movement.slug for answer in answers if answer.movement)]
    for movement in dict.fromkeys(nearest):
        doses = _doses(asked, movement, day, graph)
        if len(doses) == len(asked):
            return _Choice(doses, f"{reason} {_how(doses[0], asked[0], day)}".strip())
    if all(answer.movement for answer in answers):
        return _Choice(why=f"{reason} {_('No one movement is possible in all of its weeks.')}")
    return _Choice(why=f"{reason} {_('Nothing that is not harder is possible.')}")


def _with_a_small_beginning(asked: Sequence[Asked], day: Day) -> _Choice:
    """As written; in its first week less of it after weeks without it, and of what is lowered for the first time."""
    first = asked[0]
    since = (day.days_since or {}).get(first.movement.slug)
    is_lowering = first.movement.lowering or is_long_lowering(first.tempo)
    if since is None and is_lowering:
        why = _("Lowering makes sore, and the client has not done it yet: the first week has less of it.")
    elif since is not None and since >= BREAK_DAYS:
        why = _("The client has not done it for %(days)d days: the first week has less of it.") % {"days": since}
    else:
        return _Choice(asked)
    small = lessened(first, first, day)
    return _Choice(asked) if small == first else _Choice([small, *asked[1:]], why)


def _doses(asked: Sequence[Asked], slug: str, day: Day, graph: Graph) -> list[Asked]:
    """The doses of the weeks in which this movement is possible, by the rules of programs.domain.resolving."""
    if slug == asked[0].movement.slug:
        is_begun = refusal(asked[0], day) is None
        found = [_as_itself(one, day, is_begun=is_begun) for one in asked]
    else:
        option = next(one for one in graph.easier_than(asked[0].movement.slug) if one.movement.slug == slug)
        turned_doses = [lessened(turned(one, option, graph, day), one, day) for one in asked]
        found = [dose if refusal(dose, day) is None else None for dose in turned_doses]
    return [dose for dose in found if dose is not None]


def _as_itself(asked: Asked, day: Day, *, is_begun: bool) -> Asked | None:
    """As written; else as small as a first time or a return; else with as much in reserve as the ceiling needs.

    Where the first week stands as written, a later one is no first time.
    """
    small = () if is_begun else (lessened(asked, asked, day),)
    with_more = (with_reserve(asked, least) for least in range(MOST_IN_RESERVE + 1))
    return next((dose for dose in chain((asked,), small, with_more) if refusal(dose, day) is None), None)


def _how(dose: Asked, asked: Asked, day: Day) -> str:
    since = (day.days_since or {}).get(dose.movement.slug)
    is_itself = dose.movement.slug == asked.movement.slug
    if is_itself and (dose == asked or (since is not None and since < BREAK_DAYS)):
        return _("It stays, with more in reserve.")
    if since is None:
        return _("The client has not done it yet, so it starts small.")
    if since >= BREAK_DAYS:
        return _("There is less of it after %(days)d days without it.") % {"days": since}
    return ""


def _as_row(row: Row, dose: Asked, movements: Movements) -> Row:
    columns = {name: getattr(dose, name) for name in DOSE_FIELDS}
    if dose.movement.revision_id == row.movement.pk:
        is_as_written = columns == {name: getattr(row, name) for name in DOSE_FIELDS}
        # A step that was written in another unit would be a larger one.
        step_load = row.step_load if dose.load_unit == row.load_unit else Decimal(0)
        return row if is_as_written else replace(row, step_load=step_load, **columns | parts_that_fit(dose))
    movement = movements[dose.movement.slug]
    grip = row.grip if set(row.grip.split(",")) <= set(movement.grips) else ""
    return replace(row, movement=movement, **columns | parts_that_fit(dose) | _NOT_TAKEN_ALONG | {"grip": grip})


def parts_that_fit(dose: Asked) -> dict[str, Any]:
    """The parts of a cluster are no larger than the set, and only repetitions have parts."""
    if dose.kind != SetKind.CLUSTER:
        return {}
    if dose.movement.measure != Measure.REPETITIONS:
        return {"kind": SetKind.WORK.value, "cluster_reps": None, "rest_within_s": None}
    return {"cluster_reps": min(dose.cluster_reps or 1, dose.amount_low)}


def _with_own_amounts(placed: list[Row], own: Own | None) -> tuple[list[Row], list[str]]:
    """No load above the client's last one and no help below it, in any week, with what to tell of it."""
    known, told = own or Own(), []
    loads = [row.load_kg for row in placed if row.load_kg is not None and row.percent_of_max is None]
    if loads and (known.load_kg is None or max(loads) > known.load_kg):
        told.append(_other_load(max(loads), known.load_kg))
        placed = [_with_load_of(row, known.load_kg) if row.percent_of_max is None else row for row in placed]
    helps = [row.assistance_kg for row in placed if row.assistance_kg is not None]
    if helps and (known.help_kg is None or min(helps) < known.help_kg):
        told.append(_other_help(min(helps), known.help_kg))
        placed = [replace(row, assistance_kg=_most(row.assistance_kg, known.help_kg)) for row in placed]
    return placed, told


def _most(written: Decimal | None, own: Decimal | None) -> Decimal | None:
    return None if written is None or own is None else max(written, own)


def _with_load_of(row: Row, load_kg: Decimal | None) -> Row:
    if load_kg is None or row.load_kg is None:
        return replace(row, **_NO_LOAD)
    if load_kg >= row.load_kg:
        return replace(row, step_load=Decimal(0))
    return replace(row, load_kg=load_kg, load_entered=in_unit(load_kg, row.load_unit), step_load=Decimal(0))


def _other_load(written: Decimal, own: Decimal | None) -> str:
    told = {"written": plain(written), "own": plain(own)}
    if own is None:
        return (
            _("Its load (%(written)s kg) was written for somebody else, and the client has none yet: choose one.")
            % told
        )
    return (
        _("Its load was written for somebody else (%(written)s kg); the client's last one, %(own)s kg, stands there.")
        % told
    )


def _other_help(written: Decimal, own: Decimal | None) -> str:
    told = {"written": plain(written), "own": plain(own)}
    if own is None:
        return (
            _("Its help (%(written)s kg) was written for somebody else, and the client's is not known: choose it.")
            % told
        )
    return (
        _("Its help was written for somebody else (%(written)s kg); the client's last, %(own)s kg, stands there.")
        % told
    )


def _with_cue(why: str, rows: Sequence[Row], placed: Sequence[Row]) -> str:
    lost = [before.cue for before, now in zip(rows, placed, strict=False) if before.cue and not now.cue]
    return f"{why} {_('Its cue is left out:')} {lost[0]}" if lost else why


def _lost_options(placed: Sequence[Row], rows: Sequence[Row], found: Around, day: Day) -> dict[str, tuple[str, str]]:
    """The easier and the harder option that cannot stay in some week, each with its name and why."""
    lost: dict[str, tuple[str, str]] = {}
    for row, written in zip(placed, rows, strict=False):
        for side in _OPTIONS:
            option: MovementRevision | None = getattr(row, side)
            if option is not None and side not in lost and (why := _no_option(row, written, option, found, day)):
                lost[side] = (option.name, why)
    return lost


def _no_option(row: Row, written: Row, option: MovementRevision, found: Around, day: Day) -> str:
    names = {"name": written.movement.name}
    if row.movement.pk != written.movement.pk:
        return _("It was an option beside %(name)s.") % names
    dose = replace(found.asked(row), movement=found.known(option))
    code = refusal(dose, day)
    if code is None:
        return ""
    return f"{_('It was an option beside %(name)s.') % names} {reason_words(dose.movement, code, day)}"


def _without(row: Row, options: Mapping[str, object]) -> Row:
    gone: dict[str, Any] = {column: None for side in options for column in (side, _OPTIONS[side])}
    return replace(row, **gone) if gone else row


def _rebuilt(session: ReadSession, s: int, kept: Mapping[tuple[int, int], Row]) -> ReadSession:
    numbered = list(enumerate(session.rows))
    brackets = chained(numbered, joins_next=lambda pair: pair[1].joined)
    rows = [row for bracket in brackets for row in _bracket(bracket, s, kept)]
    return replace(session, rows=rows)


def _bracket(bracket: Sequence[tuple[int, Row]], s: int, kept: Mapping[tuple[int, int], Row]) -> Iterator[Row]:
    """What is left of what is done together, with its kind and times as long as they mean something."""
    first = bracket[0][1]
    left = [kept[s, r] for r, _row in bracket if (s, r) in kept]
    together = "" if first.together in _AT_LEAST_TWO and len(left) != len(bracket) else first.together
    if together == kind_by_number(len(left)):
        together = ""
    if (together or kind_by_number(len(left))) in IN_ROUNDS:
        # Less of one is less of all: a set is a round.
        left = [replace(row, sets=min(one.sets for one in left)) for row in left]
    if left and len(left) < len(bracket):
        # The rest of a round stood after the last of it.
        left[-1] = replace(left[-1], rest_s=max(row.rest_s for _r, row in bracket))
    interval_s = wider_interval_s(first.interval_s, len(bracket), len(left))
    spoken: dict[str, Any] = {"together": together, "minutes": first.minutes, "interval_s": interval_s}
    for n, row in enumerate(left):
        yield replace(row, joined=n + 1 < len(left), **(spoken if n == 0 else {}))
