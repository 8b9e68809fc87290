"""The coach's page on whether a client may train."""

import datetime

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from clients.choices import ItemKind, ReadKind
from clients.domain.chairs import told_about
from clients.domain.equipment import open_places
from clients.domain.history import record_read
from clients.domain.intake import changes_since_last, last_finished
from clients.domain.photos import keep_photo
from clients.domain.safety import current_screening, newest_clearance, require_start
from clients.domain.screening import current_answers, record_clearance
from clients.domain.warning_signs import opened_warning_signs, waiting_warning_signs
from clients.errors import ClientsError, NotAPhoto
from clients.forms import ClearanceForm
from clients.library.intake import STEPS, Question
from clients.models import (
    BodyMass,
    ChairPermission,
    Clearance,
    Client,
    EquipmentItem,
    Goal,
    PainReport,
    Place,
    ProtectedArea,
    RedFlagReport,
    User,
)
from clients.views import SignedInRequest
from methods import red_flags


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def client_safety(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = get_object_or_404(Client.objects.coached_by(request.user).select_related("practice"), uuid=client_uuid)
    now = timezone.now()
    today = timezone.localdate(now, timezone=client.zone)
    form = ClearanceForm(request.POST or None, request.FILES or None, today=today, initial={"given_on": today})
    if request.method == "POST" and form.is_valid() and _record(form, client, by=request.user, at=now):
        messages.success(request, _("The clearance is recorded."))
        if RedFlagReport.objects.of(client).locking().exists():
            messages.warning(request, _("Training stays locked: a warning sign may be newer than this clearance."))
        return redirect("client-safety", client_uuid=client.uuid)
    record_read(client, reader=request.user, kind=ReadKind.SCREENING, at=now)
    status = 422 if form.is_bound else 200
    context = _safety_context(client, form, today)
    context["is_owner"] = Client.objects.owned_by(request.user).filter(pk=client.pk).exists()
    return render(request, "clients/client_safety.html", context, status=status)


def _record(form: ClearanceForm, client: Client, *, by: User, at: datetime.datetime) -> bool:
    said = dict(form.cleaned_data)
    photo = said.pop("document")
    try:
        document = keep_photo(photo, folder="letters") if photo else ""
    except NotAPhoto as error:
        form.add_error("document", str(error))
        return False
    record_clearance(client, **said, document=document, by=by, at=at)
    return True


@login_required
@require_safe
def clearance_document(request: SignedInRequest, clearance_uuid: str) -> FileResponse:
    """The letter, for the client and their coaches."""
    rows = Clearance.objects.visible_to(request.user).current().exclude(document="")
    clearance = get_object_or_404(rows.select_related("client"), uuid=clearance_uuid)
    record_read(
        clearance.client, reader=request.user, kind=ReadKind.SCREENING, at=timezone.now(), subject=clearance.uuid
    )
    try:
        return FileResponse(default_storage.open(clearance.document), content_type="image/jpeg")
    except FileNotFoundError as error:
        raise Http404 from error


def _safety_context(client: Client, form: ClearanceForm, today) -> dict[str, object]:
    screening = current_screening(client)
    try:
        start, refusal = require_start(client, on=today), None
    except ClientsError as error:
        start, refusal = None, error
    intake = last_finished(client)
    return {
        "client": client,
        "form": form,
        "screening": screening,
        "clearance": newest_clearance(client, screening) if screening else None,
        "start": start,
        "refusal": refusal,
        "waiting_reports": waiting_warning_signs(client),
        "red_flag_reports": _reports_in_words(client),
        "goals": Goal.objects.current().filter(client=client).order_by("-said_at"),
        "changes": [
            (change.question.label, _in_words(change.question, change.before), _in_words(change.question, change.now))
            for change in (changes_since_last(intake) if intake else [])
        ],
        "answers": _answers_in_words(current_answers(intake)) if intake else [],
        "areas": ProtectedArea.objects.current().filter(client=client, until_on=None),
        "items": EquipmentItem.objects.of(client).present().select_related("place").order_by("place", "kind"),
        "chairs": _chairs(client),
        "body_mass": None if client.body_mass_hidden else BodyMass.objects.of(client).for_day(today),
        "pain_reports": PainReport.objects.current().filter(client=client).order_by("-on", "-pk")[:10],
    }


def _chairs(client: Client) -> list[tuple[Place, ChairPermission | None]]:
    """Places with a chair, and what was said about its carrying."""
    places = list(open_places(client).filter(items__kind=ItemKind.CHAIR, items__removed_at=None))
    said = told_about(places)
    return [(place, said.get(place.pk)) for place in places]


def _reports_in_words(client: Client) -> list[dict[str, object]]:
    return [
        {"report": report, "items": [red_flags.ITEM_BY_CODE[code].words for code in report.items]}
        for report in opened_warning_signs(client)
    ]


def _answers_in_words(answers: dict[str, object]) -> list[tuple[object, list[tuple[object, str]]]]:
    return [
        (step.title, [(q.label, _in_words(q, answers.get(q.code))) for q in step.questions])
        for step in STEPS
        if step.questions
    ]


def _in_words(question: Question, value: object) -> str:
    if value is None or value == "":
        return _("no answer")
    if isinstance(value, bool):
        return _("Yes") if value else _("No")
    names = dict(question.choices)
    if isinstance(value, list):
        return ", ".join(str(names.get(code, code)) for code in value) or _("none of these")
    return str(names.get(str(value), value))
