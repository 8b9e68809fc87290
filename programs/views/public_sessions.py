"""The coach publishes a session for anyone, ends it and brings it back."""

import uuid

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.choices import ReadKind
from clients.domain.mail import absolute
from clients.models import Membership
from clients.views import SignedInRequest
from programs.domain.public_page import public_page
from programs.domain.public_sessions import (
    bring_back,
    end_public_session,
    naming,
    public_sessions_of,
    publish_session,
    visible_of,
)
from programs.errors import ProgramsError, VisibleChanged
from programs.forms import PublicSessionForm
from programs.models import BlockSession
from programs.views.blocks import coached_session, note_reading
from programs.views.public import KEPT_SECONDS


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def publish_for_anyone(request: SignedInRequest, block_uuid: str, session_uuid: str) -> HttpResponse:
    session = coached_session(request, block_uuid, session_uuid)
    form = PublicSessionForm(request.POST or None)
    try:
        if request.method == "POST" and form.is_valid() and _publish(request, session, form):
            return redirect("public-sessions")
    except VisibleChanged as refused:
        # What is read anew is also confirmed anew.
        messages.error(request, str(refused))
        said = {name: form.cleaned_data[name] for name in ("title", "about", "with_cues")}
        return _form(request, session, PublicSessionForm(initial=said), status=409)
    if request.method != "POST":
        note_reading(request, session.block, ReadKind.CLIENT)
    return _form(request, session, form)


def _publish(request: SignedInRequest, session: BlockSession, form: PublicSessionForm) -> bool:
    said = {name: form.cleaned_data[name] for name in ("title", "about", "with_cues", "seen", "key")}
    try:
        publish_session(session, **said, by=request.user, at=timezone.now())
    except VisibleChanged:
        raise
    except ProgramsError as refused:
        form.add_error(None, str(refused))
        return False
    messages.success(request, _("Published. Anybody who has the address can follow it."))
    return True


def _form(
    request: SignedInRequest, session: BlockSession, form: PublicSessionForm, *, status: int = 200
) -> HttpResponse:
    """The form beside what will be visible, resolved as for a visitor who has the session's own things."""
    client = session.block.client
    visible = visible_of(session, title=session.name, with_cues=True)
    own_revisions = {slug: str(revision.uuid) for slug, revision in visible.own.items()}
    context = {
        "session": session,
        "plan": session.block,
        "client": client,
        "form": form,
        "page": public_page(visible.document, client.practice, {}, own_revisions),
        "named": naming(client, visible.texts),
        "seen": visible.seal,
        "key": form.data.get("key") or uuid.uuid4(),
    }
    return render(request, "programs/publish_for_anyone.html", context, status=422 if form.is_bound else status)


@login_required
@require_safe
def public_sessions(request: SignedInRequest) -> HttpResponse:
    if not Membership.objects.of(request.user).exists():
        raise Http404
    rows = public_sessions_of(request.user).select_related("written_by")
    entries = [(row, absolute(reverse("public-session", args=[row.uuid]))) for row in rows]
    context = {"entries": entries, "kept_minutes": KEPT_SECONDS // 60}
    return render(request, "programs/public_session_list.html", context)


@login_required
@require_POST
def end_or_bring_back(request: SignedInRequest, session_uuid: str) -> HttpResponse:
    public = get_object_or_404(public_sessions_of(request.user), uuid=session_uuid)
    if "bring_back" in request.POST:
        bring_back(public)
        messages.success(request, _("It is open again, at the same address."))
    else:
        end_public_session(public, at=timezone.now())
        messages.success(request, _("Ended. Nobody can open it any more."))
    return redirect("public-sessions")
