"""Private files by byte ranges, as players need them to seek: RFC 9110 section 14, one range at a time."""

import hashlib
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import BinaryIO

from django.http import HttpRequest, HttpResponse, HttpResponseBase, StreamingHttpResponse
from django.utils.cache import get_conditional_response
from django.utils.http import http_date, parse_http_date_safe

CHUNK_BYTES = 64 * 1024
ONE_RANGE = re.compile(r"\s*(?:(?P<first>[0-9]+)-(?P<last>[0-9]*)|-(?P<suffix>[0-9]+))\s*", re.ASCII)


class RangeNotSatisfiable(Exception):
    """The range asked for lies outside the file."""


@dataclass(frozen=True)
class ByteRange:
    """Bytes `start` up to, not including, `stop`."""

    start: int
    stop: int

    @property
    def length(self) -> int:
        return self.stop - self.start


# Gives a file that stands at the first byte of the part. Asked only when bytes are sent.
OpensPart = Callable[[ByteRange], BinaryIO]


def respond(
    request: HttpRequest,
    open_part: OpensPart,
    *,
    size: int,
    etag: str,
    modified_at: datetime | None = None,
    content_type: str = "video/mp4",
) -> HttpResponseBase:
    """Answer GET or HEAD with a file or the part that was asked for; 200, 206, 304, 412 or 416.

    `etag` is a quoted strong tag. The file never changes under one name, so the
    modification date is a strong validator as well (RFC 9110 section 8.8.2.2).
    """
    last_modified = int(modified_at.timestamp()) if modified_at else None
    response = get_conditional_response(request, etag, last_modified) or _selected(
        request, open_part, size, etag, last_modified
    )
    if response.status_code in (200, 206):
        response["Content-Type"] = content_type
        response["Content-Disposition"] = "inline"
    response["ETag"] = etag
    if last_modified is not None:
        response["Last-Modified"] = http_date(last_modified)
    response["Accept-Ranges"] = "bytes"
    response["Cache-Control"] = "private, no-store"
    response["X-Content-Type-Options"] = "nosniff"
    return response


def _selected(
    request: HttpRequest, open_part: OpensPart, size: int, etag: str, last_modified: int | None
) -> HttpResponseBase:
    # Section 14.2: a range is defined for GET only.
    if request.method == "HEAD":
        return HttpResponse(headers={"Content-Length": str(size)})
    header = request.headers.get("Range")
    if not unchanged_since(request.headers.get("If-Range"), etag, last_modified):
        header = None
    try:
        wanted = requested_range(header, size)
    except RangeNotSatisfiable:
        return HttpResponse(status=416, headers={"Content-Range": f"bytes */{size}"})
    part = wanted or ByteRange(0, size)
    response = StreamingHttpResponse(FilePart(open_part(part), part.length), status=206 if wanted else 200)
    response["Content-Length"] = str(part.length)
    if wanted:
        response["Content-Range"] = f"bytes {part.start}-{part.stop - 1}/{size}"
    return response


def unchanged_since(if_range: str | None, etag: str, last_modified: int | None) -> bool:
    """Section 13.1.5: the same strong tag, or exactly the same date; a weak tag never matches."""
    if if_range is None:
        return True
    if if_range.startswith(('"', "W/")):
        return if_range == etag
    return last_modified is not None and parse_http_date_safe(if_range) == last_modified


def requested_range(header: str | None, size: int) -> ByteRange | None:
    """Return the one range to send, or None for the whole file.

    None also for several ranges, other units and what breaks the grammar, which
    section 14.2 lets a server ignore. Raises RangeNotSatisfiable (section 14.1.2)
    when the range starts past the end.
    """
    unit, _, spec = (header or "").partition("=")
    parsed = ONE_RANGE.fullmatch(spec)
    if unit.strip().lower() != "bytes" or not parsed:
        return None
    if parsed["suffix"]:
        return _suffix(_position(parsed["suffix"]), size)
    first = _position(parsed["first"])
    last = _position(parsed["last"]) if parsed["last"] else max(first, size - 1)
    if last < first:
        return None
    if first >= size:
        raise RangeNotSatisfiable
    return ByteRange(first, min(last + 1, size))


def _suffix(length: int, size: int) -> ByteRange | None:
    if length == 0:
        raise RangeNotSatisfiable
    # A part of nothing cannot be written as a Content-Range.
    return ByteRange(max(0, size - length), size) if size else None


def _position(digits: str) -> int:
    """Section 14.1.1 expects very large numbers; Python refuses those beyond 4300 digits."""
    digits = digits.lstrip("0") or "0"
    return int(digits) if len(digits) < 19 else 10**18


class FilePart(Iterator[bytes]):
    """The next bytes of a file, in pieces. A class, because a generator never started does not close its file."""

    def __init__(self, file: BinaryIO, length: int) -> None:
        self._file, self._left = file, length

    def __next__(self) -> bytes:
        piece = self._file.read(min(CHUNK_BYTES, self._left))
        if not piece:
            raise StopIteration
        self._left -= len(piece)
        return piece

    def close(self) -> None:
        self._file.close()


def strong_etag(name: str, size: int) -> str:
    """Tag a file that is written once under a random name of ours. The name itself stays inside."""
    return f'"{hashlib.sha256(f"{name}:{size}".encode()).hexdigest()[:32]}"'
