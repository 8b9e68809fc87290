import shutil
import socket

import pytest

from submissions.domain.media import containers
from submissions.domain.media.probe import ClipLimits, frame_times, probe
from submissions.domain.media.reasons import BadClip, Reason
from tests.submissions.media import hostile
from tests.submissions.media.conftest import SMALL


def reason_for(path, limits=None):
    with pytest.raises(BadClip) as caught:
        probe(path, limits)
    return caught.value.reason


def test_probe_gives_the_upright_size_of_a_clip_stored_on_its_side(drawn):
    facts = probe(drawn("steady-30")[0])

    assert (facts.width, facts.height, facts.rotation) == (*SMALL, -90)


def test_probe_of_an_upright_clip_gives_its_size(drawn):
    facts = probe(drawn("upright")[0])

    assert (facts.width, facts.height, facts.rotation) == (*SMALL, 0)


@pytest.mark.parametrize(
    ("kind", "codec", "pix_fmt", "transfer", "has_audio"),
    [
        ("steady-30", "h264", "yuv420p", "sdr", False),
        ("mdta-hlg", "hevc", "yuv420p10le", "hlg", True),
        ("pq", "hevc", "yuv420p10le", "pq", False),
    ],
)
def test_probe_names_coding_and_range(drawn, kind, codec, pix_fmt, transfer, has_audio):
    facts = probe(drawn(kind)[0])

    assert (facts.codec, facts.pix_fmt, facts.transfer, facts.has_audio) == (codec, pix_fmt, transfer, has_audio)


@pytest.mark.parametrize("kind", ["steady-30", "dropped", "jittered", "mdta-hlg"])
def test_probe_counts_every_frame(drawn, kind):
    path, truth = drawn(kind)

    assert probe(path).frames == len(truth.frame_ticks)


def test_probe_measures_the_duration(drawn):
    assert probe(drawn("steady-60")[0]).duration_s == pytest.approx(1.0, abs=1e-6)


def test_frame_times_are_those_drawn(drawn):
    path, truth = drawn("dropped")

    assert frame_times(path) == list(truth.frame_ticks)


def test_probe_names_no_metadata(drawn):
    facts = probe(drawn("mdta-hlg")[0])

    assert "47.1234" not in repr(facts)


def test_probe_of_metadata_in_no_known_encoding_succeeds(drawn, tmp_path):
    path = tmp_path / "clip"
    path.write_bytes(drawn("mdta-hlg")[0].read_bytes().replace(b"Invented Phone", b"\xff\xfe\xfaented Phone"))

    assert probe(path).codec == "hevc"


@pytest.mark.parametrize(
    ("bounds", "reason"),
    [
        (ClipLimits(duration_s=0), Reason.TOO_LONG),
        (ClipLimits(frames=29), Reason.TOO_MANY_FRAMES),
        (ClipLimits(pixels=SMALL[0] * SMALL[1] - 1), Reason.TOO_LARGE_PICTURE),
    ],
)
def test_probe_just_over_a_limit_refuses(drawn, bounds, reason):
    assert reason_for(drawn("steady-30")[0], bounds) == reason


def test_probe_at_its_limits_accepts(drawn):
    assert probe(drawn("steady-30")[0], ClipLimits(duration_s=1, frames=30, pixels=SMALL[0] * SMALL[1])).frames == 30


def test_probe_of_another_codec_refuses(tmp_path):
    hostile.one_picture(tmp_path / "clip", width=64, height=64, codec="mpeg2video")

    assert reason_for(tmp_path / "clip") == Reason.UNSUPPORTED_CODEC


def test_probe_of_a_missing_file_is_no_fault_of_a_clip(tmp_path):
    with pytest.raises(FileNotFoundError):
        probe(tmp_path / "nothing")


def test_probe_of_a_name_like_an_address_opens_no_connection(drawn, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.settimeout(0.2)
        name = tmp_path / f"tcp:127.0.0.1:{server.getsockname()[1]}"
        shutil.copy(drawn("steady-30")[0], name)

        assert probe(name).frames == 30
        with pytest.raises(TimeoutError):
            server.accept()


@pytest.mark.parametrize("share", [0.02, 0.3, 0.5, 0.9, 0.999])
def test_a_cut_file_ends_early(drawn, tmp_path, share):
    whole = drawn("steady-30")[0].read_bytes()
    cut = tmp_path / "cut"
    cut.write_bytes(whole[: int(len(whole) * share)])

    assert containers.ends_early(cut)


def test_a_whole_file_does_not_end_early(drawn):
    assert not containers.ends_early(drawn("steady-30")[0])


def ebml(segment_size: bytes, data: bytes) -> bytes:
    return b"\x1a\x45\xdf\xa3\x84head" + b"\x18\x53\x80\x67" + segment_size + data


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (ebml(b"\x8a", bytes(10)), False),
        (ebml(b"\x8a", bytes(9)), True),
        (ebml(b"\x01\x00\x00\x00\x00\x00\x00\x0a", bytes(9)), True),
        (ebml(b"\x01\xff\xff\xff\xff\xff\xff\xff", bytes(9)), False),
        (b"\x1a\x45\xdf\xa3", False),
    ],
    ids=["whole", "cut", "cut-long-size", "size-unknown", "header-only"],
)
def test_a_webm_file_is_held_to_its_segment_size(tmp_path, content, expected):
    path = tmp_path / "clip"
    path.write_bytes(content)

    assert containers.ends_early(path) is expected
