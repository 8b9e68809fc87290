"""Preparing a clip."""

import subprocess
from collections.abc import Iterator
from pathlib import Path

from bench.timing import Row, side_by_side
from coaching.demo.figures import draw_clip
from submissions.domain.media.sandbox import ffmpeg_path
from submissions.domain.media.transcode import process_clip

SECONDS = 4


def measure(folder: Path) -> Iterator[Row]:
    """Checks, remux, review copy, poster and frame times against the bare command that makes the review copy."""
    source, made, bare_copy = folder / "film.mov", folder / "made", folder / "bare.mp4"
    draw_clip(source, seconds=SECONDS)
    made.mkdir()
    yield side_by_side(
        f"prepare a clip of {SECONDS} s / one bare ffmpeg command",
        lambda: process_clip(source, made),
        lambda: _ffmpeg(source, bare_copy),
        turns=5,
    )


def _ffmpeg(source: Path, target: Path) -> None:
    encoding = "-c:v libx264 -profile:v high -preset veryfast -crf 23 -bf 0 -g 6 -sc_threshold 0 -pix_fmt yuv420p"
    quiet = ["-v", "error", "-y", "-threads", "2"]
    subprocess.run(
        [ffmpeg_path(), *quiet, "-i", str(source), *encoding.split(), "-threads", "2", "-an", str(target)], check=True
    )
