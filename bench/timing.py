"""Two things side by side, taking turns, so that other work on the machine disturbs both alike."""

import math
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass, field

Act = Callable[[], object]
# Shorter acts are repeated until they last so long; a clock says little about a millisecond.
SHORTEST_S = 0.02


@dataclass(frozen=True)
class Row:
    """Seconds of ours and of the bare thing, turn by turn."""

    what: str
    ours: list[float] = field(default_factory=list)
    bare: list[float] = field(default_factory=list)
    remark: str = ""

    @property
    def ratios(self) -> list[float]:
        return [ours / bare for ours, bare in zip(self.ours, self.bare, strict=True)]

    def __str__(self) -> str:
        if not self.ours:
            return f"{self.what:<66} not measured: {self.remark}"
        ratio = statistics.median(self.ratios)
        spread = f"{_plain(min(self.ratios))} to {_plain(max(self.ratios))}"
        times = f"{_time(statistics.median(self.ours)):>10} {_time(statistics.median(self.bare)):>10}"
        return f"{self.what:<66} {times} {_plain(ratio):>7}  {spread:<18} {self.remark}".rstrip()


def side_by_side(what: str, ours: Act, bare: Act, *, turns: int, remark: str = "", warm: bool = True) -> Row:
    """Each once or twice to get warm, unless that takes too long; then in turns."""
    repeats = [_repeats(act) if warm else 1 for act in (ours, bare)]
    row = Row(what, remark=remark)
    for _ in range(turns):
        for act, times, taken in zip((ours, bare), repeats, (row.ours, row.bare), strict=True):
            taken.append(_seconds(act, times))
    return row


def _repeats(act: Act) -> int:
    first = _seconds(act, 1)
    return 1 if first > 10 * SHORTEST_S else max(1, math.ceil(SHORTEST_S / _seconds(act, 1)))


def _seconds(act: Act, times: int) -> float:
    started = time.perf_counter()
    for _ in range(times):
        act()
    return (time.perf_counter() - started) / times


def _time(seconds: float) -> str:
    return f"{seconds:.2f} s" if seconds >= 1 else f"{seconds * 1000:.1f} ms"


def _plain(ratio: float) -> str:
    return f"{ratio:.0f}" if ratio >= 20 else f"{ratio:.1f}" if ratio >= 2 else f"{ratio:.2f}"
