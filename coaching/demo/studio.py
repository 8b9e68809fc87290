"""The clips of the demo: drawn and prepared once, then kept by their content, whoever of the demo is in the picture.

Run as a program it makes what is missing, so that loading can go on beside it: `python -m coaching.demo.studio`.
"""

import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path

from django.conf import settings

from submissions.domain.media.probe import ClipFacts
from submissions.domain.media.transcode import POSTER, REVIEW, ProcessedClip, process_clip

CODE = ("coaching/demo/figures", "submissions/domain/media")
DRAWN, FACTS = "drawn.mp4", "facts.json"


@dataclass(frozen=True)
class Figure:
    """What coaching.demo.figures.draw_clip is asked for."""

    movement: str
    fps: int = 30
    seconds: float = 5
    size: tuple[int, int] = (360, 640)
    depth: float = 1.0
    pace: float = 1.0
    seed: int = 0

    @property
    def is_portrait(self) -> bool:
        return self.size[1] > self.size[0]


FIGURES = {
    "squat": Figure("squat", fps=60),
    "shallow squat": Figure("squat", depth=0.7, seed=3),
    "push-up": Figure("push_up", size=(640, 360), seed=1),
    "row": Figure("ring_row", pace=1.15, seed=2),
    "pull-up": Figure("pull_up", fps=60, seed=4),
    "hollow hold": Figure("hollow_hold", size=(640, 360), seed=5),
}


@dataclass(frozen=True)
class Ready:
    """A clip as the phone sends it, and what preparing it gave."""

    folder: Path
    facts: dict

    @property
    def drawn(self) -> Path:
        return self.folder / DRAWN

    @property
    def frame_times(self) -> list[int]:
        return self.facts["frame_times"]


def folder() -> Path:
    """Beside the other things that are made from the code, so that a reset does not make them again."""
    return Path(settings.ROOT) / "build" / "demo-clips"


@cache
def code_sha256() -> str:
    """Changed code draws other pictures."""
    digest = hashlib.sha256()
    for path in sorted(p for part in CODE for p in (Path(settings.ROOT) / part).glob("*.py")):
        digest.update(path.name.encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()


def place_of(figure: Figure) -> Path:
    asked = json.dumps([asdict(figure), code_sha256()], sort_keys=True)
    return folder() / hashlib.sha256(asked.encode()).hexdigest()[:32]


def is_made(figure: Figure) -> bool:
    return all((place_of(figure) / name).exists() for name in (DRAWN, REVIEW, POSTER, FACTS))


@contextmanager
def making(names: Collection[str]) -> Iterator[Callable[[], dict[str, Ready]]]:
    """Make what is missing of these in a process of its own; what is handed out waits for it and gives the clips."""
    work = None if all(is_made(FIGURES[name]) for name in names) else _begin()

    @cache
    def clips() -> dict[str, Ready]:
        if work is not None:
            _wait_for(work)
        return {name: _ready(place_of(FIGURES[name])) for name in names}

    try:
        yield clips
    finally:
        if work is not None and work.poll() is None:
            work.terminate()
            work.wait()


def _begin() -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "coaching.demo.studio"],
        cwd=settings.ROOT,
        env=os.environ | {"DJANGO_SETTINGS_MODULE": "coaching.settings.demo"},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )


def _wait_for(work: subprocess.Popen[str]) -> None:
    _out, errors = work.communicate()
    if work.returncode != 0:
        raise RuntimeError(f"The clips of the demo could not be made: {errors.strip()[-2000:]}")


def _ready(place: Path) -> Ready:
    return Ready(place, json.loads((place / FACTS).read_text()))


def make_missing() -> None:
    for figure in FIGURES.values():
        if not is_made(figure):
            make(figure)
    _forget_the_rest()


def make(figure: Figure) -> None:
    """Draw, prepare as the worker does, and put it all in place at once: half of a clip is never found."""
    from coaching.demo.figures import draw_clip  # noqa: PLC0415 -- heavy, and only here

    folder().mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder(), prefix=".making-") as name:
        work = Path(name) / "clip"
        work.mkdir()
        draw_clip(
            work / DRAWN,
            movement=figure.movement,
            fps=figure.fps,
            seconds=figure.seconds,
            size=figure.size,
            depth=figure.depth,
            pace=figure.pace,
            seed=figure.seed,
            rotation_flag=figure.is_portrait,
        )
        made = process_clip(work / DRAWN, work)
        made.original.unlink()
        facts = {
            "duration_s": str(made.duration_s),
            "width": made.width,
            "height": made.height,
            "frame_times": made.frame_times,
            "has_audio": made.has_audio,
            "source": asdict(made.source),
        }
        (work / FACTS).write_text(json.dumps(facts))
        shutil.rmtree(place_of(figure), ignore_errors=True)
        work.rename(place_of(figure))


def _forget_the_rest() -> None:
    """Clips that an earlier version of the code drew."""
    wanted = {place_of(figure).name for figure in FIGURES.values()}
    for old in folder().iterdir():
        if old.name not in wanted and not old.name.startswith("."):
            shutil.rmtree(old, ignore_errors=True)


def processed(ready: Ready, work: Path) -> ProcessedClip:
    """What the worker would have got from preparing the clip, in a folder of its own: the storage takes the files."""
    for name in (REVIEW, POSTER):
        shutil.copyfile(ready.folder / name, work / name)
    facts = ready.facts
    return ProcessedClip(
        original=ready.drawn,
        review_copy=work / REVIEW,
        poster=work / POSTER,
        duration_s=Decimal(facts["duration_s"]),
        width=facts["width"],
        height=facts["height"],
        frame_times=facts["frame_times"],
        has_audio=facts["has_audio"],
        source=ClipFacts(**facts["source"]),
    )


if __name__ == "__main__":
    import django

    django.setup()
    make_missing()
