"""The files of a clip: for its client and that client's coaches, piece by piece, kept by no cache."""

from datetime import datetime, timedelta

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.http import require_safe

from clients.choices import ReadKind
from clients.domain.history import record_read
from clients.models import AccessRecord
from clients.views import SignedInRequest
from submissions.choices import ClipState
from submissions.domain import byte_range
from submissions.domain.storage import clip_storage
from submissions.errors import StorageUnavailable
from submissions.models import Clip

# A player asks for many pieces of a file, for as long as its page is open.
ONE_READING = timedelta(hours=12)


@login_required
@require_safe
def clip_file(request: SignedInRequest, clip_uuid: str) -> HttpResponseBase:
    clip = _ready(request, clip_uuid)
    _record_reading(request, clip, at=timezone.now())
    return send_file(request, clip.review_copy, "video/mp4")


@login_required
@require_safe
def clip_poster(request: SignedInRequest, clip_uuid: str) -> HttpResponseBase:
    return send_file(request, _ready(request, clip_uuid).poster, "image/jpeg")


@login_required
@require_safe
def clip_frames(request: SignedInRequest, clip_uuid: str) -> HttpResponse:
    """When each frame is shown, in 1/90000 s."""
    found = get_object_or_404(Clip.objects.visible_to(request.user), uuid=clip_uuid, state=ClipState.READY)
    response = JsonResponse(found.frame_times, safe=False)
    response["Cache-Control"] = "private, no-store"
    response["X-Content-Type-Options"] = "nosniff"
    return response


def _record_reading(request: SignedInRequest, clip: Clip, *, at: datetime) -> None:
    """The page that shows a clip has recorded it; this catches who asks for the file without the page."""
    recent = AccessRecord.objects.filter(
        client=clip.client_id, reader=request.user.pk, subject_uuid=clip.uuid, at__gt=at - ONE_READING
    )
    if not recent.exists():
        record_read(clip.client, reader=request.user, kind=ReadKind.CLIP, at=at, subject=clip.uuid)


def _ready(request: SignedInRequest, clip_uuid: str) -> Clip:
    clips = Clip.objects.visible_to(request.user).select_related("client").defer("frame_times")
    return get_object_or_404(clips, uuid=clip_uuid, state=ClipState.READY)


def send_file(request: SignedInRequest, name: str, content_type: str) -> HttpResponseBase:
    storage = clip_storage()
    try:
        stored = storage.look_up(name)
        return byte_range.respond(
            request,
            lambda part: storage.open_part(name, part.start, part.stop),
            size=stored.size,
            etag=byte_range.strong_etag(name, stored.size),
            modified_at=stored.modified_at,
            content_type=content_type,
        )
    except FileNotFoundError as error:
        raise Http404 from error
    except StorageUnavailable as error:
        return _later(str(error))


def _later(words: str) -> HttpResponse:
    headers = {"Retry-After": "30", "Cache-Control": "private, no-store"}
    return HttpResponse(words, status=503, content_type="text/plain; charset=utf-8", headers=headers)
