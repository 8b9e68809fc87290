"""Each bad file gets its reason, leaves nothing behind and reaches nothing else."""

import pytest
from django.utils.translation import override

from submissions.domain.media.reasons import BadClip, Reason
from submissions.domain.media.transcode import process_clip
from tests.submissions.media import hostile

CASES = {
    "empty": (lambda path, clip: hostile.empty(path), Reason.EMPTY),
    "text": (lambda path, clip: hostile.text(path), Reason.NOT_A_VIDEO),
    "svg": (lambda path, clip: hostile.svg(path), Reason.NOT_A_VIDEO),
    "playlist": (hostile.playlist, Reason.NOT_A_VIDEO),
    "concatenation": (hostile.concatenation, Reason.NOT_A_VIDEO),
    "cut": (hostile.cut_in_half, Reason.TRUNCATED),
    "no index": (hostile.without_index, Reason.TRUNCATED),
    "sound only": (lambda path, clip: hostile.sound_only(path), Reason.AUDIO_ONLY),
    "flips in the pictures": (
        lambda path, clip: hostile.flipped(path, clip, kind=b"mdat", flips=10),
        Reason.DAMAGED,
    ),
    "flips in the index": (
        lambda path, clip: hostile.flipped(path, clip, kind=b"moov", flips=3000),
        Reason.DAMAGED,
    ),
    "huge picture": (
        lambda path, clip: hostile.one_picture(path, width=8192, height=8192),
        Reason.TOO_LARGE_PICTURE,
    ),
    "many frames": (
        lambda path, clip: hostile.one_picture(path, width=64, height=64, repeated=50_000, fps=240),
        Reason.TOO_MANY_FRAMES,
    ),
    "one hour": (
        lambda path, clip: hostile.one_picture(path, width=64, height=64, repeated=3600, fps=1),
        Reason.TOO_LONG,
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_hostile_file_gives_its_reason_and_touches_nothing_else(drawn, tmp_path, case):
    make, reason = CASES[case]
    other = drawn("steady-30")[0]
    sent, work, content = tmp_path / "sent.mp4", tmp_path / "work", other.read_bytes()
    make(sent, other)

    with pytest.raises(BadClip) as caught:
        process_clip(sent, work)

    assert caught.value.reason == reason
    assert list(work.iterdir()) == []
    assert sorted(path.name for path in tmp_path.iterdir()) == ["sent.mp4", "work"]
    assert other.read_bytes() == content


@pytest.mark.parametrize("disguise", [b"\0\0\0\x18ftypmp42\0\0\0\0mp42isom", b"\x1a\x45\xdf\xa3\x84head"])
def test_a_playlist_behind_a_video_signature_is_not_followed(drawn, tmp_path, disguise):
    hostile.playlist(tmp_path / "list", drawn("steady-30")[0])
    sent = tmp_path / "sent.mp4"
    sent.write_bytes(disguise + (tmp_path / "list").read_bytes())

    with pytest.raises(BadClip):
        process_clip(sent, tmp_path / "work")

    assert list((tmp_path / "work").iterdir()) == []


@pytest.mark.parametrize("seed", range(3))
def test_a_few_flipped_bits_end_in_a_clip_or_a_reason(drawn, tmp_path, seed):
    sent = tmp_path / "sent.mp4"
    hostile.flipped(sent, drawn("steady-30")[0], kind=b"moov", flips=4, seed=seed)

    try:
        outcome = process_clip(sent, tmp_path / "work").frame_times[0]
    except BadClip as error:
        outcome = error.reason

    assert outcome == 0 or outcome in Reason.values


@pytest.mark.parametrize("reason", Reason)
def test_every_reason_says_what_to_do_next(reason):
    with override("en"):
        words = str(reason.label)

    assert words.endswith(".")
    assert "Please" in words or "again" in words
    assert len(reason.value) <= 40
