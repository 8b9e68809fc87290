import os
import struct
import threading
from datetime import UTC, datetime
from itertools import chain

import av
import numpy as np
import pytest
from PIL import Image

from coaching.demo.figures import barcode
from submissions.domain.media import transcode
from submissions.domain.media.probe import ClipFacts, frame_times, probe
from submissions.domain.media.reasons import BadClip, Reason
from submissions.domain.media.transcode import poster, process_clip, quick_remux, review_copy
from tests.submissions.media import hostile
from tests.submissions.media.conftest import SMALL

SECONDS_SINCE_1904 = int((datetime(2001, 2, 3, 4, 5, 6, tzinfo=UTC) - datetime(1904, 1, 1, tzinfo=UTC)).total_seconds())
TELLTALES = {
    "loci": [b"loci"],
    "xyz": [b"\xa9xyz", b"-47.1234"],
    "mdta-hlg": [b"-47.1234", b"ISO6709", b"Invented Phone"],
}


@pytest.fixture(scope="session")
def processed(drawn, tmp_path_factory):
    made = {}

    def process(kind):
        if kind not in made:
            made[kind] = process_clip(drawn(kind)[0], tmp_path_factory.mktemp("work"))
        return made[kind]

    return process


def decoded(path):
    with av.open(str(path)) as clip:
        yield from clip.decode(clip.streams.video[0])


def numbers_in(path):
    return [barcode.read(frame.to_ndarray(format="gray")) for frame in decoded(path)]


def from_first(times):
    return [at - times[0] for at in times]


@pytest.mark.parametrize("kind", ["steady-30", "steady-60", "dropped", "jittered", "mdta-hlg", "pq"])
def test_review_copy_keeps_every_frame_time_exactly(drawn, processed, kind):
    truth = drawn(kind)[1]

    assert from_first(processed(kind).frame_times) == from_first(truth.frame_ticks)


@pytest.mark.parametrize("kind", ["steady-30", "dropped", "jittered", "mdta-hlg", "upright"])
def test_review_copy_shows_every_frame_upright_and_in_order(drawn, processed, kind):
    truth = drawn(kind)[1]

    assert numbers_in(processed(kind).review_copy) == list(range(len(truth.frame_ticks)))


def test_review_copy_has_the_rotation_baked_in(processed):
    first = next(decoded(processed("steady-30").review_copy))

    assert (first.rotation, first.width, first.height) == (0, *SMALL)


@pytest.mark.parametrize("kind", ["mdta-hlg", "pq", "steady-30"])
def test_review_copy_is_in_the_range_browsers_show(processed, kind):
    first = next(decoded(processed(kind).review_copy))

    assert (first.format.name, int(first.color_trc), int(first.colorspace)) == ("yuv420p", 1, 1)


@pytest.mark.parametrize("kind", ["mdta-hlg", "pq"])
def test_review_copy_of_high_dynamic_range_keeps_light_and_dark_apart(processed, kind):
    strip = next(decoded(processed(kind).review_copy)).to_ndarray(format="gray")[round(0.985 * SMALL[1])]

    assert int(strip.max()) - int(strip.min()) > 120


def test_review_copy_has_a_key_frame_every_six(processed):
    with av.open(str(processed("steady-30").review_copy)) as clip:
        keys = [i for i, packet in enumerate(p for p in clip.demux(video=0) if p.size) if packet.is_keyframe]

    assert keys == list(range(0, 30, 6))


def test_review_copy_can_start_before_it_is_loaded(processed):
    kinds = [kind for kind, _ in hostile.boxes(processed("steady-30").review_copy.read_bytes())]

    assert kinds.index(b"moov") < kinds.index(b"mdat")


@pytest.mark.parametrize(("kind", "expected"), [("jittered", True), ("steady-30", False)])
def test_review_copy_keeps_sound_where_there_is_sound(processed, kind, expected):
    with av.open(str(processed(kind).review_copy)) as clip:
        assert (len(clip.streams.audio) == 1, processed(kind).has_audio) == (expected, expected)


@pytest.mark.parametrize("kind", TELLTALES)
def test_a_drawn_clip_does_hold_its_place_and_date(drawn, kind):
    content = drawn(kind)[0].read_bytes()

    assert all(telltale in content for telltale in [*TELLTALES[kind], struct.pack(">I", SECONDS_SINCE_1904)])


@pytest.mark.parametrize("name", ["original", "review_copy", "poster"])
@pytest.mark.parametrize("kind", TELLTALES)
def test_no_copy_holds_place_date_or_device(processed, kind, name):
    content = getattr(processed(kind), name).read_bytes()
    everything = [*chain.from_iterable(TELLTALES.values()), struct.pack(">I", SECONDS_SINCE_1904)]

    assert [telltale for telltale in everything if telltale in content] == []


def test_remux_drops_supplements_inside_the_stream(drawn, tmp_path):
    source = drawn("steady-30")[0]
    assert b"x264" in source.read_bytes()

    quick_remux(source, tmp_path / "bare")

    assert b"x264" not in (tmp_path / "bare").read_bytes()


@pytest.mark.parametrize("kind", ["dropped", "jittered", "mdta-hlg"])
def test_remux_keeps_pictures_times_and_rotation(drawn, processed, kind):
    source, bare = drawn(kind)[0], processed(kind).original

    assert probe(bare) == probe(source)
    assert from_first(frame_times(bare)) == from_first(frame_times(source))
    assert [f.to_ndarray().tobytes() for f in decoded(bare)] == [f.to_ndarray().tobytes() for f in decoded(source)]


def test_poster_is_an_upright_picture_without_notes(processed):
    with Image.open(processed("steady-30").poster) as picture:
        assert (picture.format, picture.size, picture.getexif(), "comment" in picture.info) == (
            "JPEG",
            SMALL,
            {},
            False,
        )


def test_poster_past_the_end_leaves_nothing(processed, tmp_path):
    with pytest.raises(BadClip):
        poster(processed("steady-30").review_copy, tmp_path / "poster.jpg", at_s=99)

    assert list(tmp_path.iterdir()) == []


def test_processed_clip_tells_what_the_player_needs(processed):
    clip = processed("steady-30")

    assert (clip.width, clip.height, str(clip.duration_s), len(clip.frame_times)) == (*SMALL, "1.000", 30)


def test_processing_leaves_the_source_and_three_files(drawn, processed):
    kept = sorted(path.name for path in processed("steady-30").review_copy.parent.iterdir())

    assert kept == ["original", "poster.jpg", "review.mp4"]
    assert drawn("steady-30")[0].exists()


def test_processing_twice_gives_the_same_files(drawn, tmp_path):
    source = drawn("upright")[0]

    first = process_clip(source, tmp_path)
    before = [path.read_bytes() for path in (first.original, first.review_copy, first.poster)]
    second = process_clip(source, tmp_path)

    assert [path.read_bytes() for path in (second.original, second.review_copy, second.poster)] == before
    assert second == first


def test_two_runs_at_once_both_succeed(drawn, tmp_path):
    source, done = drawn("upright")[0], []
    runs = [threading.Thread(target=lambda: done.append(process_clip(source, tmp_path))) for _ in range(2)]

    for run in runs:
        run.start()
    for run in runs:
        run.join()

    assert done[0] == done[1]
    assert len(list(tmp_path.iterdir())) == 3


def test_processing_clears_what_a_killed_run_left_long_ago_and_nothing_newer(drawn, tmp_path):
    abandoned, busy = tmp_path / ".partial-old", tmp_path / ".partial-new"
    for folder in (abandoned, busy):
        folder.mkdir()
    os.utime(abandoned, (0, 0))

    process_clip(drawn("upright")[0], tmp_path)

    assert (abandoned.exists(), busy.exists()) == (False, True)


def test_a_failing_step_leaves_the_earlier_copy_untouched(drawn, tmp_path):
    target, broken = tmp_path / "review.mp4", tmp_path / "broken"
    target.write_bytes(b"the copy that stands")
    hostile.flipped(broken, drawn("steady-30")[0], kind=b"mdat", flips=2000)

    with pytest.raises(BadClip):
        review_copy(broken, target)

    assert target.read_bytes() == b"the copy that stands"


def test_a_copy_that_lost_frames_is_refused(drawn, tmp_path):
    source = drawn("steady-30")[0]
    promised = ClipFacts(**vars(probe(source)) | {"frames": 60})

    with pytest.raises(BadClip) as caught:
        review_copy(source, tmp_path / "review.mp4", facts=promised)

    assert caught.value.reason == Reason.TRUNCATED


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ((1080, 1920), (720, 1280)),
        ((3840, 2160), (1280, 720)),
        ((480, 854), (480, 854)),
        ((481, 853), (480, 852)),
        ((1, 1), (2, 2)),
        ((1080, 1080), (720, 720)),
    ],
)
def test_review_size_has_a_short_side_of_720_and_never_enlarges(drawn, source, expected):
    facts = ClipFacts(**vars(probe(drawn("steady-30")[0])) | {"width": source[0], "height": source[1]})

    assert transcode._review_size(facts) == expected


@pytest.mark.slow
def test_a_full_size_phone_clip_becomes_a_720_copy(tmp_path):
    from coaching.demo.figures import Variant, draw_clip  # noqa: PLC0415

    variant = Variant(hdr="hlg", sound=True, place="mdta", timing="jittered")
    truth = draw_clip(tmp_path / "phone", fps=60, seconds=4, size=(1080, 1920), variant=variant)

    clip = process_clip(tmp_path / "phone", tmp_path / "work")

    assert (clip.width, clip.height) == (720, 1280)
    assert from_first(clip.frame_times) == from_first(truth.frame_ticks)
    assert numbers_in(clip.review_copy) == list(np.arange(len(truth.frame_ticks)))
