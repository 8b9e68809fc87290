"""A withdrawn video consent takes the clips with it; an order of events decides, not the clock of the sweep."""

import datetime

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage, storages

from clients.choices import ConsentAction, ConsentKind
from submissions.choices import ClipState, SubmissionState
from submissions.domain.withdrawal import erase_clip, erase_withdrawn_clips
from submissions.errors import StorageUnavailable
from submissions.models import Clip, Submission
from tests import factories as f
from tests.shapes import on_both_storages

pytestmark = [pytest.mark.django_db(transaction=True), on_both_storages]
HOUR = datetime.timedelta(hours=1)


@pytest.fixture
def submission(cast, folders):
    name = default_storage.save("clips/one.mp4", ContentFile(b"film"))
    f.ConsentFactory(client=cast.client, kind=ConsentKind.VIDEO)
    clip = f.ClipFactory(client=cast.client, review_copy=name, poster="", question="Do I sag?")
    return f.SubmissionFactory(client=cast.client, clip=clip, text="Do I sag?")


def withdraw(client, *, at=f.NOON + HOUR):
    f.ConsentFactory(client=client, kind=ConsentKind.VIDEO, action=ConsentAction.WITHDRAWN, at=at)


def test_withdrawal_erases_film_and_words_and_leaves_a_tombstone(submission, cast):
    name = submission.clip.review_copy
    withdraw(cast.client)

    assert erase_withdrawn_clips(at=f.NOON + 2 * HOUR) == 1

    clip, left = Clip.objects.get(), Submission.objects.get()
    assert (clip.state, clip.review_copy, clip.question, clip.frame_times) == (ClipState.ERASED, "", "", None)
    assert (left.state, left.text) == (SubmissionState.WITHDRAWN, "")
    assert not default_storage.exists(name)


def test_sweeping_again_erases_nothing_more(submission, cast):
    withdraw(cast.client)
    erase_withdrawn_clips(at=f.NOON + 2 * HOUR)

    assert erase_withdrawn_clips(at=f.NOON + 3 * HOUR) == 0


def test_storage_that_is_down_undoes_no_erasure_and_the_files_go_when_it_is_back(submission, cast, monkeypatch):
    name = submission.clip.review_copy
    withdraw(cast.client)

    def down(*args):
        raise StorageUnavailable

    with monkeypatch.context() as patched:
        patched.setattr(storages["default"], "delete", down)
        with pytest.raises(StorageUnavailable):
            erase_withdrawn_clips(at=f.NOON + 2 * HOUR)
    state = Clip.objects.get().state
    erase_withdrawn_clips(at=f.NOON + 3 * HOUR)

    assert (state, Clip.objects.get().review_copy, default_storage.exists(name)) == (ClipState.ERASED, "", False)


def test_erasing_one_clip_does_not_fail_for_a_storage_that_is_down(submission, monkeypatch):
    def down(*args):
        raise StorageUnavailable

    monkeypatch.setattr(storages["default"], "delete", down)

    assert erase_clip(submission.clip, at=f.NOON)
    assert Clip.objects.get().review_copy == submission.clip.review_copy


def test_clip_of_someone_who_consents_stays(submission):
    assert erase_withdrawn_clips(at=f.NOON + 2 * HOUR) == 0


def test_consent_given_again_before_the_sweep_keeps_the_clip(submission, cast):
    withdraw(cast.client)
    f.ConsentFactory(client=cast.client, kind=ConsentKind.VIDEO, at=f.NOON + 2 * HOUR)

    assert erase_withdrawn_clips(at=f.NOON + 3 * HOUR) == 0
