"""What is known about a drawn clip, because it was drawn from it."""

from dataclasses import dataclass

TICKS_PER_S = 90_000


@dataclass(frozen=True)
class Repetition:
    """Leaving the start, the middle of the turn, and back at the start. [s]"""

    start_s: float
    turn_s: float
    end_s: float


@dataclass(frozen=True)
class Truth:
    """Times count from the first frame; angles and points have one entry per frame.

    Angles are interior angles between neighbouring segments (a straight knee is 180)
    and `trunk`, the lean of the trunk from vertical. [deg]
    Points are pixels of the upright picture, from its upper left corner.
    """

    movement: str
    width: int
    height: int
    repetitions: tuple[Repetition, ...]
    frame_ticks: tuple[int, ...]
    angles_deg: dict[str, tuple[float, ...]]
    points_px: tuple[dict[str, tuple[float, float]], ...]

    @property
    def frame_times_s(self) -> tuple[float, ...]:
        return tuple(tick / TICKS_PER_S for tick in self.frame_ticks)
