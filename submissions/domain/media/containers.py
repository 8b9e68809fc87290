"""The outermost structure of MP4/QuickTime and Matroska/WebM files: which of them it is, and whether its end is there.

Libraries report a cut file's full length from its index; only the sizes of the parts tell.
"""

import os
from pathlib import Path
from typing import BinaryIO

# ISO/IEC 14496-12 section 4.2; QuickTime files may start with any of these. [from memory]
FIRST_BOXES = {b"ftyp", b"moov", b"mdat", b"wide", b"free", b"skip", b"pnot"}
# RFC 8794 section 4 (element sizes) and RFC 9559 section 5.1 (Segment). [from memory]
EBML_HEADER, SEGMENT = b"\x1a\x45\xdf\xa3", b"\x18\x53\x80\x67"
MOST_BOXES = 100_000


def is_known_container(path: Path) -> bool:
    with path.open("rb") as file:
        start = file.read(8)
    return start[4:8] in FIRST_BOXES or start[:4] == EBML_HEADER


def ends_early(path: Path) -> bool:
    """Say whether a part is announced that the file no longer holds."""
    size = path.stat().st_size
    with path.open("rb") as file:
        start = file.read(8)
        file.seek(0)
        if start[:4] == EBML_HEADER:
            return _matroska_ends_early(file, size)
        return start[4:8] in FIRST_BOXES and _mp4_ends_early(file, size)


def _mp4_ends_early(file: BinaryIO, size: int) -> bool:
    at, kinds = 0, set()
    for _ in range(MOST_BOXES):
        file.seek(at)
        header = file.read(16)
        if len(header) < 8:
            break
        length, kind = int.from_bytes(header[:4], "big"), header[4:8]
        if length == 1:
            length = int.from_bytes(header[8:16], "big")
        if length == 0:
            length = size - at
        if length < 8:
            break
        kinds.add(kind)
        at += length
    return at > size or b"moov" not in kinds


def _matroska_ends_early(file: BinaryIO, size: int) -> bool:
    file.seek(4)
    header_size = _vint(file)
    if header_size is None:
        return False
    file.seek(header_size, os.SEEK_CUR)
    if file.read(4) != SEGMENT:
        return False
    segment_size = _vint(file)
    # Recorded live, the size stays unknown and the end cannot be told.
    return segment_size is not None and file.tell() + segment_size > size


def _vint(file: BinaryIO) -> int | None:
    """Read one element size; None when it is marked as unknown or is no size."""
    first = file.read(1)
    if not first or first[0] == 0:
        return None
    width = 9 - first[0].bit_length()
    value = int.from_bytes(first + file.read(width - 1), "big") - (1 << (7 * width))
    return None if value == (1 << (7 * width)) - 1 else value
