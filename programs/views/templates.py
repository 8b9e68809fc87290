"""The templates of a practice: kept from a block, read, put away, and the beginning of drafts."""

import datetime
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.errors import ClientsError
from clients.models import Client, Membership
from clients.views import SignedInRequest
from programs.domain.applying import Begun, active_clients, begin_from_template, first_free_week, open_drafts
from programs.domain.days import today_of
from programs.domain.templates import (
    archive_template,
    bring_back_template,
    contents_of,
    describe_template,
    keep_as_template,
    replace_template,
    weeks_in_words,
)
from programs.errors import BegunAlready, ProgramsError
from programs.forms import BlockForm, GiveForm, KeepForm, TemplateForm
from programs.models import BlockTemplate
from programs.views.blocks import begin_form, block_list, coached_block


def shared_template(request: SignedInRequest, template_uuid: str) -> BlockTemplate:
    templates = BlockTemplate.objects.shared_with(request.user).select_related("practice", "written_by")
    return get_object_or_404(templates, uuid=template_uuid)


@login_required
@require_safe
def templates(request: SignedInRequest) -> HttpResponse:
    get_object_or_404(Membership.objects.of(request.user)[:1])
    found = BlockTemplate.objects.shared_with(request.user).defer("document").select_related("written_by")
    context = {"templates": found.in_use(), "archived": found.exclude(archived_at=None)}
    return render(request, "programs/template_list.html", context)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def template(request: SignedInRequest, template_uuid: str) -> HttpResponse:
    found = shared_template(request, template_uuid)
    form = TemplateForm(request.POST or None, initial={"title": found.title, "about": found.about})
    if request.method == "POST" and form.is_valid():
        describe_template(found, **form.cleaned_data)
        messages.success(request, _("Saved."))
        return redirect("block-template", found.uuid)
    return _page(request, found, form=form)


@login_required
@require_POST
def use(request: SignedInRequest, template_uuid: str) -> HttpResponse:
    """A draft for each of several clients, every one on their own."""
    found = shared_template(request, template_uuid)
    if found.archived_at is not None:
        raise Http404
    form = _give_form(request, found, request.POST)
    if not form.is_valid():
        return _page(request, found, give=form)
    _give(request, found, form, timezone.now())
    return redirect("block-template", found.uuid)


def _page(
    request: SignedInRequest, found: BlockTemplate, *, form: TemplateForm | None = None, give: GiveForm | None = None
) -> HttpResponse:
    contents = contents_of(found)
    form = form or TemplateForm(initial={"title": found.title, "about": found.about})
    give = give or _give_form(request, found, None)
    context = {"template": found, "weeks": weeks_in_words(found, contents), "gone": contents.gone, "form": form}
    context |= {"give": give, "drafts": open_drafts(request.user, found)}
    return render(request, "programs/template_page.html", context, status=422 if request.method == "POST" else 200)


def _give_form(request: SignedInRequest, found: BlockTemplate, sent: QueryDict | None) -> GiveForm:
    return GiveForm(sent, clients=active_clients(request.user, found))


def _give(request: SignedInRequest, found: BlockTemplate, form: GiveForm, now: datetime.datetime) -> None:
    """Each client for themself: what is refused for one does not keep the others waiting."""
    contents, starts_on, done = contents_of(found), form.cleaned_data["starts_on"], []
    for client in form.chosen():
        today = today_of(client, now)
        begins = starts_on or first_free_week(client, today=today)
        said: dict[str, Any] = {"by": request.user, "starts_on": begins, "today": today}
        try:
            begun = begin_from_template(found, contents, client, **said)
        except (ProgramsError, ClientsError) as refused:
            messages.error(request, f"{client.name}: {refused}")
        else:
            done.append(client.name)
            _tell_no_start(request, begun, client)
    if done:
        names = ", ".join(done)
        messages.success(request, _("Drafts for %(names)s. Read each before you publish it.") % {"names": names})


def _tell_no_start(request: SignedInRequest, begun: Begun, client: Client) -> None:
    if begun.no_start:
        told = {"name": client.name, "why": begun.no_start}
        messages.warning(request, _("%(name)s has a draft, but nothing can be published yet: %(why)s") % told)


@login_required
@require_POST
def archive(request: SignedInRequest, template_uuid: str) -> HttpResponse:
    found = shared_template(request, template_uuid)
    if "bring_back" in request.POST:
        bring_back_template(found)
        messages.success(request, _("It is in the list again."))
    else:
        archive_template(found, at=timezone.now())
        messages.success(request, _("It is out of the list. What came from it stays."))
    return redirect("block-template", found.uuid)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def keep(request: SignedInRequest, block_uuid: str) -> HttpResponse:
    """What this block holds, as a template for everybody on the team."""
    block = coached_block(request, block_uuid)
    ours = BlockTemplate.objects.shared_with(request.user).in_use().filter(practice=block.practice_id)
    form = KeepForm(request.POST or None, templates=ours.defer("document"), initial={"title": block.title})
    if request.method == "POST" and form.is_valid():
        said = {name: form.cleaned_data[name] for name in ("title", "about")} | {"by": request.user}
        former = form.cleaned_data["instead_of"]
        now = timezone.now()
        kept = replace_template(former, block, at=now, **said) if former else keep_as_template(block, at=now, **said)
        messages.success(request, _("Kept as a template."))
        return redirect("block-template", kept.uuid)
    context = {"plan": block, "client": block.client, "form": form}
    return render(request, "programs/template_keep.html", context, status=422 if form.is_bound else 200)


@login_required
@require_POST
def begin(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    """The short way to a filled draft: a template and a first week."""
    client = get_object_or_404(Client.objects.coached_by(request.user).select_related("practice"), uuid=client_uuid)
    today = today_of(client, timezone.now())
    form = begin_form(request, client, today, request.POST)
    if form is None or not form.is_valid():
        new = BlockForm(initial={"starts_on": first_free_week(client, today=today)})
        return block_list(request, client, new, form, status=422)
    given: dict[str, Any] = dict(form.cleaned_data)
    found: BlockTemplate = given.pop("template")
    try:
        begun = begin_from_template(found, contents_of(found), client, by=request.user, today=today, **given)
    except BegunAlready as refused:
        messages.warning(request, str(refused))
        return redirect("block", block_uuid=refused.block_uuid)
    _tell_no_start(request, begun, client)
    return redirect("block", block_uuid=begun.block.uuid)
