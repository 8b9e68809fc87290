"""Resumable uploads by the tus 1.0.0 protocol (tus.io): core, creation, termination, expiration, checksum.

Kept to the session's sign-in and Django's CSRF header. A view here may only use `request.read`: `request.body` and
`request.POST` would take a whole clip into memory.
"""

import base64
import binascii
import uuid
from collections.abc import Callable
from functools import wraps
from typing import Any

from django.conf import settings
from django.http import Http404, HttpResponse, UnreadablePostError
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.utils.http import http_date

from clients.views import SignedInRequest
from programs.models import Prescription, ScheduledSession
from submissions.domain import uploading
from submissions.domain.uploading import CHECKSUMS, Checksum
from submissions.errors import (
    ChecksumMismatch,
    ClipTooLarge,
    MoreThanAnnounced,
    NoRoom,
    StorageUnavailable,
    SubmissionsError,
    TooManyOpenUploads,
    UploadBusy,
    UploadGone,
    VideoConsentMissing,
    WrongOffset,
)
from submissions.forms import NewUploadForm
from submissions.models import Upload

VERSION = "1.0.0"
EXTENSIONS = "creation,termination,expiration,checksum"
STATUS = {
    VideoConsentMissing: 403,
    WrongOffset: 409,
    UploadGone: 410,
    ClipTooLarge: 413,
    MoreThanAnnounced: 413,
    UploadBusy: 423,
    TooManyOpenUploads: 429,
    # The protocol's own number.
    ChecksumMismatch: 460,
    # Everything has arrived and is kept here: the sender asks again until it is carried on.
    StorageUnavailable: 503,
    NoRoom: 507,
}
View = Callable[..., HttpResponse]


class Refused(Exception):
    """A request the protocol does not allow."""

    def __init__(self, status: int, words: str = "") -> None:
        super().__init__(words)
        self.status = status


def tus(view: View) -> View:
    """The envelope every answer comes in, refusals included."""

    @wraps(view)
    def handle(request: SignedInRequest, **kwargs: object) -> HttpResponse:
        response = _answer(view, request, kwargs)
        response["Tus-Resumable"] = VERSION
        response["Cache-Control"] = "no-store"
        response["X-Content-Type-Options"] = "nosniff"
        return response

    return handle


def _answer(view: View, request: SignedInRequest, kwargs: dict[str, object]) -> HttpResponse:
    if request.method == "OPTIONS":
        return _capabilities()
    if not request.user.is_authenticated:
        return _words(401, "Sign in again; the upload continues where it stopped.")
    if request.headers.get("Tus-Resumable") != VERSION:
        return HttpResponse(status=412, headers={"Tus-Version": VERSION})
    try:
        return view(request, **kwargs)
    except Refused as refusal:
        return _words(refusal.status, str(refusal))
    except SubmissionsError as error:
        return _words(STATUS.get(type(error), 400), str(error))
    except Http404:
        return _words(404, "")


def _words(status: int, words: str) -> HttpResponse:
    return HttpResponse(words, status=status, content_type="text/plain; charset=utf-8")


def _capabilities() -> HttpResponse:
    return HttpResponse(
        status=204,
        headers={
            "Tus-Version": VERSION,
            "Tus-Extension": EXTENSIONS,
            "Tus-Max-Size": str(settings.CLIP_MAX_BYTES),
            "Tus-Checksum-Algorithm": ",".join(CHECKSUMS),
        },
    )


@tus
def uploads(request: SignedInRequest) -> HttpResponse:
    """Creation: POST announces a clip and gets the address to send it to."""
    if request.method != "POST":
        raise Refused(405)
    at = timezone.now()
    said = _cleaned(NewUploadForm(_metadata(request.headers.get("Upload-Metadata", ""))))
    length = _count(request, "Upload-Length")
    scheduled = get_object_or_404(ScheduledSession.objects.own(request.user), uuid=said["scheduled"])
    prescription = get_object_or_404(
        Prescription, uuid=said["prescription"], group__section__session=scheduled.session_id
    )
    upload = uploading.open_upload(
        scheduled.client,
        scheduled=scheduled,
        prescription=prescription,
        camera_side=said["camera_side"],
        question=said["question"],
        length=length,
        at=at,
    )
    return HttpResponse(status=201, headers=_place(upload) | _expiry(upload))


@tus
def upload(request: SignedInRequest, upload_uuid: uuid.UUID) -> HttpResponse:
    """One upload: HEAD says how much is here, PATCH adds to it, DELETE takes it back."""
    found = get_object_or_404(Upload.objects.own(request.user).select_related("client", "clip"), uuid=upload_uuid)
    answers = {"HEAD": _head, "PATCH": _patch, "DELETE": _delete}
    if request.method not in answers:
        raise Refused(405)
    return answers[request.method](request, found)


def _head(request: SignedInRequest, upload: Upload) -> HttpResponse:
    """Who asks about a whole file was cut off before it was submitted and will send nothing more: it is done now."""
    at = timezone.now()
    offset = uploading.offset_of(upload, at=at)
    if offset == upload.length:
        uploading.finish_upload(upload, at=at)
    headers = {"Upload-Offset": str(offset), "Upload-Length": str(upload.length)}
    return HttpResponse(headers=headers | _expiry(upload))


def _patch(request: SignedInRequest, upload: Upload) -> HttpResponse:
    if request.content_type != "application/offset+octet-stream":
        raise Refused(415)
    if not request.headers.get("Content-Length"):
        raise Refused(411)
    offset = _count(request, "Upload-Offset")
    if offset + _count(request, "Content-Length") > upload.length:
        raise MoreThanAnnounced
    new_offset = uploading.append(
        upload, offset=offset, read=_reader(request), at=timezone.now(), checksum=_checksum(request)
    )
    return HttpResponse(status=204, headers={"Upload-Offset": str(new_offset)} | _expiry(upload))


def _delete(request: SignedInRequest, upload: Upload) -> HttpResponse:
    uploading.take_back_upload(upload)
    return HttpResponse(status=204)


def _reader(request: SignedInRequest) -> uploading.Reads:
    def read(size: int, /) -> bytes:
        try:
            return request.read(size)
        except UnreadablePostError:
            # The sender vanished. What came before stays, and the next request asks where to go on.
            return b""

    return read


def _count(request: SignedInRequest, header: str) -> int:
    said = request.headers.get(header, "")
    if not (said.isascii() and said.isdigit() and len(said) <= 15):
        raise Refused(400, f"{header} must be a whole number.")
    return int(said)


def _checksum(request: SignedInRequest) -> Checksum | None:
    said = request.headers.get("Upload-Checksum")
    if said is None:
        return None
    algorithm, _, digest = said.partition(" ")
    if algorithm not in CHECKSUMS:
        raise Refused(400, "Unknown checksum algorithm.")
    return Checksum(algorithm, _base64(digest))


def _metadata(header: str) -> dict[str, str]:
    """The pairs of an Upload-Metadata header: "key base64,key base64"."""
    pairs = [pair.strip().partition(" ") for pair in header.split(",") if pair.strip()]
    try:
        return {key: _base64(value.strip()).decode() for key, _, value in pairs}
    except UnicodeDecodeError as error:
        raise Refused(400, "Upload-Metadata must be UTF-8.") from error


def _base64(text: str) -> bytes:
    try:
        return base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError) as error:
        raise Refused(400, "Not base64.") from error


def _cleaned(form: NewUploadForm) -> dict[str, Any]:
    if not form.is_valid():
        raise Refused(400, " ".join(str(error) for errors in form.errors.values() for error in errors))
    return form.cleaned_data


def _place(upload: Upload) -> dict[str, str]:
    return {"Location": reverse("upload", args=[upload.uuid])}


def _expiry(upload: Upload) -> dict[str, str]:
    """Until when an unfinished upload is kept."""
    return {} if upload.finished_at else {"Upload-Expires": http_date(upload.expires_at.timestamp())}
