"""A practice shows a movement: one short film, through the same checks and copies as a client's clip."""

import datetime
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _

import jobs
from clients.models import Practice, User
from programs.models import Movement
from submissions.choices import ClipState
from submissions.domain import files
from submissions.domain.media.probe import ClipLimits
from submissions.domain.media.reasons import BadClip, Reason
from submissions.domain.media.transcode import ProcessedClip
from submissions.domain.media.transcode import process_clip as make_copies
from submissions.domain.storage import clip_storage
from submissions.errors import DemonstrationTooLarge, EmptyFile
from submissions.models import DemonstrationClip

# One or two repetitions, from set-up to set-down.
LIMITS = ClipLimits(duration_s=60)
LOST = "lost"


@dataclass(frozen=True)
class Film:
    """A received film: its size and its pieces. What it was called elsewhere is not asked."""

    size: int
    pieces: Iterable[bytes]


def receive_demonstration(
    practice: Practice, movement: Movement, *, film: Film, words: str, by: User, at: datetime.datetime
) -> DemonstrationClip:
    """Keep a film and ask for its preparation; what is shown so far is shown until it is ready.

    The row comes first and names the file, so that a crash leaves nothing that nobody knows.
    Raises EmptyFile, DemonstrationTooLarge, StorageUnavailable.
    """
    if film.size <= 0:
        raise EmptyFile
    if film.size > settings.DEMONSTRATION_MAX_BYTES:
        raise DemonstrationTooLarge
    clip = DemonstrationClip(
        practice=practice, movement=movement, words=words, by=by, size_bytes=film.size, received_at=at
    )
    clip.original = files.new_name(clip)
    clip.save(force_insert=True)
    with files.work_folder() as folder:
        received = folder / "received"
        with received.open("wb") as target:
            target.writelines(film.pieces)
        clip_storage().put(received, clip.original)
    with transaction.atomic():
        _move_on(clip, was=ClipState.UPLOADING, state=ClipState.RECEIVED)
        jobs.request("submissions.process_demonstration", clip.pk, practice=practice.pk, key=f"demonstration {clip.pk}")
    clip.refresh_from_db()
    return clip


def process_demonstration(clip_id: int, *, now: Callable[[], datetime.datetime]) -> None:
    """Make a received film ready, or say why it cannot be. Run twice, or by two workers, it happens once."""
    clip = DemonstrationClip.objects.get(pk=clip_id)
    if clip.state != ClipState.RECEIVED:
        return
    with files.work_folder() as folder:
        received = folder / "received"
        try:
            clip_storage().fetch(clip.original, received)
            made = make_copies(received, folder, limits=LIMITS)
        except FileNotFoundError:
            _refuse(clip, LOST)
        except BadClip as bad:
            _refuse(clip, bad.reason)
        else:
            _publish(clip, made, at=now())
    files.discard(clip.original)


def _publish(clip: DemonstrationClip, made: ProcessedClip, *, at: datetime.datetime) -> None:
    """Store the copies and name them in the row; with nothing kept when somebody else was first."""
    review_copy, poster = files.keep(made.review_copy, clip, ".mp4"), files.keep(made.poster, clip, ".jpg")
    copies = {"review_copy": review_copy, "poster": poster, "width": made.width, "height": made.height}
    published = False
    try:
        with jobs.publishing(last=True):
            published = _move_on(
                clip, was=ClipState.RECEIVED, state=ClipState.READY, original="", ready_at=at, **copies
            )
    except jobs.LostLease:
        files.discard(review_copy, poster)
        raise
    if not published:
        files.discard(review_copy, poster)


def _refuse(clip: DemonstrationClip, reason: Reason | str) -> None:
    with jobs.publishing():
        _move_on(clip, was=ClipState.RECEIVED, state=ClipState.FAILED, original="", failure=str(reason))


def _move_on(clip: DemonstrationClip, *, was: ClipState, **to: object) -> bool:
    """Compare-and-set: a second run, or an erasure meanwhile, finds nothing to change."""
    return bool(DemonstrationClip.objects.filter(pk=clip.pk, state=was).update(**to))


def withdraw_demonstration(clip: DemonstrationClip, *, at: datetime.datetime) -> None:
    """No longer shown; it stays as a version. The one before it is shown again, if there is one."""
    DemonstrationClip.objects.filter(pk=clip.pk, withdrawn_at=None).update(withdrawn_at=at)


def erase_demonstration(clip: DemonstrationClip, *, at: datetime.datetime) -> None:
    """Leave a row without words or film, and delete the files once that is certain. The second time does nothing."""
    with transaction.atomic():
        locked = DemonstrationClip.objects.select_for_update().get(pk=clip.pk)
        if locked.erased_at is not None:
            return
        DemonstrationClip.objects.filter(pk=clip.pk).update(state=ClipState.ERASED, erased_at=at, words="")
        transaction.on_commit(lambda: _delete_files(locked), robust=True)


def _delete_files(clip: DemonstrationClip) -> None:
    files.discard(clip.original, clip.review_copy, clip.poster)
    DemonstrationClip.objects.filter(pk=clip.pk).update(original="", review_copy="", poster="")


def give_up_demonstrations(*, before: datetime.datetime) -> None:
    """Rows whose film never arrived whole, and files of erased ones that a crash or an outage left."""
    for clip in DemonstrationClip.objects.filter(state=ClipState.UPLOADING, received_at__lt=before):
        files.discard(clip.original)
        DemonstrationClip.objects.filter(pk=clip.pk, state=ClipState.UPLOADING).delete()
    erased = DemonstrationClip.objects.filter(state=ClipState.ERASED)
    for clip in erased.exclude(original="", review_copy="", poster=""):
        _delete_files(clip)


def failure_words(clip: DemonstrationClip) -> str:
    if clip.failure in Reason.values:
        return str(Reason(clip.failure).label)
    return _("The clip was lost on our side. Please send it again.")
