"""What must hold before the library is loaded. Each rule says what is wrong in words; all of them are told at once."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from graphlib import CycleError, TopologicalSorter

from clients.library.equipment import ATTRIBUTES, Attribute
from clients.library.intake import STEPS
from methods.bodyweight import Basis
from programs.choices import LoadKind, Measure, Pattern
from programs.library.schema import SCORED_BY_SHARE, SORENESS, Edge, Entry, Line

MOBILITY = frozenset({Pattern.SHOULDER_MOBILITY, Pattern.HIP_MOBILITY, Pattern.RAISE})
# These progress by load, so a line must say how they are entered.
BY_LOAD = frozenset({LoadKind.EXTERNAL, LoadKind.BAND, LoadKind.BODY_PLUS})
DOSE_KEYS = frozenset({"sets", "amount_low", "amount_high", "target_rir"})
# Two measurements of one movement differ by about this much of body mass between studies (methods/REFERENCES.md).
SHARE_TOLERANCE = 0.03


class LibraryFlaw(ValueError):
    """The library is not fit to be loaded; `flaws` has one sentence each."""

    def __init__(self, flaws: Sequence[str]) -> None:
        super().__init__("\n".join(flaws))
        self.flaws = list(flaws)


def check_library(entries: Sequence[Entry], lines: Sequence[Line]) -> None:
    """Raise LibraryFlaw with every flaw of the movements and their lines."""
    known = {entry.slug: entry for entry in entries}
    flaws = [flaw for entry in entries for flaw in entry_flaws(entry)]
    flaws += [f"{slug}: there are {n} movements of this slug" for slug, n in _doubled(e.slug for e in entries)]
    flaws += [f"{name}: there are {n} movements of this name" for name, n in _doubled(e.name.lower() for e in entries)]
    flaws += [flaw for line in lines for flaw in line_flaws(line, known)]
    # A practice may leave it out in lines of its own; what is offered to all says why.
    flaws += [
        f"{line.slug}: {e.easier} > {e.harder} does not say why" for line in lines for e in line.edges if not e.reason
    ]
    if flaws:
        raise LibraryFlaw(flaws)


def _doubled(words: Iterable[str]) -> Iterator[tuple[str, int]]:
    return ((word, n) for word, n in Counter(words).items() if n > 1)


def entry_flaws(entry: Entry) -> Iterator[str]:
    said = f"{entry.slug}: "
    if not 2 <= len(entry.cues) <= 3:
        yield said + f"two or three cues, not {len(entry.cues)}"
    if not (entry.set_up and entry.film_from and entry.name):
        yield said + "name, set-up and filming are wanted"
    if not entry.muscles or not set(entry.muscles.values()) <= {1, 0.5}:
        yield said + "muscles count whole or half, and there is at least one"
    if (entry.share is not None) != (entry.load_kind in SCORED_BY_SHARE):
        yield said + f"a share of body mass goes with its kind of load, {entry.load_kind}"
    if entry.load_kind == LoadKind.BODY_FULL and entry.share is not None and entry.share.value != 1:
        yield said + "the whole body mass is a share of 1"
    if not entry.areas:
        yield said + "the areas it stresses are missing"
    if entry.lowering and SORENESS not in entry.cautions:
        yield said + "lowering makes sore, and the caution about it is missing"
    yield from _detail_flaws(entry)
    for code in entry.caution_codes:
        if code not in INTAKE_ANSWERS:
            yield said + f"no intake answer is called {code}"


def _detail_flaws(entry: Entry) -> Iterator[str]:
    needed = {kind for way in entry.equipment for kind in way}
    for kind, wanted in entry.details.items():
        if kind not in needed:
            yield f"{entry.slug}: details of {kind}, which it does not need"
        known = {attribute.code: attribute for attribute in ATTRIBUTES.get(kind, ())}
        for code, least in wanted.items():
            if code not in known:
                yield f"{entry.slug}: {kind} is not asked about {code}"
            elif not _fits(known[code], least):
                yield f"{entry.slug}: {least} is no {code} of {kind}"


def _fits(attribute: Attribute, least: float | tuple[str, ...]) -> bool:
    if isinstance(least, tuple):
        return bool(least) and set(least) <= {code for code, _label in attribute.choices}
    return attribute.kind != "ticks" and attribute.minimum <= least <= attribute.maximum


def _intake_answers() -> frozenset[str]:
    questions = [question for step in STEPS for question in step.questions]
    return frozenset(f"{question.code}:{code}" for question in questions for code, _label in question.choices)


INTAKE_ANSWERS = _intake_answers()


def line_flaws(line: Line, known: dict[str, Entry]) -> Iterator[str]:
    """What is wrong with a line. Its edges are judged only where both ends are known."""
    missing = sorted(line.steps - set(known))
    for slug in missing:
        yield f"{line.slug}: no movement is called {slug}"
    for edge in line.edges:
        if edge.easier in known and edge.harder in known:
            yield from edge_flaws(line, edge, known[edge.easier], known[edge.harder])
    yield from shape_flaws(line)


def shape_flaws(line: Line) -> Iterator[str]:
    """Edges that lead nowhere, in a circle, or to steps that the first one does not reach."""
    for (easier, harder), n in Counter((e.easier, e.harder) for e in line.edges).items():
        if n > 1:
            yield f"{line.slug}: {easier} leads to {harder} {n} times"
    try:
        TopologicalSorter({slug: {e.easier for e in line.edges if e.harder == slug} for slug in line.steps}).prepare()
    except CycleError as circle:
        yield f"{line.slug}: a circle, {' > '.join(circle.args[1])}"
        return
    first = sorted(line.steps - {edge.harder for edge in line.edges})
    if len(first) != 1:
        yield f"{line.slug}: one first step, not {', '.join(first) or 'none'}"
    for edge in line.edges:
        if edge.entry_dose and not is_dose(edge.entry_dose):
            yield f"{line.slug}: the entry dose of {edge.harder} is not usable"


def is_dose(dose: dict[str, int]) -> bool:
    if set(dose) != DOSE_KEYS:
        return False
    return dose["sets"] >= 1 and 1 <= dose["amount_low"] <= dose["amount_high"] and dose["target_rir"] >= 2


def edge_flaws(line: Line, edge: Edge, easier: Entry, harder: Entry) -> Iterator[str]:
    said = f"{line.slug}: {edge.easier} > {edge.harder}, "
    for entry in (easier, harder):
        if entry.pattern in MOBILITY:
            yield said + f"{entry.slug} is mobility or a warm-up and has no line"
    if {easier.load_kind, harder.load_kind} & BY_LOAD and not edge.entry_dose:
        yield said + "progresses by load and needs an entry dose"
    if contradicts(easier, harder):
        yield said + f"its share falls from {easier.share.value:.2f} to {harder.share.value:.2f}"  # type: ignore[union-attr]


def contradicts(easier: Entry, harder: Entry) -> bool:
    """Whether known shares say that the "harder" one is clearly lighter. Only like is compared with like."""
    one, other = easier.share, harder.share
    if one is None or other is None or Basis.GUESS in (one.basis, other.basis):
        return False
    # Help is not in the share, a hold is not a repetition, and a split stance shares the body between two legs.
    if LoadKind.ASSISTED in (easier.load_kind, harder.load_kind) or easier.measure != harder.measure:
        return False
    if easier.measure == Measure.METRES or easier.pattern != harder.pattern:
        return False
    sides = (2 if easier.one_sided else 1, 2 if harder.one_sided else 1)
    return other.value * sides[1] < one.value * sides[0] - SHARE_TOLERANCE
