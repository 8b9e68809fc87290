"""The client's consents and intake."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.functional import Promise
from django.views.decorators.http import require_http_methods

from clients.choices import Ceiling, ConsentKind
from clients.domain import body, equipment
from clients.domain.consent import decide_consent, has_consent
from clients.domain.guardians import guardian_missing
from clients.domain.intake import finish_intake, last_finished, next_step, open_intake, save_answers
from clients.domain.safety import ceiling_under, current_screening, newest_clearance
from clients.domain.screening import current_answers, report_red_flags, say_health_changed
from clients.errors import ClientsError, ConsentMissing, GuardianNeeded, IntakeIncomplete
from clients.forms import AreasForm, EquipmentForm, StepForm, masses_shown
from clients.forms.fields import COUNTRIES
from clients.library.consents import CONSENT_TEXTS
from clients.library.emergency_numbers import emergency_number
from clients.library.intake import STEPS, STEPS_BY_SLUG, Step
from clients.library.words import CRISIS_TEXT, INCOMPLETE, OUTCOMES, REFER_FIRST, SEEK_CARE_TEXT
from clients.models import (
    BodyMass,
    Client,
    EquipmentItem,
    Intake,
    Place,
    ProtectedArea,
    RedFlagReport,
    Screening,
)
from clients.views import SignedInRequest
from methods.red_flags import GROUPS


def own_client(request: SignedInRequest) -> Client:
    """The client row of the person who asks. With several practices, the newest."""
    client = Client.objects.own(request.user).filter(erased_at=None).select_related("practice").order_by("-pk").first()
    if client is None:
        raise Http404
    return client


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def consents(request: SignedInRequest) -> HttpResponse:
    """One decision each, none ticked beforehand."""
    client = own_client(request)
    undecided: list[ConsentKind] = []
    if request.method == "POST":
        for kind in CONSENT_TEXTS:
            answer = request.POST.get(kind)
            if answer not in {"yes", "no"}:
                undecided.append(kind)
                continue
            decide_consent(client, kind=kind, given=answer == "yes", by=request.user, at=timezone.now())
        if not undecided:
            return redirect("intake" if has_consent(client, ConsentKind.HEALTH) else "consents")
    rows = [
        {"text": text, "given": has_consent(client, kind), "missing": kind in undecided, "sent": request.POST.get(kind)}
        for kind, text in CONSENT_TEXTS.items()
    ]
    return render(request, "clients/consents.html", {"rows": rows, "client": client})


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def intake(request: SignedInRequest) -> HttpResponse:
    """Goes on where the client left off, on whatever device."""
    client = own_client(request)
    if not has_consent(client, ConsentKind.HEALTH):
        return redirect("consents")
    if guardian_missing(client):
        return redirect("guardian-needed")
    if request.method == "POST":
        say_health_changed(client, at=timezone.now())
    current = Intake.objects.filter(client=client, finished_at=None).first()
    if current is None and last_finished(client) is not None and request.method != "POST":
        return redirect("outcome")
    current = current or open_intake(client, at=timezone.now())
    return redirect("intake-step", slug=next_step(current).slug)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def intake_step(request: SignedInRequest, slug: str) -> HttpResponse:
    client, step = own_client(request), STEPS_BY_SLUG.get(slug)
    if step is None:
        raise Http404
    if not has_consent(client, ConsentKind.HEALTH):
        return redirect("consents")
    current = open_intake(client, at=timezone.now())
    handler = {"equipment": _equipment, "body": _body}.get(slug, _questions)
    try:
        return handler(request, client, current, step)
    except ConsentMissing:
        return redirect("consents")
    except GuardianNeeded:
        return redirect("guardian-needed")


def _questions(request: SignedInRequest, client: Client, current: Intake, step: Step) -> HttpResponse:
    answers = current_answers(current)
    initial = {"time_zone": client.time_zone, "country": client.country} | StepForm.initial_from(step, answers)
    form = StepForm(request.POST or None, initial=initial, step=step)
    ticked = request.POST.getlist("red_flags")
    if request.method == "POST" and ticked:
        # Before anything else, and whatever else the form holds.
        report_red_flags(client, items=ticked, source="intake", at=timezone.now())
        return redirect("stop-and-seek-care")
    if request.method == "POST" and form.is_valid() and not _red_flags_unanswered(request, step):
        save_answers(current, form.cleaned_data, by=request.user, at=timezone.now())
        # As the answers have just made them.
        if guardian_missing(current.client):
            return redirect("guardian-needed")
        return _onward(request, current, step)
    return _page(request, current, step, form)


def _red_flags_unanswered(request: SignedInRequest, step: Step) -> bool:
    """An untouched list of warning signs is no answer."""
    return step.slug == "health" and request.method == "POST" and "red_flags_none" not in request.POST


def _equipment(request: SignedInRequest, client: Client, current: Intake, step: Step) -> HttpResponse:
    form = EquipmentForm(request.POST or None, initial=_equipment_initial(client), unit=client.mass_unit)
    if request.method == "POST" and form.is_valid():
        equipment.save_place(
            client,
            name=form.cleaned_data["place"],
            items=form.item_attributes(),
            checked=set(form.cleaned_data["checked"]),
            at=timezone.now(),
            by=request.user,
        )
        return _onward(request, current, step)
    return _page(request, current, step, form)


def _equipment_initial(client: Client) -> dict[str, Any]:
    place = Place.objects.of(client).filter(is_default=True, closed_at=None).first()
    if place is None:
        return {}
    items = list(EquipmentItem.objects.of(client).present().filter(place=place))
    today = timezone.localdate(timezone=client.zone)
    masses: list[float] = next((i.attributes["masses_kg"] for i in items if i.attributes.get("masses_kg")), [])
    return {
        "place": place.name,
        "items": [item.kind for item in items],
        "checked": [i.kind for i in items if i.set_up_checked_on and equipment.counts_on(i, today)],
        "masses": masses_shown(masses, client.mass_unit),
    }


def _body(request: SignedInRequest, client: Client, current: Intake, step: Step) -> HttpResponse:
    form = AreasForm(request.POST or None, initial=_body_initial(client))
    if client.body_mass_hidden:
        del form.fields["mass"], form.fields["mass_unit"]
    if request.method == "POST" and form.is_valid():
        today = timezone.localdate(timezone=client.zone)
        body.save_areas(client, form.areas(), on=today)
        if form.cleaned_data.get("mass") is not None:
            unit = form.cleaned_data["mass_unit"] or client.mass_unit
            body.record_body_mass(client, entered=form.cleaned_data["mass"], unit=unit, on=today)
        return _onward(request, current, step)
    return _page(request, current, step, form)


def _body_initial(client: Client) -> dict[str, Any]:
    initial: dict[str, Any] = {"mass_unit": client.mass_unit}
    today = timezone.localdate(timezone=client.zone)
    mass = BodyMass.objects.counting().filter(client=client, on=today).first()
    if mass is not None:
        initial |= {"mass": mass.entered, "mass_unit": mass.unit}
    for n, row in enumerate(ProtectedArea.objects.current().filter(client=client, until_on=None)[:4]):
        initial |= {f"area_{n}": row.area, f"side_{n}": row.side, f"why_{n}": row.why, f"barred_{n}": row.barred}
    return initial


def _onward(request: SignedInRequest, current: Intake, step: Step) -> HttpResponse:
    """To the next step; after the last one to the outcome, or back to what is still open."""
    position = STEPS.index(step)
    if position + 1 < len(STEPS):
        return redirect("intake-step", slug=STEPS[position + 1].slug)
    try:
        finish_intake(current, by=request.user, at=timezone.now())
    except IntakeIncomplete as error:
        messages.warning(request, str(error))
        return redirect("intake-step", slug=next_step(current).slug)
    except ClientsError as error:
        messages.error(request, str(error))
        return redirect("intake")
    return redirect("outcome")


def _page(request: SignedInRequest, current: Intake, step: Step, form: Any) -> HttpResponse:
    position = STEPS.index(step)
    context = {
        "step": step,
        "form": form,
        "number": position + 1,
        "of": len(STEPS),
        "previous": STEPS[position - 1] if position else None,
        "is_last": position + 1 == len(STEPS),
        "red_flag_groups": GROUPS if step.slug == "health" else (),
        "red_flags_unanswered": _red_flags_unanswered(request, step),
        "red_flags_none": "red_flags_none" in request.POST,
    }
    status = 422 if form.is_bound else 200
    return render(request, f"clients/intake_{_template(step)}.html", context, status=status)


def _template(step: Step) -> str:
    return step.slug if step.slug in {"equipment", "body", "health"} else "step"


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def outcome(request: SignedInRequest) -> HttpResponse:
    client = own_client(request)
    screening = current_screening(client)
    if screening is None:
        return redirect("intake")
    hours = client.practice.start_promise_hours
    context = {
        "words": _outcome_words(screening, hours),
        "ceiling_label": _ceiling_now(client, screening).label,
        "until": screening.expires_on,
    }
    return render(request, "clients/outcome.html", context)


def _ceiling_now(client: Client, screening: Screening) -> Ceiling:
    today = timezone.localdate(timezone=client.zone)
    return ceiling_under(screening, newest_clearance(client, screening), on=today)


def _outcome_words(screening: Screening, hours: int) -> dict[str, str]:
    words = OUTCOMES.get(screening.code, INCOMPLETE)
    if screening.code and screening.inputs.get("refer_first"):
        words = REFER_FIRST
    return {"title": str(words.title), "text": str(words.text), "next": str(words.next) % {"hours": hours}}


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def stop_and_seek_care(request: SignedInRequest) -> HttpResponse:
    """The fixed text. It can be added to, not changed."""
    client = own_client(request)
    report = RedFlagReport.objects.of(client).filter(erased_at=None).order_by("-reported_at", "-pk").first()
    groups = set(report.groups) if report else set()
    today = timezone.localdate(timezone=client.zone)
    # Somewhere else for this once: nothing is stored by looking.
    country = request.GET.get("country", client.country_on(today))
    context = {
        "number": emergency_number(country),
        "country": country,
        "countries": COUNTRIES,
        "addition": client.practice.emergency_text_addition,
        "locks": RedFlagReport.objects.of(client).locking().exists(),
        "texts": _stop_texts(groups),
        "only_crisis": groups == {"MIND"},
    }
    return render(request, "clients/stop_and_seek_care.html", context)


def _stop_texts(groups: set[str]) -> list[Promise]:
    """Crisis help comes first, and stands alone when nothing else was ticked."""
    crisis: list[Promise] = [CRISIS_TEXT] if "MIND" in groups else []
    return crisis if groups == {"MIND"} else [*crisis, SEEK_CARE_TEXT]
