"""The coach writes a block and publishes it; the client reads it."""

import datetime
from collections.abc import Callable

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clients.choices import ReadKind
from clients.domain.history import record_read
from clients.domain.safety import barred_areas
from clients.errors import ClientsError
from clients.models import Client
from clients.views import SignedInRequest
from programs.choices import BlockState
from programs.domain import building
from programs.domain.applying import first_free_week
from programs.domain.comparing import base_of, difference, follows_nothing
from programs.domain.drafting import new_revision
from programs.domain.outline import outline
from programs.domain.overview import shape_of
from programs.domain.rows import with_contents
from programs.errors import ProgramsError
from programs.forms import BeginForm, BlockForm, EditBlockForm, NewSessionForm, VersionForm, initial_of_block
from programs.models import Block, BlockSession, BlockTemplate


def coached_block(request: SignedInRequest, block_uuid: str) -> Block:
    blocks = Block.objects.coached_by(request.user).select_related(
        "client__practice", "previous", "published_by", "template"
    )
    return get_object_or_404(blocks, uuid=block_uuid)


def coached_session(request: SignedInRequest, block_uuid: str, session_uuid: str) -> BlockSession:
    block = coached_block(request, block_uuid)
    session = get_object_or_404(with_contents(block.sessions.all()), uuid=session_uuid)
    session.block = block
    return session


def seen_version(request: SignedInRequest) -> int:
    """The version of the draft that the page was made from; none that exists when the field is missing or broken."""
    form = VersionForm(request.POST)
    return form.cleaned_data["version"] if form.is_valid() else -1


def attempt(request: SignedInRequest, verb: Callable[[], object], *, done: str = "") -> bool:
    """Do it, or say in the page's words why not."""
    try:
        verb()
    except (ProgramsError, ClientsError) as refused:
        messages.error(request, str(refused))
        return False
    if done:
        messages.success(request, done)
    return True


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def client_blocks(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = get_object_or_404(Client.objects.coached_by(request.user).select_related("practice"), uuid=client_uuid)
    today = timezone.localdate(timezone=client.zone)
    form = BlockForm(request.POST or None, initial={"starts_on": first_free_week(client, today=today)})
    if request.method == "POST" and form.is_valid():
        block = building.create_block(client, by=request.user, **form.cleaned_data)
        return redirect("block", block_uuid=block.uuid)
    return block_list(request, client, form, begin_form(request, client, today), status=422 if form.is_bound else 200)


def begin_form(
    request: SignedInRequest, client: Client, today: datetime.date, sent: QueryDict | None = None
) -> BeginForm | None:
    """The short form for a draft from a template of this practice; none where there is no template."""
    templates = BlockTemplate.objects.shared_with(request.user).in_use().filter(practice=client.practice_id)
    if not templates.exists():
        return None
    initial = {"starts_on": first_free_week(client, today=today)}
    return BeginForm(sent, templates=templates.defer("document"), initial=initial, auto_id="begin_%s")


def block_list(
    request: SignedInRequest, client: Client, form: BlockForm, begin: BeginForm | None, *, status: int = 200
) -> HttpResponse:
    blocks = Block.objects.of(client).order_by("-starts_on", "-revision")
    context = {"client": client, "blocks": blocks, "form": form, "begin": begin}
    return render(request, "programs/block_list.html", context, status=status)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def block(request: SignedInRequest, block_uuid: str) -> HttpResponse:
    found = coached_block(request, block_uuid)
    last_week = building.last_week_with_sessions(found)
    form = EditBlockForm(request.POST or None, initial=initial_of_block(found), last_week=last_week)
    status = 200
    if request.method == "POST":
        if form.is_valid() and _save_block(request, found, form):
            return redirect("block", block_uuid=found.uuid)
        found.refresh_from_db(fields=["version"])
        status = 422
    if found.placed:
        note_reading(request, found, ReadKind.SCREENING)
    context = {"plan": found, "client": found.client, "form": form, "weeks": outline(found)}
    session_form = NewSessionForm(initial={"weekday": building.free_weekday(found, week=1)})
    context["shape"] = shape_of(found) if last_week else []
    context |= {"session_form": session_form, "drafts": _open_drafts(found)}
    return render(request, "programs/block_page.html", context, status=status)


def _save_block(request: SignedInRequest, found: Block, form: BlockForm) -> bool:
    version = seen_version(request)
    return attempt(
        request,
        lambda: building.edit_block(found, version=version, **form.cleaned_data),
        done=_("Saved."),
    )


@login_required
@require_POST
def discard_draft(request: SignedInRequest, block_uuid: str) -> HttpResponse:
    found = coached_block(request, block_uuid)
    version, done = seen_version(request), _("The draft “%(title)s” is removed.") % {"title": found.title}
    if attempt(request, lambda: building.discard_draft(found, version=version), done=done):
        return redirect("client-blocks", client_uuid=found.client.uuid)
    return redirect("block", block_uuid=block_uuid)


def _open_drafts(found: Block) -> list[Block]:
    if found.state == BlockState.DRAFT:
        return []
    return list(Block.objects.filter(lineage=found.lineage, state=BlockState.DRAFT))


@login_required
@require_POST
def add_session(request: SignedInRequest, block_uuid: str) -> HttpResponse:
    found = coached_block(request, block_uuid)
    form = NewSessionForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("A session needs a name, a week and a day."))
        return redirect("block", block_uuid=found.uuid)
    try:
        session = building.add_session(found, version=seen_version(request), **form.cleaned_data)
    except ProgramsError as refused:
        messages.error(request, str(refused))
        return redirect("block", block_uuid=found.uuid)
    return redirect("block-session", block_uuid=found.uuid, session_uuid=session.uuid)


@login_required
@require_POST
def copy_week(request: SignedInRequest, block_uuid: str) -> HttpResponse:
    found = coached_block(request, block_uuid)
    version = seen_version(request)
    weeks = range(1, found.weeks + 1)
    steps = "steps" in request.POST
    attempt(
        request,
        lambda: building.copy_week(found, from_week=1, to_weeks=weeks, version=version, steps=steps),
        done=_("The sessions of week 1 go on through every week by their steps.")
        if steps
        else _("The sessions of week 1 stand in every week now."),
    )
    return redirect("block", block_uuid=found.uuid)


@login_required
@require_POST
def remove_session(request: SignedInRequest, block_uuid: str, session_uuid: str) -> HttpResponse:
    session = coached_session(request, block_uuid, session_uuid)
    version, in_all_weeks = seen_version(request), "in_all_weeks" in request.POST
    attempt(
        request,
        lambda: building.remove_session(session, version=version, in_all_weeks=in_all_weeks),
        done=_("The session is removed."),
    )
    return redirect("block", block_uuid=block_uuid)


@login_required
@require_POST
def revise_block(request: SignedInRequest, block_uuid: str) -> HttpResponse:
    found = coached_block(request, block_uuid)
    draft = new_revision(found, by=request.user)
    return redirect("block", block_uuid=draft.uuid)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def my_block(request: SignedInRequest, block_uuid: str) -> HttpResponse:
    blocks = Block.objects.own(request.user).exclude(state=BlockState.DRAFT).select_related("previous", "client")
    found = get_object_or_404(blocks, uuid=block_uuid)
    newest = blocks.filter(lineage=found.lineage, state=BlockState.PUBLISHED).first()
    context = {
        "plan": found,
        "weeks": outline(found, barred=barred_areas(found.client, on=timezone.localdate(timezone=found.client.zone))),
        "newest": newest if newest != found else None,
        "difference": difference_from_base(found),
        "is_first": follows_nothing(found),
    }
    return render(request, "programs/block_mine.html", context)


def difference_from_base(found: Block):
    base = base_of(found)
    return difference(base, found) if base else None


def note_reading(request: SignedInRequest, found: Block, kind: ReadKind) -> None:
    record_read(found.client, reader=request.user, kind=kind, at=timezone.now(), subject=found.uuid)
