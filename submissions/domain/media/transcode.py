"""The copies made of a clip: the original without its metadata, the review copy, the poster."""

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from submissions.domain.media import sandbox, whitelist
from submissions.domain.media.probe import ClipFacts, ClipLimits, frame_times, probe
from submissions.domain.media.reasons import BadClip, Reason

SHORT_SIDE = 720
ORIGINAL, REVIEW, POSTER = "original", "review.mp4", "poster.jpg"
# No step runs longer than an hour, so a partial older than two has no owner.
ABANDONED_AFTER_S = 2 * 3600
PARTIAL = ".partial-"
BARE = ["-map_metadata", "-1", "-map_chapters", "-1", "-dn", "-sn", "-fflags", "+bitexact"]
HLG_INPUT = "tin=arib-std-b67:min=bt2020nc:pin=bt2020:rin=tv"
PQ_INPUT = "tin=smpte2084:min=bt2020nc:pin=bt2020:rin=tv"
# Supplemental information may hold anything, a place too. Types: ITU-T H.264 table 7-1, H.265 table 7-1.
WITHOUT_SUPPLEMENTS = {"h264": "filter_units=remove_types=6", "hevc": "filter_units=remove_types=39|40"}


@dataclass(frozen=True)
class ProcessedClip:
    """The finished files of one clip and what a player must know about the review copy."""

    original: Path
    review_copy: Path
    poster: Path
    duration_s: Decimal
    width: int
    height: int
    frame_times: list[int]
    has_audio: bool
    source: ClipFacts

    @property
    def size_bytes(self) -> int:
        return sum(path.stat().st_size for path in (self.original, self.review_copy, self.poster))


def process_clip(source: Path, work_dir: Path, *, limits: ClipLimits | None = None) -> ProcessedClip:
    """Make every copy of an uploaded clip in `work_dir`; safe to run twice, even at once.

    The source stays where it is: its owner erases it once `original`, which carries
    no metadata, stands. Raises BadClip when the file is at fault and ToolFailed
    when the machine is; the names below then hold nothing half-written.
    """
    work_dir.mkdir(parents=True, exist_ok=True)
    _clear_abandoned(work_dir)
    facts = probe(source, limits)
    # Side by side until all stand: a file refused at the last step leaves no copy of the first.
    with _private_folder(work_dir) as folder:
        quick_remux(source, folder / ORIGINAL, facts=facts)
        review_copy(source, folder / REVIEW, facts=facts)
        poster(folder / REVIEW, folder / POSTER, at_s=facts.duration_s / 3)
        described = _described(folder / REVIEW, work_dir, facts)
        for name in (ORIGINAL, REVIEW, POSTER):
            (folder / name).replace(work_dir / name)
        _flush(work_dir)
    return described


def _described(review: Path, work_dir: Path, source: ClipFacts) -> ProcessedClip:
    copy = probe(review)
    return ProcessedClip(
        original=work_dir / ORIGINAL,
        review_copy=work_dir / REVIEW,
        poster=work_dir / POSTER,
        duration_s=Decimal(copy.duration_s).quantize(Decimal("0.001")),
        width=copy.width,
        height=copy.height,
        frame_times=frame_times(review),
        has_audio=copy.has_audio,
        source=source,
    )


def quick_remux(source: Path, target: Path, *, facts: ClipFacts | None = None) -> Path:
    """Copy picture and sound as they are into a new file, and nothing else. Keeps the rotation flag."""
    facts = facts or probe(source)
    # QuickTime takes all that MP4 and MOV hold, PCM and ProRes too; VP8 and Vorbis need Matroska.
    muxer = "matroska" if facts.codec in ("vp8", "vp9", "av1") else "mov"
    supplements = WITHOUT_SUPPLEMENTS.get(facts.codec)
    with _published(target) as partial:
        _ffmpeg(
            [*_input(source), *_tracks(facts), "-c", "copy", *BARE]
            + (["-bsf:v", supplements] if supplements else [])
            + ["-f", muxer, str(partial)],
            facts,
        )
    return target


def review_copy(source: Path, target: Path, *, facts: ClipFacts | None = None) -> Path:
    """Encode the copy that coaches step through: upright, small, SDR, a key frame every six.

    The source's frame times are kept to 1/90000 s; a variable frame rate stays variable.
    Raises BadClip when a part cannot be decoded or frames went missing.
    """
    facts = facts or probe(source)
    with _published(target) as partial:
        _ffmpeg([*_input(source), *_tracks(facts), *_encoding(facts), *BARE, "-f", "mp4", str(partial)], facts)
        _refuse_shortened(partial, facts)
    return target


def _encoding(facts: ClipFacts) -> list[str]:
    picture = "-c:v libx264 -profile:v high -preset veryfast -crf 23 -bf 0 -g 6 -sc_threshold 0 -pix_fmt yuv420p"
    colours = "-color_primaries bt709 -color_trc bt709 -colorspace bt709 -color_range tv"
    # The encoder's default time base would move jittered frames by up to 5 ms.
    times = "-fps_mode passthrough -enc_time_base 1/90000 -video_track_timescale 90000"
    sound = "-c:a aac -b:a 96k -ac 2 -flags:v +bitexact -flags:a +bitexact -a53cc 0 -threads 2"
    words = f"{picture} {colours} {times} {sound} -movflags +faststart".split()
    return ["-vf", _filters(facts), *words]


def _filters(facts: ClipFacts) -> str:
    """Scale, then bring high dynamic range down to the range every browser shows. Rotation has happened before."""
    width, height = _review_size(facts)
    size = f"w={width}:h={height}"
    down = "t=bt709:m=bt709:p=bt709:r=tv"
    if facts.transfer == "hlg":
        return f"zscale={size}:{HLG_INPUT}:{down}:npl=203,format=yuv420p,setsar=1"
    if facts.transfer == "pq":
        linear = f"zscale={size}:{PQ_INPUT}:t=linear:npl=203,format=gbrpf32le,zscale=p=bt709"
        return f"{linear},tonemap=hable:desat=0,zscale={down},format=yuv420p,setsar=1"
    matrix = ":out_color_matrix=bt709" if facts.matrix_known else ""
    return f"scale={size}:out_range=tv{matrix},format=yuv420p,setsar=1"


def _review_size(facts: ClipFacts) -> tuple[int, int]:
    """Even numbers, as 4:2:0 needs; never larger than the source."""
    factor = min(1.0, SHORT_SIDE / min(facts.width, facts.height))
    width, height = (max(2, 2 * round(side * factor / 2)) for side in (facts.width, facts.height))
    return width, height


def _refuse_shortened(copy: Path, source: ClipFacts) -> None:
    missing = source.frames - len(frame_times(copy))
    # The few pictures before a cut's first key frame cannot be decoded and are not shown by phones either.
    if missing > max(5, source.frames // 100):
        raise BadClip(Reason.TRUNCATED)


def poster(review: Path, target: Path, *, at_s: float = 0.0) -> Path:
    """Take one picture of a review copy as a JPEG."""
    still = ["-map", "0:v:0", "-frames:v", "1", "-q:v", "3", "-pix_fmt", "yuvj420p", "-flags:v", "+bitexact"]
    with _published(target) as partial:
        arguments = ["-ss", f"{at_s:.3f}", *_input(review), *still, *BARE, "-f", "mjpeg", str(partial)]
        _run(arguments, sandbox.Limits(wall_s=60, cpu_s=30))
    return target


def _input(path: Path) -> list[str]:
    options = [word for name, value in whitelist.INPUT_OPTIONS.items() for word in (f"-{name}", value)]
    bounds = ["-max_pixels", str(whitelist.MAX_PIXELS), "-threads", "2"]
    # The file: prefix keeps a strange name from being read as an option or another protocol.
    return [*options, *bounds, "-i", f"file:{path.resolve()}"]


def _tracks(facts: ClipFacts) -> list[str]:
    sound = ["-map", f"0:{facts.audio_index}"] if facts.has_audio else []
    return ["-map", f"0:{facts.video_index}", *sound]


def _ffmpeg(arguments: list[str], facts: ClipFacts) -> None:
    """A clip-second of 4K at 60 takes 1.1 s on two cores; a small machine gets fifteen times that."""
    wall_s = 120 + 15 * facts.duration_s
    _run(arguments, sandbox.Limits(wall_s=wall_s, cpu_s=int(4 * wall_s)))


def _run(arguments: list[str], limits: sandbox.Limits) -> None:
    careful = ["-nostdin", "-v", "error", "-y", "-xerror", "-max_alloc", str(whitelist.MAX_ALLOCATION_BYTES)]
    if sandbox.run_ffmpeg([*careful, *arguments], limits).returncode != 0:
        raise BadClip(Reason.DAMAGED)


@contextmanager
def _published(target: Path) -> Iterator[Path]:
    """Hand out a private place to write; the target appears whole and on disk, or not at all."""
    with _private_folder(target.parent) as folder:
        partial = folder / target.name
        yield partial
        # The encoder reports success for a moment past the end, with nothing written.
        if partial.stat().st_size == 0:
            raise BadClip(Reason.DAMAGED)
        _flush(partial)
        partial.replace(target)
        _flush(target.parent)


@contextmanager
def _private_folder(parent: Path) -> Iterator[Path]:
    folder = Path(tempfile.mkdtemp(prefix=PARTIAL, dir=parent))
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _flush(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _clear_abandoned(work_dir: Path) -> None:
    """Remove what killed runs left. The file system's own clock decides, so a wrong clock harms no one."""
    with tempfile.NamedTemporaryFile(dir=work_dir, prefix=".now-") as now:
        newest = Path(now.name).stat().st_mtime
    for old in work_dir.glob(f"{PARTIAL}*"):
        # Another run may be tidying as well, or publishing its own.
        with suppress(FileNotFoundError):
            if newest - old.stat().st_mtime > ABANDONED_AFTER_S:
                shutil.rmtree(old)
