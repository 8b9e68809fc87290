"""Looks inside one file and prints what it found as JSON. Run by path in the sandbox, never imported.

`inspection.py facts FILE MAX_PIXELS MAX_FRAMES MAX_SECONDS` or `inspection.py times FILE`.
It reads the picture's properties only: a phone's metadata holds where the client lives.
"""

import json
import sys
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

# Last, so that no neighbour's name hides a library's.
sys.path.append(str(Path(__file__).parent))

import av
from whitelist import AUDIO_CODECS, INPUT_OPTIONS, VIDEO_CODECS

TRANSFERS = {16: "pq", 18: "hlg"}
TICKS_PER_S = 90_000
# Names in no known encoding must not make a clip unreadable; PyAV 19 does this by itself and lost the option.
LENIENT: dict[str, Any] = {"metadata_errors": "replace"} if int(av.__version__.partition(".")[0]) < 19 else {}


def main() -> None:
    task, path, *limits = sys.argv[1:]
    try:
        with av.open(path, options=INPUT_OPTIONS | {"enable_drefs": "0"}, **LENIENT) as clip:
            answer = times(clip) if task == "times" else facts(clip, *map(int, limits))
    except av.FFmpegError:
        # The text of the error may quote the file.
        answer = {"fault": "unreadable"}
    except MemoryError:
        answer = {"fault": "too_large_picture"}
    sys.stdout.write(json.dumps(answer))


def times(clip: Any) -> dict[str, Any]:
    """The presentation time of every frame, in order, in 1/90000 s."""
    video = film_of(clip)
    shown = [p.pts * p.time_base for p in clip.demux(video) if p.size and not p.is_discard]
    return {"times": sorted(round(at * TICKS_PER_S) for at in shown)}


def facts(clip: Any, max_pixels: int, max_frames: int, max_seconds: int) -> dict[str, Any]:
    video = film_of(clip)
    if video is None:
        return {"fault": "audio_only" if clip.streams.audio else "not_a_video" if len(clip.streams) else "damaged"}
    context = video.codec_context
    if context is None or context.codec.canonical_name not in VIDEO_CODECS:
        return {"fault": "unsupported_codec"}
    # Before the first picture is decoded: that is what a huge one would want.
    if context.width * context.height > max_pixels:
        return {"fault": "too_large_picture"}
    first, shown = None, []
    for packet in clip.demux(video):
        if not packet.size or packet.pts is None:
            continue
        if packet.is_corrupt:
            return {"fault": "truncated"}
        first = first or next(iter(packet.decode()), None)
        if not packet.is_discard:
            shown.append(packet.pts * packet.time_base)
        if len(shown) > max_frames:
            return {"fault": "too_many_frames"}
    # The decoder may hold its first picture back to the very end.
    first = first or next(iter(video.decode(None)), None)
    if first is None or not shown:
        return {"fault": "damaged"}
    shown.sort()
    duration = shown[-1] - shown[0] + usual_gap(shown)
    if duration > max_seconds:
        return {"fault": "too_long"}
    return described(clip, video, first) | {"frames": len(shown), "duration_s": round(float(duration), 6)}


def film_of(clip: Any) -> Any:
    """The film proper: some phones add a cover picture or a depth track."""
    films = [s for s in clip.streams.video if not s.disposition & av.stream.Disposition.attached_pic]
    return max(films, key=lambda s: getattr(s.codec_context, "width", 0), default=None)


def usual_gap(shown: list[Fraction]) -> Fraction:
    gaps = sorted(later - earlier for earlier, later in pairwise(shown))
    return gaps[len(gaps) // 2] if gaps else Fraction(0)


def described(clip: Any, video: Any, frame: Any) -> dict[str, Any]:
    width, height = round(frame.width * float(video.sample_aspect_ratio or 1)), frame.height
    if frame.rotation % 180:
        width, height = height, width
    sounds = [s for s in clip.streams.audio if s.codec_context and s.codec_context.codec.canonical_name in AUDIO_CODECS]
    return {
        "width": width,
        "height": height,
        "rotation": int(frame.rotation),
        "codec": video.codec_context.codec.canonical_name,
        "pix_fmt": frame.format.name,
        "transfer": TRANSFERS.get(int(frame.color_trc), "sdr"),
        "matrix_known": int(frame.colorspace) != 2,
        "video_index": video.index,
        "audio_index": sounds[0].index if sounds else None,
    }


if __name__ == "__main__":
    main()
