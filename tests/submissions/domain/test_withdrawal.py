"""A withdrawn video consent takes the clips with it; an order of events decides, not the clock of the sweep."""

import datetime

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from clients.choices import ConsentAction, ConsentKind
from submissions.choices import ClipState, SubmissionState
from submissions.domain.withdrawal import erase_withdrawn_clips
from submissions.models import Clip, Submission
from tests import factories as f

pytestmark = pytest.mark.django_db(transaction=True)
HOUR = datetime.timedelta(hours=1)


@pytest.fixture
def submission(cast, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
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


def test_clip_of_someone_who_consents_stays(submission):
    assert erase_withdrawn_clips(at=f.NOON + 2 * HOUR) == 0


def test_consent_given_again_before_the_sweep_keeps_the_clip(submission, cast):
    withdraw(cast.client)
    f.ConsentFactory(client=cast.client, kind=ConsentKind.VIDEO, at=f.NOON + 2 * HOUR)

    assert erase_withdrawn_clips(at=f.NOON + 3 * HOUR) == 0
