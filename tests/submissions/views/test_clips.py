"""Files of clips: only for those who may, in pieces, kept by no cache."""

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage, storages
from django.urls import reverse

from clients.choices import ReadKind
from clients.models import AccessRecord
from submissions.choices import ClipState
from submissions.errors import StorageUnavailable
from tests import factories as f
from tests.shapes import on_both_storages

FILM = bytes(range(256)) * 8
pytestmark = on_both_storages
NAMES = ["clip-file", "clip-poster", "clip-frames"]


@pytest.fixture
def clip(cast, folders):
    film = default_storage.save("clips/a/film.mp4", ContentFile(FILM))
    poster = default_storage.save("clips/a/poster.jpg", ContentFile(b"\xff\xd8\xff"))
    return f.ClipFactory(client=cast.client, review_copy=film, poster=poster, frame_times=[0, 3000])


def get(browser, name, clip, **headers):
    return browser.get(reverse(name, args=[clip.uuid]), headers=headers)


@pytest.mark.parametrize("person", ["client_user", "coach", "owner"])
@pytest.mark.parametrize("name", NAMES)
def test_client_and_their_coaches_get_the_files(signed_in, cast, clip, person, name):
    assert get(signed_in(getattr(cast, person)), name, clip).status_code == 200


@pytest.mark.parametrize("person", ["other_coach", "other_client_user", "stranger_coach"])
@pytest.mark.parametrize("name", NAMES)
def test_everybody_else_gets_a_404(signed_in, cast, clip, person, name):
    assert get(signed_in(getattr(cast, person)), name, clip, Range="bytes=0-9").status_code == 404


@pytest.mark.parametrize("name", NAMES)
def test_signed_out_visitor_gets_no_file(client, clip, name):
    assert get(client, name, clip).status_code == 302


@pytest.mark.parametrize("name", NAMES)
def test_no_cache_may_keep_a_file_and_no_browser_may_guess_its_type(signed_in, cast, clip, name):
    answer = get(signed_in(cast.coach), name, clip)

    assert (answer["Cache-Control"], answer["X-Content-Type-Options"]) == ("private, no-store", "nosniff")


def test_player_gets_the_range_it_asks_for(signed_in, cast, clip):
    answer = get(signed_in(cast.coach), "clip-file", clip, Range="bytes=10-19")

    assert (answer.status_code, answer["Content-Range"]) == (206, f"bytes 10-19/{len(FILM)}")
    assert b"".join(answer.streaming_content) == FILM[10:20]


def test_range_past_the_end_is_416(signed_in, cast, clip):
    assert get(signed_in(cast.coach), "clip-file", clip, Range="bytes=99999-").status_code == 416


def test_range_of_an_older_file_is_answered_with_the_whole(signed_in, cast, clip):
    answer = get(signed_in(cast.coach), "clip-file", clip, Range="bytes=0-9", **{"If-Range": '"other"'})

    assert answer.status_code == 200


def test_frame_times_are_the_stored_ticks(signed_in, cast, clip):
    assert get(signed_in(cast.coach), "clip-frames", clip).json() == [0, 3000]


@pytest.mark.parametrize("state", [ClipState.RECEIVED, ClipState.ERASED])
@pytest.mark.parametrize("name", NAMES)
def test_clip_that_is_not_ready_has_no_files(signed_in, cast, clip, name, state):
    clip.state = state
    clip.save()

    assert get(signed_in(cast.coach), name, clip).status_code == 404


def test_file_that_is_missing_is_a_404(signed_in, cast, clip):
    default_storage.delete(clip.review_copy)

    assert get(signed_in(cast.coach), "clip-file", clip).status_code == 404


@pytest.mark.parametrize("step", ["look_up", "open_part"])
def test_storage_that_cannot_be_reached_is_said_in_words_and_kept_by_no_cache(signed_in, cast, clip, step, monkeypatch):
    def down(*args):
        raise StorageUnavailable

    monkeypatch.setattr(storages["default"], step, down)
    answer = get(signed_in(cast.coach), "clip-file", clip, Range="bytes=0-9")

    assert (answer.status_code, answer["Retry-After"], answer["Cache-Control"]) == (503, "30", "private, no-store")
    assert "Nothing is lost" in answer.content.decode()


def test_file_asked_for_without_its_page_is_recorded_once_however_many_pieces(signed_in, cast, clip):
    browser = signed_in(cast.coach)

    for start in (0, 100, 200):
        get(browser, "clip-file", clip, Range=f"bytes={start}-")

    read = AccessRecord.objects.get()
    assert (read.kind, read.reader, read.subject_uuid) == (ReadKind.CLIP, cast.coach, clip.uuid)


def test_watching_ones_own_clip_is_not_recorded(signed_in, cast, clip):
    get(signed_in(cast.client_user), "clip-file", clip)

    assert not AccessRecord.objects.exists()
