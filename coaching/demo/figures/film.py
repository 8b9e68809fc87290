"""Writes the drawn pictures as phones would: turned by a flag, unevenly timed, in high dynamic range, with a place."""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, Literal

import av
import numpy as np
from PIL import Image

from coaching.demo.figures import drawing
from coaching.demo.figures.movements import MOVEMENTS
from coaching.demo.figures.schedule import repetitions_within, share_at
from coaching.demo.figures.truth import TICKS_PER_S, Truth

SOUND_RATE = 48_000
# A spot in the open sea, so no one's.
PLACE = "-47.1234-126.5678/"
# Primaries, transfer, matrix as code points of ITU-T H.273: BT.709, and BT.2020 with HLG or PQ. [from memory]
COLOURS = {"": (1, 1, 1), "hlg": (9, 18, 9), "pq": (9, 16, 9)}


@dataclass(frozen=True)
class Variant:
    """What differs from the plain clip. `place` is how the recording carries its coordinates."""

    timing: Literal["steady", "dropped", "jittered"] = "steady"
    hdr: Literal["", "hlg", "pq"] = ""
    place: Literal["", "loci", "xyz", "mdta"] = ""
    sound: bool = False
    key_frame_every: int = 60


def draw_clip(
    path: Path,
    *,
    movement: str = "squat",
    fps: int = 30,
    seconds: float = 8,
    rotation_flag: bool = True,
    seed: int = 0,
    size: tuple[int, int] = (540, 960),
    depth: float = 1.0,
    pace: float = 1.0,
    variant: Variant | None = None,
) -> Truth:
    """Draw one clip and return what is true of it. `depth` below 1 stops short of the turn, `pace` above 1
    moves faster; a clip too short for a repetition shows the start position.

    With the rotation flag the picture is stored lying on its side, as phones held upright store it.
    The same arguments give the same pictures and times.
    """
    variant, moves = variant or Variant(), MOVEMENTS[movement]
    repetitions = repetitions_within(moves, seconds, seed, pace)
    ticks = frame_ticks(fps, seconds, variant.timing, seed)
    poses = [moves.pose(depth * share_at(tick / TICKS_PER_S, repetitions)) for tick in ticks]
    view = drawing.view_of(moves, *size)
    background = drawing.room(moves, view)
    pictures = (
        drawing.frame(background, pose, view, number, tick / TICKS_PER_S)
        for number, (pose, tick) in enumerate(zip(poses, ticks, strict=True))
    )
    write(path, pictures, ticks, fps, seconds, rotation_flag, size, variant)
    angles = [pose.angles_deg() for pose in poses]
    return Truth(
        movement=movement,
        width=size[0],
        height=size[1],
        repetitions=tuple(repetition for repetition, _ in repetitions),
        frame_ticks=tuple(ticks),
        angles_deg={joint: tuple(each[joint] for each in angles) for joint in angles[0]},
        points_px=tuple({name: view.to_px(point) for name, point in vars(pose).items()} for pose in poses),
    )


def frame_ticks(fps: int, seconds: float, timing: str, seed: int) -> list[int]:
    """When each frame is shown, in 1/90000 s. Phones drop frames in poor light and jitter by some milliseconds."""
    steady = [round(number * TICKS_PER_S / fps) for number in range(round(fps * seconds))]
    if timing == "dropped":
        gap = range(len(steady) // 2, len(steady) // 2 + fps // 4)
        return [tick for number, tick in enumerate(steady) if number % 7 != 6 and number not in gap]
    if timing == "jittered":
        chance = random.Random(seed)  # noqa: S311 -- a drawing, not a secret
        return [0, *(tick + chance.randint(-360, 360) for tick in steady[1:])]
    return steady


def write(
    path: Path,
    pictures: Iterator[Image.Image],
    ticks: list[int],
    fps: int,
    seconds: float,
    rotation_flag: bool,
    size: tuple[int, int],
    variant: Variant,
) -> None:
    options = {"video_track_timescale": str(TICKS_PER_S), "movflags": "faststart"}
    if variant.place == "mdta":
        options["movflags"] += "+use_metadata_tags"
    with av.open(str(path), "w", format="mp4" if variant.place in ("", "loci") else "mov", options=options) as clip:
        _describe(clip, variant)
        film = _film(clip, fps, size[::-1] if rotation_flag else size, variant)
        if rotation_flag:
            film.set_display_rotation(-90)
        sound = clip.add_stream("aac", rate=SOUND_RATE) if variant.sound else None
        for picture, tick in zip(pictures, ticks, strict=True):
            # Counter-clockwise, so that the player's clockwise quarter turn puts it upright.
            stored = picture.transpose(Image.Transpose.ROTATE_90) if rotation_flag else picture
            clip.mux(film.encode(_encodable(stored, tick, film)))
        clip.mux(film.encode(None))
        if sound:
            _hum(clip, sound, seconds)


def _describe(clip: Any, variant: Variant) -> None:
    if not variant.place:
        return
    clip.metadata["location"] = PLACE
    clip.metadata["creation_time"] = "2001-02-03T04:05:06Z"
    if variant.place == "mdta":
        clip.metadata["com.apple.quicktime.location.ISO6709"] = PLACE
        clip.metadata["com.apple.quicktime.model"] = "Invented Phone 7"


def _film(clip: Any, fps: int, stored_size: tuple[int, int], variant: Variant) -> Any:
    film = clip.add_stream("libx265" if variant.hdr else "libx264", rate=fps)
    film.width, film.height = stored_size
    film.pix_fmt = "yuv420p10le" if variant.hdr else "yuv420p"
    context = film.codec_context
    # Encodes beside the drawing; a fixed number, so that the bytes do not depend on the machine.
    context.thread_count = 2
    context.time_base, context.gop_size = Fraction(1, TICKS_PER_S), variant.key_frame_every
    primaries, transfer, matrix = COLOURS[variant.hdr]
    context.color_primaries, context.color_trc, context.colorspace = primaries, transfer, matrix
    context.options = {"preset": "ultrafast" if variant.hdr else "superfast", "crf": "23"}
    if variant.hdr:
        context.codec_tag = "hvc1"
        context.options |= {"x265-params": "log-level=none"}
    return film


def _encodable(stored: Image.Image, tick: int, film: Any) -> Any:
    frame = av.VideoFrame.from_ndarray(np.asarray(stored), format="rgb24").reformat(
        format=film.pix_fmt, dst_colorspace="ITU709"
    )
    frame.pts, frame.time_base = tick, Fraction(1, TICKS_PER_S)
    return frame


def _hum(clip: Any, sound: Any, seconds: float) -> None:
    wave = 0.05 * np.sin(2 * np.pi * 110 * np.arange(round(seconds * SOUND_RATE)) / SOUND_RATE)
    for start in range(0, len(wave), 1024):
        piece = wave[None, start : start + 1024].astype(np.float32)
        frame = av.AudioFrame.from_ndarray(piece, format="fltp", layout="mono")
        frame.sample_rate, frame.pts, frame.time_base = SOUND_RATE, start, Fraction(1, SOUND_RATE)
        clip.mux(sound.encode(frame))
    clip.mux(sound.encode(None))
