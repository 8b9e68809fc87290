"""The session editor: the whole session is one form, with what to know about it beside."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clients.choices import ReadKind
from clients.domain.notes import newest_notes
from clients.models import Note
from clients.views import SignedInRequest
from programs.domain import building
from programs.domain.checking import check_session, limits_of
from programs.domain.library import current_movements
from programs.domain.outline import outline_session
from programs.domain.overview import overview_beside, section_minutes
from programs.domain.rows import movements_in, rows_of, together
from programs.domain.timing import minutes_of
from programs.errors import EditedMeanwhile, NotADraft, ProgramsError
from programs.forms import BaseRowFormSet, SessionForm, row_formset
from programs.models import BlockSession
from programs.views.blocks import coached_session, note_reading, seen_version

PAGE = "programs/block_session.html"
NOTES_BESIDE = 3


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def block_session(request: SignedInRequest, block_uuid: str, session_uuid: str) -> HttpResponse:
    session = coached_session(request, block_uuid, session_uuid)
    is_draft = session.block.is_draft
    if request.method != "POST":
        if not is_draft:
            return redirect("block", block_uuid=block_uuid)
        note_reading(request, session.block, ReadKind.CLIENT)
        return _page(request, session, *_forms(session, None))
    form, rows = _forms(session, _with_added_row(request))
    if not is_draft:
        return _published_meanwhile(request, session, form, rows)
    if request.POST.get("then") == "self":
        return _save_itself(request, session, form, rows)
    if "add_row" in request.POST:
        return _page(request, session, form, rows)
    if not (form.is_valid() and rows.is_valid()):
        return _page(request, session, form, rows, status=422)
    return _save(request, session, form, rows)


def _with_added_row(request: SignedInRequest) -> Any:
    """The typed form, with one more blank row when that was asked for without a script."""
    data = request.POST.copy()
    if "add_row" in data and data.get("rows-TOTAL_FORMS", "").isdecimal():
        data["rows-TOTAL_FORMS"] = str(int(str(data["rows-TOTAL_FORMS"])) + 1)
    return data


def _forms(session: BlockSession, data: Any) -> tuple[SessionForm, BaseRowFormSet]:
    client = session.block.client
    form = SessionForm(data, initial={"name": session.name, "weekday": session.weekday})
    saved = rows_of(session)
    # What stands here keeps its name, also where the movement is offered no more, or under another one.
    movements = movements_in(saved) | current_movements(client.practice)
    return form, row_formset(data, saved, movements=movements, unit=client.mass_unit)


def _save(request: SignedInRequest, session: BlockSession, form: SessionForm, rows: BaseRowFormSet) -> HttpResponse:
    weeks = range(session.week, session.block.weeks + 1) if request.POST.get("then") == "later_weeks" else ()
    version = seen_version(request)
    try:
        building.save_session(session, rows.rows(), version=version, also_in_weeks=weeks, **form.cleaned_data)
    except EditedMeanwhile as refused:
        return _edited_meanwhile(request, session, form, rows, refused)
    except NotADraft:
        return _published_meanwhile(request, session, form, rows)
    except ProgramsError as refused:
        messages.error(request, str(refused))
        return _page(request, session, form, rows, status=422)
    messages.success(request, _("Saved."))
    if request.POST.get("then") == "stay":
        return redirect("block-session", block_uuid=session.block.uuid, session_uuid=session.uuid)
    return redirect("block", block_uuid=session.block.uuid)


def _save_itself(
    request: SignedInRequest, session: BlockSession, form: SessionForm, rows: BaseRowFormSet
) -> HttpResponse:
    """For the page's own saving while someone types. An unfinished row is no error of a request, so all is 200."""
    if not (form.is_valid() and rows.is_valid()):
        unnamed = [str(error) for errors in form.errors.values() for error in errors]
        return JsonResponse({"problems": unnamed + rows.problems()})
    try:
        lineages = building.save_session(session, rows.rows(), version=seen_version(request), **form.cleaned_data)
    except EditedMeanwhile as refused:
        return JsonResponse({"problems": [str(refused)], "is_edited_meanwhile": True})
    except NotADraft:
        return _published_meanwhile(request, session, form, rows)
    except ProgramsError as refused:
        return JsonResponse({"problems": [str(refused)]})
    fields: dict[str, Any] = {}
    for row, lineage in zip(rows.ordered_forms, lineages, strict=True):
        fields |= {row.add_prefix("lineage"): lineage, row.add_prefix("movement"): row.cleaned_data["movement"].name}
    return JsonResponse({"version": session.block.version, "fields": fields})


def _edited_meanwhile(
    request: SignedInRequest, session: BlockSession, form: SessionForm, rows: BaseRowFormSet, refused: EditedMeanwhile
) -> HttpResponse:
    """Show what was typed with what the other person saved beside it; saving again is then a decision."""
    messages.error(request, str(refused))
    theirs = coached_session(request, str(session.block.uuid), str(session.uuid))
    session.block.version = refused.version
    return _page(request, session, form, rows, status=409, theirs=outline_session(theirs, theirs.block))


def _published_meanwhile(
    request: SignedInRequest, session: BlockSession, form: SessionForm, rows: BaseRowFormSet
) -> HttpResponse:
    """Show what was typed: it can go into a new revision, and is lost only when whoever typed it leaves it."""
    if request.POST.get("then") == "self":
        return JsonResponse({"problems": [str(NotADraft())], "is_published": True})
    session.block.refresh_from_db(fields=["state"])
    return _page(request, session, form, rows, status=409)


def _page(
    request: SignedInRequest,
    session: BlockSession,
    form: SessionForm,
    rows: BaseRowFormSet,
    *,
    status: int = 200,
    theirs: Any = None,
) -> HttpResponse:
    context: dict[str, Any] = {"session": session, "plan": session.block, "client": session.block.client}
    context |= {"form": form, "rows": rows, "theirs": theirs, "names": _names(rows)}
    context["notes"] = _notes_beside(request, session)
    return render(request, PAGE, context | _beside(session, rows), status=status)


def _notes_beside(request: SignedInRequest, session: BlockSession) -> list[Note]:
    """The newest notes; that somebody saw them stands in the record of reads."""
    notes = newest_notes(session.block.client, most=NOTES_BESIDE)
    if notes:
        note_reading(request, session.block, ReadKind.NOTES)
    return notes


def _names(rows: BaseRowFormSet) -> list[str]:
    return sorted(revision.name for revision in rows.form_kwargs["movements"].values())


def _beside(session: BlockSession, rows: BaseRowFormSet) -> dict[str, Any]:
    """Minutes and remarks about the rows as they are typed, or as they are saved."""
    rows_now = rows.finished_rows() if rows.is_bound else rows_of(session)
    groups = together(rows_now)
    client = session.block.client
    on = max(session.block.starts_on, timezone.localdate(timezone=client.zone))
    limits = limits_of(client, on=on)
    return {
        "minutes": minutes_of(groups),
        "parts": section_minutes(rows_now),
        "limits": limits,
        "remarks": check_session(groups, limits),
        "week": overview_beside(session, rows_now),
    }


@login_required
@require_POST
def block_session_check(request: SignedInRequest, block_uuid: str, session_uuid: str) -> HttpResponse:
    session = coached_session(request, block_uuid, session_uuid)
    _form, rows = _forms(session, request.POST)
    context: dict[str, Any] = {"session": session, "plan": session.block, "client": session.block.client}
    return render(request, f"{PAGE}#beside", context | _beside(session, rows))
