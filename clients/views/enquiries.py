"""The public page for enquiries, and what coaches do with them."""

import uuid
from typing import Any

from allauth.core.internal.ratelimit import get_ip
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core import signing
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from clients.domain.enquiring import STILL_OPEN, answer_enquiry, decline_enquiry, invite_from, send_enquiry, set_aside
from clients.domain.limits import take_enquiry
from clients.errors import ClientsError, TooManyEnquiries
from clients.forms import EnquiryAnswerForm, EnquiryForm
from clients.library.consents import ENQUIRY_CONSENT
from clients.library.words import KIND_NO
from clients.models import Enquiry, Membership, Practice
from clients.views import SignedInRequest

SALT = "enquiry"
# A person needs longer to fill the page than a program does; a day later the page is opened anew.
QUICKEST_SECONDS = 3
SLOWEST_SECONDS = 24 * 60 * 60
PER_PAGE = 50


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def enquire(request: HttpRequest, practice_uuid: str) -> HttpResponse:
    practice = get_object_or_404(Practice, uuid=practice_uuid, takes_enquiries=True)
    form = EnquiryForm(request.POST or None, initial={"opened": _opened(), "time_zone": practice.time_zone})
    if request.method == "POST" and form.is_valid():
        key = _key_of(form.cleaned_data["opened"])
        if form.is_from_a_robot():
            # The same page as for a person: a robot learns nothing.
            return redirect("enquiry-sent", practice_uuid=practice.uuid)
        if key is None:
            form.add_error(None, _("Please look over your words once more and send them again."))
            return _form(request, practice, form, fresh=True)
        try:
            _send(request, practice, form, key=key)
        except TooManyEnquiries as error:
            form.add_error(None, str(error))
            return _form(request, practice, form, status=429)
        return redirect("enquiry-sent", practice_uuid=practice.uuid)
    return _form(request, practice, form, fresh=form.is_bound and _key_of(request.POST.get("opened", "")) is None)


def _send(request: HttpRequest, practice: Practice, form: EnquiryForm, *, key: uuid.UUID) -> None:
    release = take_enquiry(str(practice.uuid), network=get_ip(request))
    try:
        send_enquiry(practice, form.asked(), key=key, at=timezone.now())
    except TooManyEnquiries:
        release()
        raise


def _form(
    request: HttpRequest, practice: Practice, form: EnquiryForm, *, fresh: bool = False, status: int = 200
) -> HttpResponse:
    """The page; `fresh` when its stamp was missing, too new or too old."""
    stamp = _opened() if fresh or not form.is_bound else form.data.get("opened", "")
    context = {"practice": practice, "form": form, "stamp": stamp, "consent": ENQUIRY_CONSENT}
    if form.is_bound and status == 200:
        status = 422
    return render(request, "clients/enquire.html", context, status=status)


def _opened() -> str:
    """A stamp of when the page was opened, with the key that lets its enquiry be kept once."""
    return signing.TimestampSigner(salt=SALT).sign(str(uuid.uuid4()))


def _key_of(stamp: str) -> uuid.UUID | None:
    """None when the stamp is not ours, too new for a person, or older than a day."""
    signer = signing.TimestampSigner(salt=SALT)
    try:
        key = signer.unsign(stamp, max_age=SLOWEST_SECONDS)
    except signing.BadSignature:
        return None
    try:
        signer.unsign(stamp, max_age=QUICKEST_SECONDS)
    except signing.SignatureExpired:
        return uuid.UUID(key)
    return None


@require_GET
def enquiry_sent(request: HttpRequest, practice_uuid: str) -> HttpResponse:
    practice = get_object_or_404(Practice, uuid=practice_uuid, takes_enquiries=True)
    return render(request, "clients/enquiry_sent.html", {"practice": practice})


@login_required
@require_GET
def enquiries(request: SignedInRequest) -> HttpResponse:
    membership = get_object_or_404(Membership.objects.of(request.user).select_related("practice")[:1])
    rows = Enquiry.objects.visible_to(request.user).filter(erased_at=None).select_related("client", "decided_by")
    context = {
        "open": rows.filter(state__in=STILL_OPEN).order_by("sent_at", "pk"),
        "page": Paginator(rows.exclude(state__in=STILL_OPEN).order_by("-decided_at"), PER_PAGE).get_page(
            request.GET.get("page")
        ),
        "practice": membership.practice,
    }
    return render(request, "clients/enquiries.html", context)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def enquiry(request: SignedInRequest, enquiry_uuid: str) -> HttpResponse:
    """One enquiry. The button that was pressed says what is done with it."""
    row = get_object_or_404(
        Enquiry.objects.visible_to(request.user).filter(erased_at=None).select_related("practice"), uuid=enquiry_uuid
    )
    context: dict[str, Any] = {"enquiry": row, "answer": EnquiryAnswerForm(prefix="answer"), "no": _kind_no(row)}
    if request.method == "POST":
        try:
            refused = ACTIONS.get(request.POST.get("do", ""), _unknown)(request, row, context)
        except ClientsError as error:
            messages.error(request, str(error))
            return redirect("enquiry", enquiry_uuid=row.uuid)
        if not refused:
            return redirect("enquiries")
    context["answers"] = row.answers.filter(erased_at=None).select_related("by").order_by("at")
    context["is_open"] = row.state in STILL_OPEN
    return render(request, "clients/enquiry.html", context, status=422 if request.method == "POST" else 200)


def _kind_no(row: Enquiry, data: Any = None) -> EnquiryAnswerForm:
    words = str(KIND_NO) % {"name": row.name, "practice": row.practice.name}
    return EnquiryAnswerForm(data, prefix="no", initial={"text": words})


def _answer(request: SignedInRequest, row: Enquiry, context: dict[str, Any]) -> bool:
    form = context["answer"] = EnquiryAnswerForm(request.POST, prefix="answer")
    if not form.is_valid():
        return True
    answer_enquiry(row, text=form.cleaned_data["text"], by=request.user, at=timezone.now())
    messages.success(request, _("The answer goes to %(email)s.") % {"email": row.email})
    return False


def _invite(request: SignedInRequest, row: Enquiry, context: dict[str, Any]) -> bool:
    membership = Membership.objects.of(request.user).select_related("practice", "user").get(practice=row.practice)
    client = invite_from(row, membership, at=timezone.now())
    messages.success(request, _("%(name)s is invited.") % {"name": client.name})
    return False


def _decline(request: SignedInRequest, row: Enquiry, context: dict[str, Any]) -> bool:
    form = context["no"] = _kind_no(row, request.POST)
    if not form.is_valid():
        return True
    decline_enquiry(row, text=form.cleaned_data["text"], by=request.user, at=timezone.now())
    messages.success(request, _("Declined. The letter is on its way."))
    return False


def _unwanted(request: SignedInRequest, row: Enquiry, context: dict[str, Any]) -> bool:
    set_aside(row, by=request.user, at=timezone.now())
    messages.success(request, _("Set aside. No letter goes out."))
    return False


def _unknown(request: SignedInRequest, row: Enquiry, context: dict[str, Any]) -> bool:
    messages.error(request, _("There is no such action."))
    return True


ACTIONS = {"answer": _answer, "invite": _invite, "decline": _decline, "unwanted": _unwanted}
