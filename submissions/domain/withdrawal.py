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
    return sum(erase_clip(clip, at=at) for clip in clips)


def _withdrawn() -> list[int]:
    newest = ConsentEvent.objects.current().filter(client=OuterRef("pk"), kind=ConsentKind.VIDEO).order_by("-at", "-pk")
    said = Client.objects.annotate(said=Subquery(newest.values("action")[:1]))
    return list(said.filter(said=ConsentAction.WITHDRAWN).values_list("pk", flat=True))


def erase_clip(clip: Clip, *, at: datetime.datetime) -> bool:
    """Leave a tombstone without content, and delete the files once that is certain."""
    with transaction.atomic():
        locked = Clip.objects.select_for_update().get(pk=clip.pk)
        if locked.erased_at is not None:
            return False
        names = (locked.original, locked.review_copy, locked.poster)
        Clip.objects.filter(pk=clip.pk).update(
            state=ClipState.ERASED,
            erased_at=at,
            question="",
            original="",
            review_copy="",
            poster="",
            frame_times=None,
        )
        waiting = Submission.objects.waiting().filter(clip=clip)
        waiting.update(state=SubmissionState.WITHDRAWN)
        Submission.objects.filter(clip=clip).update(text="")
        transaction.on_commit(lambda: _delete(clip, names))
    return True


def _delete(clip: Clip, names: tuple[str, ...]) -> None:
    files.discard(*names)
    for upload in Upload.objects.filter(clip=clip):
        files.remove_part(upload.uuid)
