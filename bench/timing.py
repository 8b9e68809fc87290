import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Result:
    """Seconds, or counts, of ours and of the bare thing."""

    what: str
    ours: str
    bare: str
    ratio: float
    remark: str = ""


def fastest(act: Callable[[], object], *, times: int) -> float:
    """Seconds of the fastest run: the one that other programs disturbed least."""
    return min(_seconds(act) for _ in range(times))


def _seconds(act: Callable[[], object]) -> float:
    started = time.perf_counter()
    act()
    return time.perf_counter() - started


def compared(what: str, ours: float, bare: float, remark: str = "") -> Result:
    return Result(what, f"{ours * 1000:.1f} ms", f"{bare * 1000:.1f} ms", ours / bare, remark)
