"""From a received file to a clip that a coach can step through, or to a reason the client understands."""

import datetime
from collections.abc import Callable

from django.urls import reverse
from django.utils.translation import gettext as _

import jobs
from clients.domain.mail import absolute
from clients.domain.notices import tell_client
from submissions.choices import ClipState, SubmissionState
from submissions.domain import files
from submissions.domain.media.reasons import BadClip, Reason
from submissions.domain.media.transcode import ProcessedClip
from submissions.domain.media.transcode import process_clip as make_copies
from submissions.models import Clip, Submission

# Not the file's fault: its bytes are gone from our side.
LOST = "lost"


def process_clip(clip_id: int, *, now: Callable[[], datetime.datetime]) -> None:
    """Make a received clip ready, or say why it cannot be. Run twice, or by two workers, it happens once.

    Whatever goes wrong with the machine or the storage is raised, and the job is tried again. The original goes last:
    until the copies are stored and in the row, a crash loses nothing.
    """
    clip = Clip.objects.select_related("upload").get(pk=clip_id)
    if clip.state != ClipState.RECEIVED:
        return
    with files.work_folder() as folder:
        try:
            made = make_copies(files.original_of(clip, folder=folder), folder)
        except BadClip as bad:
            refuse_clip(clip, reason=bad.reason)
        else:
            publish_clip(clip, made, at=now())
    files.discard(clip.original)
    files.remove_part(clip.upload.uuid)


def publish_clip(clip: Clip, made: ProcessedClip, *, at: datetime.datetime) -> bool:
    """Store the copies and name them in the row. False, with nothing kept, when somebody else was first."""
    review_copy, poster = files.keep(made.review_copy, clip, ".mp4"), files.keep(made.poster, clip, ".jpg")
    published = False
    try:
        with jobs.publishing(last=True):
            published = _move_on(
                clip,
                state=ClipState.READY,
                original="",
                review_copy=review_copy,
                poster=poster,
                frame_times=made.frame_times,
                duration_s=made.duration_s,
                width=made.width,
                height=made.height,
                ready_at=at,
            )
    except jobs.LostLease:
        files.discard(review_copy, poster)
        raise
    # Any other error leaves the files to the sweep: a commit whose answer was lost may have named them.
    if not published:
        files.discard(review_copy, poster)
    return published


def refuse_clip(clip: Clip, *, reason: Reason | str) -> bool:
    """Keep why the clip cannot be used, take it out of the queue and write to the client, without the reason."""
    with jobs.publishing():
        if not _move_on(clip, state=ClipState.FAILED, original="", failure=str(reason)):
            return False
        Submission.objects.waiting().filter(clip=clip).update(state=SubmissionState.WITHDRAWN)
        tell_client(
            clip.client,
            subject=_("Your clip could not be used"),
            body=_("A clip you sent could not be used. See why, and what to do:\n%(link)s")
            % {"link": absolute(reverse("my-clips"))},
        )
    return True


def _move_on(clip: Clip, **to: object) -> bool:
    """Compare-and-set from "received": a second run, or an erasure meanwhile, finds nothing to change."""
    return bool(Clip.objects.filter(pk=clip.pk, state=ClipState.RECEIVED).update(**to))


def failure_words(clip: Clip) -> str:
    """What the client reads about a clip that could not be used."""
    if clip.failure in Reason.values:
        return str(Reason(clip.failure).label)
    return _("The clip was lost on our side. Please send it again.")
