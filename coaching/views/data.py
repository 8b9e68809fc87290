"""A client's own data: a copy of all of it, and leaving. An owner can have the copy made too."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.choices import ClientState
from clients.domain.leaving import leave_practice
from clients.models import Client, DataCopy
from clients.views import SignedInRequest
from clients.views.intake import own_client
from coaching.domain.data_copy import ask_for_copy, record_download
from coaching.errors import CopyUnderWay


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def my_data(request: SignedInRequest) -> HttpResponse:
    return _data(request, own_client(request), is_owner=False)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def client_data(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = get_object_or_404(Client.objects.owned_by(request.user).filter(erased_at=None), uuid=client_uuid)
    return _data(request, client, is_owner=True)


def _data(request: SignedInRequest, client: Client, *, is_owner: bool) -> HttpResponse:
    if request.method == "POST":
        try:
            ask_for_copy(client, by=request.user, at=timezone.now())
            messages.success(request, _("The copy is being made. Come back in a minute."))
        except CopyUnderWay as error:
            messages.info(request, str(error))
        return redirect(request.path)
    context = {
        "client": client,
        "copies": DataCopy.objects.of(client).order_by("-asked_at")[:10],
        "is_owner": is_owner,
        "has_left": client.state == ClientState.ENDED,
    }
    return render(request, "coaching/data.html", context)


@login_required
@require_safe
def data_copy(request: SignedInRequest, copy_uuid: str) -> FileResponse:
    """The file, for the client and the owners of the practice; coaches have the pages."""
    own = DataCopy.objects.filter(client__in=Client.objects.own(request.user))
    owned = DataCopy.objects.filter(client__in=Client.objects.owned_by(request.user))
    copy = get_object_or_404((own | owned).exclude(file="").select_related("client"), uuid=copy_uuid)
    now = timezone.now()
    if copy.expires_at is not None and copy.expires_at <= now:
        raise Http404
    record_download(copy, reader=request.user, at=now)
    try:
        stored = default_storage.open(copy.file)
    except FileNotFoundError as error:
        raise Http404 from error
    name = f"purlin-{timezone.localdate(copy.made_at).isoformat()}.zip"
    return FileResponse(stored, as_attachment=True, filename=name, content_type="application/zip")


@login_required
@require_POST
def leave(request: SignedInRequest) -> HttpResponse:
    client = own_client(request)
    if request.POST.get("sure") != "yes":
        messages.error(request, _("Tick that you are sure."))
        return redirect("my-data")
    leave_practice(client, by=request.user, at=timezone.now(), reason=request.POST.get("reason", "")[:500])
    messages.success(request, _("You have left. Your coach is told. Your data stays until you ask for its erasure."))
    return redirect("my-data")
