"""From a received file to a clip that can be played, with the real tools."""

from contextlib import contextmanager
from pathlib import Path

import pytest
from django.core.files.storage import default_storage, storages

import jobs
from clients.models import Client, OutgoingMail
from submissions.choices import ClipState, SubmissionState
from submissions.domain import files, processing
from submissions.domain.media.reasons import Reason, ToolFailed
from submissions.domain.processing import failure_words, process_clip
from submissions.domain.storage import clip_storage
from submissions.domain.withdrawal import erase_clip
from submissions.errors import StorageUnavailable
from submissions.models import Clip, Submission
from tests.factories import NOON
from tests.shapes import on_both_storages

pytestmark = on_both_storages


def prepare(clip) -> Clip:
    process_clip(clip.pk, now=lambda: NOON)
    return Clip.objects.get(pk=clip.pk)


def stored_names() -> set[str]:
    return {found.name for found in clip_storage().files_below("clips")}


def left_behind(folders) -> list[Path]:
    return list((folders / "uploads").iterdir())


def test_clip_becomes_ready_with_copy_poster_and_a_time_for_every_frame(received, drawn_clip):
    clip = prepare(received(drawn_clip))

    assert (clip.state, clip.ready_at, clip.width, clip.height) == (ClipState.READY, NOON, 180, 320)
    assert clip.duration_s == pytest.approx(2, abs=0.1)
    assert clip.frame_times == [n * 3000 for n in range(60)]
    assert default_storage.open(clip.poster).read(3) == b"\xff\xd8\xff"


def test_place_of_filming_is_in_no_file_that_is_kept(received, drawn_clip):
    assert b"+48.0000" in drawn_clip

    prepare(received(drawn_clip))

    assert not [name for name in stored_names() if b"+48.0000" in default_storage.open(name).read()]


def test_original_is_removed_once_the_copy_stands(received, drawn_clip, folders):
    clip = prepare(received(drawn_clip))

    assert (left_behind(folders), stored_names(), clip.original) == ([], {clip.review_copy, clip.poster}, "")


def test_stored_names_are_our_own_and_unguessable(received, drawn_clip):
    clip = prepare(received(drawn_clip))

    assert clip.review_copy.startswith(f"clips/{clip.uuid}/")
    assert len(Path(clip.review_copy).stem) == 32


def test_running_twice_gives_the_same(received, drawn_clip):
    clip = received(drawn_clip)
    first = prepare(clip)
    before = stored_names()

    again = prepare(clip)

    assert (again.review_copy, stored_names()) == (first.review_copy, before)


@pytest.mark.parametrize(
    ("content", "reason"),
    [(b"Squat notes, not a film.\n" * 40, Reason.NOT_A_VIDEO), (b"\x00" * 4096, Reason.NOT_A_VIDEO)],
)
def test_file_that_is_no_video_fails_with_its_reason(received, content, reason):
    clip = prepare(received(content))

    assert (clip.state, clip.failure, failure_words(clip)) == (ClipState.FAILED, reason, str(reason.label))


def test_truncated_clip_fails_with_its_reason(received, drawn_clip):
    clip = prepare(received(drawn_clip[: len(drawn_clip) // 2]))

    assert (clip.state, clip.failure) == (ClipState.FAILED, Reason.TRUNCATED)


def test_failed_clip_leaves_the_queue_and_the_client_is_written_to_without_the_reason(received, folders):
    clip = received(b"text" * 100)
    Client.objects.update(email="client@example.test")

    prepare(clip)

    letter = OutgoingMail.objects.get()
    assert Submission.objects.get().state == SubmissionState.WITHDRAWN
    assert letter.subject == "Your clip could not be used"
    assert str(Reason.NOT_A_VIDEO.label) not in letter.body
    assert (left_behind(folders), stored_names()) == ([], set())


def test_bad_clip_does_not_stop_the_next(received, drawn_clip):
    bad, good = received(b"text" * 100), received(drawn_clip)

    assert [prepare(clip).state for clip in (bad, good)] == [ClipState.FAILED, ClipState.READY]


def test_fault_of_the_machine_is_raised_and_the_clip_waits(received, drawn_clip, monkeypatch):
    clip = received(drawn_clip)

    def broken(*args):
        raise ToolFailed("no encoder")

    monkeypatch.setattr(processing, "make_copies", broken)
    with pytest.raises(ToolFailed):
        process_clip(clip.pk, now=lambda: NOON)

    clip.refresh_from_db()
    assert (clip.state, files.has_original(clip)) == (ClipState.RECEIVED, True)


def test_crash_before_publishing_leaves_a_clip_that_can_be_prepared_again(received, drawn_clip, monkeypatch):
    clip = received(drawn_clip)
    with monkeypatch.context() as patched:
        patched.setattr(processing, "_move_on", lambda *args, **kwargs: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            process_clip(clip.pk, now=lambda: NOON)

    assert prepare(clip).state == ClipState.READY


def test_worker_that_comes_second_keeps_nothing(received, drawn_clip, monkeypatch):
    clip = received(drawn_clip)
    real = processing.make_copies

    def overtaken(source, folder):
        """Another worker, whose lease began when ours ran out, publishes while we encode."""
        monkeypatch.setattr(processing, "make_copies", real)
        made = real(source, folder)
        process_clip(clip.pk, now=lambda: NOON)
        return made

    monkeypatch.setattr(processing, "make_copies", overtaken)
    process_clip(clip.pk, now=lambda: NOON)

    clip.refresh_from_db()
    assert stored_names() == {clip.review_copy, clip.poster}


def test_clip_erased_while_it_is_prepared_stays_erased_and_leaves_no_file(
    received, drawn_clip, monkeypatch, folders, django_capture_on_commit_callbacks
):
    clip = received(drawn_clip)
    real = processing.make_copies

    def erased_meanwhile(source, folder):
        made = real(source, folder)
        with django_capture_on_commit_callbacks(execute=True):
            erase_clip(clip, at=NOON)
        return made

    monkeypatch.setattr(processing, "make_copies", erased_meanwhile)

    assert prepare(clip).state == ClipState.ERASED
    assert (left_behind(folders), stored_names()) == ([], set())


def test_waiting_jobs_prepare_what_was_sent_and_a_bad_file_does_not_hold_up_the_queue(received, drawn_clip):
    bad, good = received(b"text" * 100), received(drawn_clip)

    jobs.run_waiting()

    assert [Clip.objects.get(pk=clip.pk).state for clip in (bad, good)] == [ClipState.FAILED, ClipState.READY]


def test_worker_that_lost_its_lease_publishes_nothing(received, drawn_clip, monkeypatch):
    clip = received(drawn_clip)
    before = stored_names()

    @contextmanager
    def lost(**_: object):
        raise jobs.LostLease
        yield

    monkeypatch.setattr(jobs, "publishing", lost)
    with pytest.raises(jobs.LostLease):
        process_clip(clip.pk, now=lambda: NOON)

    clip.refresh_from_db()
    assert (clip.state, stored_names()) == (ClipState.RECEIVED, before)


def test_storage_that_goes_down_while_a_clip_is_prepared_fails_the_job_and_the_clip_waits(
    received, drawn_clip, monkeypatch
):
    clip = received(drawn_clip)

    def down(*args):
        raise StorageUnavailable

    with monkeypatch.context() as patched:
        patched.setattr(storages["default"], "put", down)
        with pytest.raises(StorageUnavailable):
            process_clip(clip.pk, now=lambda: NOON)

    clip.refresh_from_db()
    assert (clip.state, files.has_original(clip)) == (ClipState.RECEIVED, True)
    assert prepare(clip).state == ClipState.READY
