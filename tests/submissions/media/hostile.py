"""Files that are not what they say, made fresh for each test."""

import random
import struct
from fractions import Fraction
from pathlib import Path

import av
import numpy as np


def empty(path: Path) -> None:
    path.write_bytes(b"")


def text(path: Path) -> None:
    path.write_text("Squats felt good today.\n" * 100)


def svg(path: Path) -> None:
    path.write_text('<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect width="9" height="9"/></svg>')


def playlist(path: Path, target: Path) -> None:
    """An HLS playlist that makes an unguarded decoder open another file."""
    path.write_text(
        f"#EXTM3U\n#EXT-X-VERSION:3\n#EXT-X-TARGETDURATION:8\n#EXTINF:8.0,\nfile://{target}\n#EXT-X-ENDLIST\n"
    )


def concatenation(path: Path, target: Path) -> None:
    path.write_text(f"ffconcat version 1.0\nfile '{target}'\n")


def cut_in_half(path: Path, clip: Path) -> None:
    whole = clip.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])


def boxes(whole: bytes) -> list[tuple[bytes, bytes]]:
    """The outermost boxes of an MP4, each with its kind."""
    at, found = 0, []
    while at < len(whole):
        length = struct.unpack(">I", whole[at : at + 4])[0]
        found.append((whole[at + 4 : at + 8], whole[at : at + length]))
        at += length
    return found


def without_index(path: Path, clip: Path) -> None:
    path.write_bytes(b"".join(box for kind, box in boxes(clip.read_bytes()) if kind != b"moov"))


def flipped(path: Path, clip: Path, *, kind: bytes, flips: int, seed: int = 1) -> None:
    """Flip bits inside one outermost box, its header left as it was."""
    chance, parts = random.Random(seed), []
    for name, box in boxes(clip.read_bytes()):
        changed = bytearray(box)
        if name == kind:
            for _ in range(flips):
                changed[chance.randrange(8, len(changed))] ^= 1 << chance.randrange(8)
        parts.append(bytes(changed))
    path.write_bytes(b"".join(parts))


def sound_only(path: Path) -> None:
    with av.open(str(path), "w", format="mp4") as clip:
        sound = clip.add_stream("aac", rate=48_000)
        for start in range(0, 48_000, 1024):
            frame = av.AudioFrame.from_ndarray(np.zeros((1, 1024), np.float32), format="fltp", layout="mono")
            frame.sample_rate, frame.pts, frame.time_base = 48_000, start, Fraction(1, 48_000)
            clip.mux(sound.encode(frame))
        clip.mux(sound.encode(None))


def one_picture(
    path: Path, *, width: int, height: int, repeated: int = 1, fps: int = 30, codec: str = "libx264"
) -> None:
    """A grey picture, encoded once and shown as often as wished: few bytes, much work."""
    with av.open(str(path), "w", format="mp4") as clip:
        film = clip.add_stream(codec, rate=fps)
        film.width, film.height, film.pix_fmt = width, height, "yuv420p"
        if codec == "libx264":
            film.codec_context.options = {"preset": "ultrafast"}
        frame = av.VideoFrame(width, height, "yuv420p")
        for plane in frame.planes:
            plane.update(bytes([128]) * plane.buffer_size)
        frame.pts = 0
        data = b"".join(bytes(packet) for packet in [*film.encode(frame), *film.encode(None)])
        for number in range(repeated):
            packet = av.Packet(data)
            packet.stream, packet.time_base = film, Fraction(1, fps)
            packet.pts = packet.dts = number
            packet.is_keyframe = True
            clip.mux(packet)
