"""From a coach's file to a clip that the house can watch, with the real tools."""

import datetime

import pytest
from django.core.files.storage import default_storage, storages

import jobs
from submissions.choices import ClipState
from submissions.domain import demonstrations
from submissions.domain.demonstrations import (
    Film,
    erase_demonstration,
    failure_words,
    give_up_demonstrations,
    process_demonstration,
    receive_demonstration,
    withdraw_demonstration,
)
from submissions.domain.storage import clip_storage
from submissions.domain.sweeping import sweep_files
from submissions.errors import DemonstrationTooLarge, EmptyFile, StorageUnavailable
from submissions.models import DemonstrationClip
from tests import factories as f
from tests.factories import NOON
from tests.shapes import on_both_storages

pytestmark = on_both_storages
LATER = NOON + datetime.timedelta(hours=1)


@pytest.fixture
def send(cast, folders):
    """A coach sends a film of one movement of the practice."""
    movement = f.MovementFactory(practice=cast.practice)

    def arrive(content, *, at=NOON, words="Two of them, from the side."):
        film = Film(len(content), [content])
        return receive_demonstration(cast.practice, movement, film=film, words=words, by=cast.coach, at=at)

    return arrive


def prepare(clip):
    process_demonstration(clip.pk, now=lambda: NOON)
    return DemonstrationClip.objects.get(pk=clip.pk)


def stored_names():
    return {found.name for found in clip_storage().files_below("demonstrations")}


def test_film_becomes_ready_and_nothing_but_its_copies_is_kept(send, drawn_clip):
    clip = prepare(send(drawn_clip))

    assert (clip.state, clip.width, clip.height, clip.original) == (ClipState.READY, 180, 320, "")
    assert stored_names() == {clip.review_copy, clip.poster}
    assert default_storage.open(clip.poster).read(3) == b"\xff\xd8\xff"


def test_place_of_filming_is_in_no_file_that_is_kept(send, drawn_clip):
    assert b"+48.0000" in drawn_clip

    prepare(send(drawn_clip))

    assert not [name for name in stored_names() if b"+48.0000" in default_storage.open(name).read()]


def test_receiving_asks_for_the_preparation_once(send, drawn_clip):
    clip = send(drawn_clip)

    assert clip.state == ClipState.RECEIVED
    assert [args[0] for args in jobs.under_way("submissions.process_demonstration")] == [clip.pk]


def test_file_that_is_no_film_says_why_and_leaves_nothing(send):
    clip = prepare(send(b"Notes, not a film.\n" * 40))

    assert clip.state == ClipState.FAILED
    assert "not a video" in failure_words(clip)
    assert stored_names() == set()


def test_film_of_more_than_a_minute_is_refused(send, drawn_clip, monkeypatch):
    monkeypatch.setattr(demonstrations, "LIMITS", demonstrations.ClipLimits(duration_s=1))

    assert prepare(send(drawn_clip)).failure == "too_long"
    assert demonstrations.LIMITS.duration_s == 1


def test_running_twice_gives_the_same(send, drawn_clip):
    first = prepare(send(drawn_clip))
    before = stored_names()

    again = prepare(first)

    assert (again.review_copy, stored_names()) == (first.review_copy, before)


@pytest.mark.parametrize(("size", "refusal"), [(0, EmptyFile), (101, DemonstrationTooLarge)])
def test_empty_and_too_large_films_are_not_kept(cast, folders, settings, size, refusal):
    settings.DEMONSTRATION_MAX_BYTES = 100
    movement = f.MovementFactory(practice=cast.practice)

    with pytest.raises(refusal):
        receive_demonstration(cast.practice, movement, film=Film(size, []), words="x", by=cast.coach, at=NOON)

    assert not DemonstrationClip.objects.exists()


def test_new_film_takes_the_place_of_the_old_one_once_it_is_ready(send, drawn_clip):
    old = prepare(send(drawn_clip))
    new = send(drawn_clip, at=LATER)
    before = DemonstrationClip.objects.shown().first()

    prepare(new)

    assert (before, DemonstrationClip.objects.shown().first()) == (old, new)
    assert DemonstrationClip.objects.count() == 2


def test_withdrawn_film_stays_as_a_version_and_the_one_before_is_shown(send, drawn_clip):
    old, new = prepare(send(drawn_clip)), prepare(send(drawn_clip, at=LATER))

    withdraw_demonstration(new, at=LATER)

    new.refresh_from_db()
    assert DemonstrationClip.objects.shown().first() == old
    assert {new.review_copy, new.poster} <= stored_names()


def test_erased_film_leaves_no_file_and_no_words(send, drawn_clip, django_capture_on_commit_callbacks):
    clip = prepare(send(drawn_clip))

    with django_capture_on_commit_callbacks(execute=True):
        erase_demonstration(clip, at=LATER)

    clip.refresh_from_db()
    assert (clip.state, clip.words, clip.review_copy, clip.erased_at) == (ClipState.ERASED, "", "", LATER)
    assert stored_names() == set()


def test_film_erased_while_it_was_prepared_stays_erased(send, drawn_clip, django_capture_on_commit_callbacks):
    clip = send(drawn_clip)

    def erase_then_now():
        with django_capture_on_commit_callbacks(execute=True):
            erase_demonstration(clip, at=LATER)
        return LATER

    process_demonstration(clip.pk, now=erase_then_now)

    clip.refresh_from_db()
    assert clip.state == ClipState.ERASED
    assert stored_names() == set()


def test_files_of_an_erased_film_that_an_outage_left_go_with_the_next_sweep(
    send, drawn_clip, monkeypatch, django_capture_on_commit_callbacks
):
    clip = prepare(send(drawn_clip))
    with monkeypatch.context() as outage:
        outage.setattr(demonstrations.files, "discard", _unavailable)
        with django_capture_on_commit_callbacks(execute=True):
            erase_demonstration(clip, at=LATER)
    assert stored_names() != set()

    give_up_demonstrations(before=LATER)

    assert stored_names() == set()


def _unavailable(*_names):
    raise StorageUnavailable


def test_film_that_never_arrived_whole_is_forgotten_after_a_day(send, drawn_clip, monkeypatch):
    with monkeypatch.context() as outage:
        outage.setattr(type(storages["default"]), "put", _unavailable)
        with pytest.raises(StorageUnavailable):
            send(drawn_clip)
    half = DemonstrationClip.objects.get()

    sweep_files(at=NOON + datetime.timedelta(hours=1))
    kept = DemonstrationClip.objects.filter(pk=half.pk).exists()
    sweep_files(at=NOON + datetime.timedelta(days=2))

    assert (half.state, kept) == (ClipState.UPLOADING, True)
    assert not DemonstrationClip.objects.exists()


def test_original_that_is_gone_is_said_to_be_lost(send, drawn_clip):
    clip = send(drawn_clip)
    clip_storage().delete(clip.original)

    assert "lost on our side" in failure_words(prepare(clip))


def test_sweep_removes_files_that_no_row_names_and_keeps_those_that_one_does(send, drawn_clip, tmp_path):
    clip = prepare(send(drawn_clip))
    made = tmp_path / "left"
    made.write_bytes(b"left by a crash")
    clip_storage().put(made, f"demonstrations/{clip.uuid}/left.mp4")

    sweep_files(at=datetime.datetime.now(datetime.UTC) + datetime.timedelta(days=2))

    assert stored_names() == {clip.review_copy, clip.poster}
