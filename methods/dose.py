"""A dose, and the written partial order that says when one is harder than another."""

from dataclasses import dataclass, fields, replace
from typing import Literal

from methods.ranges import require_finite, require_not_negative
from methods.volume import Tempo, parse_tempo

Comparison = Literal["same", "easier", "harder", "incomparable"]


@dataclass(frozen=True, slots=True)
class Dose:
    """What one prescription asks for. None means that the field does not apply or was not stated.

    `load_kg` is what is added to the body, negative for help. `repetitions`, `seconds` and `metres` are the most asked
    for in one set (the top of a range). `step` is the place on a progression line, counted from
    anywhere (0 may be today's): higher is harder. `range_of_motion` is a fraction of the full range.
    """

    load_kg: float | None = None
    repetitions: int | None = None
    sets: int = 1
    seconds: float | None = None
    step: int | None = None
    range_of_motion: float | None = None
    tempo: str | None = None
    rir: float | None = None
    rest_s: float | None = None
    metres: float | None = None

    def __post_init__(self) -> None:
        for name in ("repetitions", "sets", "seconds", "rir", "rest_s", "metres"):
            value = getattr(self, name)
            if value is not None:
                require_not_negative(**{name: value})
        if self.load_kg is not None:
            require_finite(load_kg=self.load_kg)
        if self.range_of_motion is not None and not 0 < self.range_of_motion <= 1:
            raise ValueError(f"range_of_motion must lie between 0 and 1, got {self.range_of_motion}")
        if self.tempo is not None:
            parse_tempo(self.tempo)


# More of these is harder; less of those is harder.
_MORE_IS_HARDER = ("load_kg", "repetitions", "sets", "seconds", "step", "range_of_motion", "metres")
_LESS_IS_HARDER = ("rest_s",)


def _compare_numbers(a: float | None, b: float | None) -> Comparison:
    if a == b:
        return "same"
    if a is None or b is None:
        return "incomparable"
    return "harder" if a > b else "easier"


def _compare_tempos(a: str | None, b: str | None) -> Comparison:
    """Longer lowering and longer pauses are harder; another speed of lifting is simply different."""
    if a is None or b is None:
        return "same" if a == b else "incomparable"
    first, second = parse_tempo(a), parse_tempo(b)
    if first.concentric_s != second.concentric_s:
        return "incomparable"
    return _together([_compare_numbers(getattr(first, name), getattr(second, name)) for name in _TEMPO_PHASES])


_TEMPO_PHASES = ("eccentric_s", "bottom_s", "top_s")


def _together(comparisons: list[Comparison]) -> Comparison:
    differing = {comparison for comparison in comparisons if comparison != "same"}
    if not differing:
        return "same"
    return differing.pop() if len(differing) == 1 else "incomparable"


def compare(a: Dose, b: Dose) -> Comparison:
    """Compare two doses in every dimension at once.

    Notes
    -----
    More load, repetitions, sets, seconds, metres, range, or a higher step is harder; so is a slower lowering or a
    longer pause, fewer in reserve (unstated counts as none) and less rest. Easier in one and harder in another is
    incomparable. A dose without sets is nothing to do, and easier than any other.

    Evidence: T (house rule: the written order behind "never harder").

    Examples
    --------
    >>> compare(Dose(load_kg=20, repetitions=8), Dose(load_kg=22.5, repetitions=6))
    'incomparable'
    """
    if a.sets == 0 or b.sets == 0:
        return _compare_numbers(min(a.sets, 1), min(b.sets, 1))
    comparisons = [_compare_numbers(getattr(a, name), getattr(b, name)) for name in _MORE_IS_HARDER]
    comparisons += [_compare_numbers(getattr(b, name), getattr(a, name)) for name in _LESS_IS_HARDER]
    comparisons += [_compare_numbers(b.rir or 0.0, a.rir or 0.0), _compare_tempos(a.tempo, b.tempo)]
    return _together(comparisons)


def harder(a: Dose, b: Dose) -> bool:
    """Say whether `a` must be treated as harder than `b`; incomparable counts as harder.

    Evidence: T (house rule).

    Examples
    --------
    >>> harder(Dose(sets=4), Dose(sets=3)), harder(Dose(sets=3), Dose(sets=3))
    (True, False)
    """
    return compare(a, b) in ("harder", "incomparable")


def easier_of(a: Dose, b: Dose) -> Dose:
    """Take the easier value of two doses in every dimension; both must state the same dimensions.

    Raises
    ------
    ValueError
        If a dimension is stated in one of them only (but for the reserve, where unstated means none).

    Evidence: T (house rule).

    Examples
    --------
    >>> easier_of(Dose(load_kg=18, sets=3), Dose(load_kg=20, sets=2))
    ... # doctest: +ELLIPSIS
    Dose(load_kg=18, repetitions=None, sets=2, ...)
    """
    for field in fields(Dose):
        if field.name != "rir" and (getattr(a, field.name) is None) != (getattr(b, field.name) is None):
            raise ValueError(f"only one of the two doses states {field.name}")
    values: dict[str, float] = {}
    for name in _MORE_IS_HARDER:
        if getattr(a, name) is not None:
            values[name] = min(getattr(a, name), getattr(b, name))
    if a.rest_s is not None and b.rest_s is not None:
        values["rest_s"] = max(a.rest_s, b.rest_s)
    if a.rir is not None or b.rir is not None:
        values["rir"] = max(a.rir or 0.0, b.rir or 0.0)
    return replace(a, tempo=_easier_tempo(a.tempo, b.tempo), **values)  # type: ignore[arg-type]


def _easier_tempo(a: str | None, b: str | None) -> str | None:
    if a is None or b is None or a == b:
        return a
    first, second = parse_tempo(a), parse_tempo(b)
    if first.concentric_s != second.concentric_s:
        raise ValueError(f"tempos {a} and {b} lift at different speeds")
    return written(
        Tempo(
            min(first.eccentric_s, second.eccentric_s),
            min(first.bottom_s, second.bottom_s),
            first.concentric_s,
            min(first.top_s, second.top_s),
        )
    )


def written(tempo: Tempo) -> str:
    """Write a tempo as eccentric-bottom-concentric-top.

    Evidence: A (a notation).

    Examples
    --------
    >>> written(Tempo(3, 1, None, 0))
    '3-1-X-0'
    """
    lift = "X" if tempo.concentric_s is None else f"{tempo.concentric_s:g}"
    return f"{tempo.eccentric_s:g}-{tempo.bottom_s:g}-{lift}-{tempo.top_s:g}"
