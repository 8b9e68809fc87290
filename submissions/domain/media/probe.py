"""What a file is, found out in the sandbox, or the reason why it cannot be a clip."""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from submissions.domain.media import containers, sandbox, whitelist
from submissions.domain.media.reasons import BadClip, Reason, ToolFailed

INSPECTION = Path(__file__).with_name("inspection.py")
INSPECTION_LIMITS = sandbox.Limits(wall_s=60, cpu_s=30, file_bytes=16 * 1024**2)


@dataclass(frozen=True)
class ClipLimits:
    """A set is filmed, not a training: five minutes at 120 pictures a second are plenty."""

    duration_s: int = 300
    frames: int = 36_000
    pixels: int = whitelist.MAX_PIXELS


@dataclass(frozen=True)
class ClipFacts:
    """Width and height are as seen, after the rotation flag and with square pixels."""

    width: int
    height: int
    rotation: int
    codec: str
    pix_fmt: str
    transfer: str
    matrix_known: bool
    video_index: int
    audio_index: int | None
    frames: int
    duration_s: float

    @property
    def has_audio(self) -> bool:
        return self.audio_index is not None


def probe(source: Path, limits: ClipLimits | None = None) -> ClipFacts:
    """Read the facts of a clip, or raise BadClip with its reason. Decodes one picture, reads every packet."""
    limits = limits or ClipLimits()
    if source.stat().st_size == 0:
        raise BadClip(Reason.EMPTY)
    if not containers.is_known_container(source):
        raise BadClip(Reason.NOT_A_VIDEO)
    if containers.ends_early(source):
        raise BadClip(Reason.TRUNCATED)
    bounds = [str(limits.pixels), str(limits.frames), str(limits.duration_s)]
    return ClipFacts(**_inspect("facts", source, bounds))


def frame_times(review_copy: Path) -> list[int]:
    """Return when each frame of a review copy is shown, in 1/90000 s, ascending. [ticks]"""
    return _inspect("times", review_copy, [])["times"]


def _inspect(task: str, path: Path, bounds: list[str]) -> dict[str, Any]:
    finished = sandbox.run_python(INSPECTION, [task, str(path.resolve()), *bounds], INSPECTION_LIMITS)
    if finished.returncode < 0:
        raise BadClip(Reason.DAMAGED)
    if finished.returncode > 0:
        raise ToolFailed("the inspection itself failed")
    answer = json.loads(finished.stdout)
    if fault := answer.get("fault"):
        raise BadClip(Reason.DAMAGED if fault == "unreadable" else Reason(fault))
    return answer
