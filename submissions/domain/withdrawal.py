"""When the video consent is withdrawn the clips go, as its text promises. The coach's words about them stay."""

import datetime

from django.db import transaction
from django.db.models import OuterRef, Subquery

from clients.choices import ConsentAction, ConsentKind
from clients.models import Client, ConsentEvent
from submissions.choices import ClipState, SubmissionState
from submissions.domain import files
from submissions.models import Clip, Submission, Upload


def erase_withdrawn_clips(*, at: datetime.datetime) -> int:
    """Remove the clips of everyone whose newest word on video is "withdrawn". Returns how many went.

    The people's room does not know of clips, so this is swept. Safe to run again, and at the same time.
    """
    clips = Clip.objects.filter(client__in=_withdrawn(), erased_at=None)
    erased = sum(erase_clip(clip, at=at) for clip in clips)
    delete_files_of_erased()
    return erased


def delete_files_of_erased() -> None:
    """What a crash or an unreachable storage left: a tombstone names its files until they are gone."""
    for clip in Clip.objects.filter(state=ClipState.ERASED).exclude(original="", review_copy="", poster=""):
        _delete_files(clip)


def _withdrawn() -> list[int]:
    newest = ConsentEvent.objects.current().filter(client=OuterRef("pk"), kind=ConsentKind.VIDEO).order_by("-at", "-pk")
    said = Client.objects.annotate(said=Subquery(newest.values("action")[:1]))
    return list(said.filter(said=ConsentAction.WITHDRAWN).values_list("pk", flat=True))


def erase_clip(clip: Clip, *, at: datetime.datetime) -> bool:
    """Leave a tombstone without content, and delete the files once that is certain.

    A storage that cannot be reached undoes no erasure: nobody is given the files any more, and the sweep tries again.
    """
    with transaction.atomic():
        locked = Clip.objects.select_for_update().get(pk=clip.pk)
        if locked.erased_at is not None:
            return False
        Clip.objects.filter(pk=clip.pk).update(
            state=ClipState.ERASED,
            erased_at=at,
            question="",
            frame_times=None,
        )
        waiting = Submission.objects.waiting().filter(clip=clip)
        waiting.update(state=SubmissionState.WITHDRAWN)
        Submission.objects.filter(clip=clip).update(text="")
        transaction.on_commit(lambda: _delete_files(locked), robust=True)
    return True


def _delete_files(clip: Clip) -> None:
    files.discard(clip.original, clip.review_copy, clip.poster)
    for upload in Upload.objects.filter(clip=clip):
        files.remove_part(upload.uuid)
    Clip.objects.filter(pk=clip.pk).update(original="", review_copy="", poster="")
