"""RFC 9110: section 14 (range requests), 13.1.5 (If-Range), 15.3.7 (206), 15.5.17 (416). [from memory]"""

import io
from datetime import UTC, datetime
from itertools import pairwise

import pytest
from django.test import RequestFactory
from django.utils.http import http_date
from hypothesis import given
from hypothesis import strategies as st

from submissions.domain.byte_range import ByteRange, RangeNotSatisfiable, requested_range, respond, strong_etag

DATA = bytes(range(256)) * 1000
ETAG = '"clip-1"'
MODIFIED = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)


def ask(method="get", data=DATA, **headers):
    request = getattr(RequestFactory(), method)("/", headers={k.replace("_", "-"): v for k, v in headers.items()})
    # More than the part is there to be read, as with a file.
    return respond(
        request, lambda part: io.BytesIO(data[part.start :]), size=len(data), etag=ETAG, modified_at=MODIFIED
    )


def body_of(response):
    return response.getvalue()


def test_whole_file_without_a_range():
    response = ask()

    assert (response.status_code, response["Content-Length"], response["Accept-Ranges"]) == (200, "256000", "bytes")
    assert body_of(response) == DATA


@pytest.mark.parametrize("header", [None, "bytes=0-9", "bytes=999999-"])
def test_no_answer_may_be_stored_or_taken_for_another_type(header):
    response = ask(**({"Range": header} if header else {}))

    assert (response["Cache-Control"], response["X-Content-Type-Options"]) == ("private, no-store", "nosniff")


def test_content_is_shown_in_place_under_no_name():
    assert ask()["Content-Disposition"] == "inline"


# Section 14.1.2 gives these forms; 14.4 the Content-Range.
@pytest.mark.parametrize(
    ("header", "start", "stop"),
    [
        ("bytes=0-499", 0, 500),
        ("bytes=500-999", 500, 1000),
        ("bytes=-500", 255_500, 256_000),
        ("bytes=255500-", 255_500, 256_000),
        ("bytes=0-0", 0, 1),
        ("bytes=-1", 255_999, 256_000),
        ("bytes=255999-999999", 255_999, 256_000),
        ("bytes=-999999", 0, 256_000),
        ("BYTES=0-9", 0, 10),
        ("bytes= 0-9 ", 0, 10),
        ("bytes=0-" + "9" * 5000, 0, 256_000),
    ],
)
def test_one_range_gives_that_part(header, start, stop):
    response = ask(Range=header)

    assert (response.status_code, response["Content-Range"]) == (206, f"bytes {start}-{stop - 1}/256000")
    assert response["Content-Length"] == str(stop - start)
    assert body_of(response) == DATA[start:stop]


# Section 15.5.17: 416 with the complete length.
@pytest.mark.parametrize("header", ["bytes=256000-", "bytes=256000-256001", "bytes=-0", "bytes=" + "9" * 5000 + "-"])
def test_a_range_outside_the_file_is_416(header):
    response = ask(Range=header)

    assert (response.status_code, response["Content-Range"]) == (416, "bytes */256000")
    assert body_of(response) == b""


# Section 14.2 lets a server ignore what is malformed, of another unit, or several ranges at once.
@pytest.mark.parametrize(
    "header",
    ["bytes=5-4", "bytes=", "bytes=-", "bytes=a-b", "bytes", "0-9", "pages=1-2", "bytes=0-1,5-9", "bytes=1-2-3",
     "bytes=+1-2", "bytes=\u0661-\u0662", "bytes=0x0-9", ""],
)  # fmt: skip
def test_what_cannot_be_one_range_gives_the_whole(header):
    assert requested_range(header, len(DATA)) is None


def test_several_ranges_give_the_whole_file():
    response = ask(Range="bytes=0-1,5-9")

    assert (response.status_code, body_of(response)) == (200, DATA)


def test_head_ignores_the_range_and_sends_no_body():
    response = ask("head", Range="bytes=0-9")

    assert (response.status_code, response["Content-Length"], body_of(response)) == (200, "256000", b"")


@pytest.mark.parametrize("validator", [ETAG, http_date(MODIFIED.timestamp())])
def test_if_range_of_the_same_file_gives_the_part(validator):
    assert ask(Range="bytes=0-9", If_Range=validator).status_code == 206


# Section 13.1.5: strong comparison, exact date.
@pytest.mark.parametrize(
    "validator",
    ['"clip-2"', f"W/{ETAG}", http_date(MODIFIED.timestamp() + 1), http_date(MODIFIED.timestamp() - 1), "nonsense", ""],
)
def test_if_range_of_another_file_gives_the_whole(validator):
    response = ask(Range="bytes=0-9", If_Range=validator)

    assert (response.status_code, body_of(response)) == (200, DATA)


def test_if_range_of_another_file_hides_an_unsatisfiable_range():
    assert ask(Range="bytes=999999-", If_Range='"clip-2"').status_code == 200


def test_if_none_match_of_the_same_file_is_304():
    assert ask(If_None_Match=ETAG, Range="bytes=0-9").status_code == 304


def test_if_match_of_another_file_is_412():
    assert ask(If_Match='"clip-2"').status_code == 412


@pytest.mark.parametrize("header", ["bytes=0-9", "bytes=-9", None])
def test_an_empty_file_has_no_parts(header):
    response = ask(data=b"", **({"Range": header} if header else {}))

    assert response.status_code == (416 if header == "bytes=0-9" else 200)


@pytest.mark.django_db  # closing an answer also looks after the connection, if another test opened one
@pytest.mark.parametrize("headers", [{}, {"Range": "bytes=5-"}])
def test_the_file_is_closed_with_the_answer_even_when_it_was_never_read(headers):
    file = io.BytesIO(DATA)
    request = RequestFactory().get("/", headers=headers)
    response = respond(request, lambda part: file, size=len(DATA), etag=ETAG)

    response.close()

    assert file.closed


@pytest.mark.parametrize(
    ("method", "headers"),
    [("get", {"Range": "bytes=999999-"}), ("head", {}), ("get", {"If-None-Match": ETAG})],
)
def test_nothing_is_opened_for_an_answer_without_bytes(method, headers):
    opened = []
    request = getattr(RequestFactory(), method)("/", headers=headers)

    respond(request, opened.append, size=len(DATA), etag=ETAG)

    assert opened == []


def test_exactly_the_part_that_was_asked_for_is_opened():
    opened = []

    def open_part(part):
        opened.append((part.start, part.stop))
        return io.BytesIO(DATA[part.start : part.stop])

    respond(RequestFactory().get("/", headers={"Range": "bytes=10-19"}), open_part, size=len(DATA), etag=ETAG)

    assert opened == [(10, 20)]


@given(data=st.binary(min_size=1, max_size=400_000), cuts=st.lists(st.integers(0, 400_000), max_size=6))
def test_joined_parts_equal_the_file(data, cuts):
    edges = sorted({0, len(data), *(cut % len(data) for cut in cuts)})

    parts = [ask(data=data, Range=f"bytes={a}-{b - 1}") for a, b in pairwise(edges)]

    assert all(part.status_code == 206 for part in parts)
    assert b"".join(body_of(part) for part in parts) == data


@given(header=st.text(max_size=40), size=st.integers(0, 10**13))
def test_any_text_is_whole_part_or_refused(header, size):
    for text in (header, f"bytes={header}"):
        try:
            part = requested_range(text, size)
        except RangeNotSatisfiable:
            continue
        assert part is None or 0 <= part.start < part.stop <= size


@given(first=st.integers(0, 10**20), last=st.integers(0, 10**20), size=st.integers(1, 10**12))
def test_an_int_range_is_the_python_slice(first, last, size):
    expected = range(size)[first : last + 1] if last >= first else None
    try:
        part = requested_range(f"bytes={first}-{last}", size)
    except RangeNotSatisfiable:
        assert expected is not None
        assert first >= size
    else:
        assert part == (ByteRange(expected.start, expected.stop) if expected is not None else None)


def test_a_tag_is_quoted_differs_by_file_and_tells_no_name():
    tags = {strong_etag("clips/a.mp4", 10), strong_etag("clips/a.mp4", 11), strong_etag("clips/b.mp4", 10)}

    assert len(tags) == 3
    assert all(tag[0] == tag[-1] == '"' and "clips" not in tag for tag in tags)
