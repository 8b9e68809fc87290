"""Bars and dots as plain SVG numbers for templates: no script, and a table twin from the same rows."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

WIDTH, HEIGHT = 360, 160
LEFT, RIGHT, TOP, BOTTOM = 36, 8, 12, 22


@dataclass(frozen=True)
class Mark:
    """One bar or dot, with its value in words for the table."""

    x: float
    y: float
    width: float
    height: float
    label: str
    value: str


@dataclass(frozen=True)
class Chart:
    title: str
    unit: str
    marks: list[Mark]
    ticks: list[tuple[float, str]]
    labels: list[tuple[float, str]]
    points: str
    is_bars: bool
    width: int = WIDTH
    height: int = HEIGHT
    left: int = LEFT
    right: int = WIDTH - RIGHT
    floor: int = HEIGHT - BOTTOM


Value = float | Decimal | int | None


def bar_chart(title: str, unit: str, rows: Sequence[tuple[str, Value]]) -> Chart:
    """A bar per row. A value that is not known leaves a gap, and the table says so."""
    return _chart(title, unit, rows, is_bars=True, from_zero=True)


def dot_chart(title: str, unit: str, rows: Sequence[tuple[str, Value]]) -> Chart:
    """A dot per row, joined by a line; the axis starts near the smallest value."""
    return _chart(title, unit, rows, is_bars=False, from_zero=False)


def _chart(title: str, unit: str, rows: Sequence[tuple[str, Value]], *, is_bars: bool, from_zero: bool) -> Chart:
    known = [float(value) for _label, value in rows if value is not None]
    low, high, step = _scale(known, from_zero=from_zero)
    slot = (WIDTH - LEFT - RIGHT) / max(len(rows), 1)

    def y_of(value: float) -> float:
        return round(HEIGHT - BOTTOM - (value - low) / (high - low) * (HEIGHT - BOTTOM - TOP), 1)

    marks = []
    for n, (label, value) in enumerate(rows):
        if value is None:
            marks.append(Mark(0, 0, 0, 0, label, "–"))
            continue
        y, x = y_of(float(value)), LEFT + n * slot
        if is_bars:
            mark = Mark(
                round(x + slot * 0.15, 1),
                y,
                round(slot * 0.7, 1),
                round(HEIGHT - BOTTOM - y, 1),
                label,
                _in_words(value),
            )
        else:
            mark = Mark(round(x + slot / 2, 1), y, 3.5, 0, label, _in_words(value))
        marks.append(mark)
    every = -(-len(rows) // 5) or 1
    labels = [(round(LEFT + (n + 0.5) * slot, 1), label) for n, (label, _v) in enumerate(rows) if n % every == 0]
    ticks = [(y_of(low + n * step), f"{low + n * step:g}") for n in range(round((high - low) / step) + 1)]
    points = " ".join(f"{m.x},{m.y}" for m in marks if m.value != "–")
    return Chart(title, unit, marks, ticks, labels, points, is_bars)


# Values are shown with ten digits.
ALIKE = 1e-10


def _scale(values: Sequence[float], *, from_zero: bool) -> tuple[float, float, float]:
    """Ends of the axis and a round step of 1, 2 or 5 times a power of ten, about four to the axis."""
    low = 0.0 if from_zero or not values else min(values)
    high = max(values, default=1.0)
    spread = high - low
    if spread <= ALIKE * max(abs(low), abs(high)):
        # No step between them is left to a floating-point number, and the same is shown of both.
        spread = abs(high) or 1.0
    rough = spread / 4
    power = 10.0 ** _exponent(rough)
    step = next(power * m for m in (1, 2, 5, 10) if power * m >= rough)
    first = 0.0 if from_zero else step * (low // step)
    last = step * -(-high // step)
    return first, last if last > first else first + step, step


def _exponent(value: float) -> int:
    return int(f"{value:e}".split("e")[1])


def _in_words(value: Value) -> str:
    return f"{float(value):,.10g}" if value is not None else "–"
