"""A draft's session exactly as the client will train from it."""

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from clients.choices import ReadKind
from clients.views import SignedInRequest
from programs.domain.publishing import day_of
from programs.domain.training import session_page, unscheduled
from programs.views.blocks import coached_session, note_reading
from programs.views.training import page_context


@login_required
@require_safe
def block_session_preview(request: SignedInRequest, block_uuid: str, session_uuid: str) -> HttpResponse:
    session = coached_session(request, block_uuid, session_uuid)
    note_reading(request, session.block, ReadKind.CLIENT)
    on = day_of(session.block, session)
    page = session_page(unscheduled(session, on=on))
    back = reverse("block", args=[block_uuid])
    if session.block.is_draft:
        back = reverse("block-session", args=[block_uuid, session_uuid])
    context = page_context(page, None, now=timezone.now(), day=on)
    context |= {"preview": True, "client": session.block.client, "back": back}
    return render(request, "programs/train_page.html", context)
