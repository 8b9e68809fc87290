"""Signing in and out, being invited, and the demo's mailbox. One's own account: clients.views.own_account."""

from allauth.account.utils import perform_login
from allauth.account.views import LoginView
from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.contrib.auth.views import LogoutView
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.csrf import csrf_failure
from django.views.decorators.http import require_GET, require_http_methods

from clients.choices import EnquiryState
from clients.domain.inviting import (
    accept_invitation,
    invite_client,
    open_invitation,
    send_invitation,
    use_sign_in_link,
)
from clients.errors import AlreadyAClient, ClientsError
from clients.forms import AcceptForm, InviteClientForm
from clients.models import Client, Enquiry, Membership, OutgoingMail, User
from clients.views import SignedInRequest

sign_in = LoginView.as_view(template_name="clients/sign_in.html")
sign_out = LogoutView.as_view()


def form_not_from_here(request: SignedInRequest, reason: str = "") -> HttpResponse:
    """Signing in changes the token of every open page: a second press, or a second tab, is in already."""
    if request.path == reverse("sign-in") and request.user.is_authenticated:
        return redirect("home")
    return csrf_failure(request, reason)


@require_http_methods(["GET", "HEAD", "POST"])
def sign_in_once(request: SignedInRequest, token: str) -> HttpResponse:
    """Opening the link changes nothing (mail programs open links too); the button signs in."""
    if not settings.DEMO:
        raise Http404
    if request.method == "POST":
        try:
            user = use_sign_in_link(token, at=timezone.now())
        except ClientsError as error:
            messages.error(request, str(error))
            return redirect("sign-in")
        return perform_login(request, user, redirect_url=reverse("home"))
    return render(request, "clients/sign_in_once.html")


@require_http_methods(["GET", "HEAD", "POST"])
def accept(request: SignedInRequest, token: str) -> HttpResponse:
    try:
        invitation = open_invitation(token)
    except ClientsError as error:
        return render(request, "clients/invitation_closed.html", {"error": error}, status=410)
    person = request.user if request.user.is_authenticated else None
    has_account = User.objects.filter(email=invitation.email).exists()
    called = invitation.client.name if invitation.client else ""
    form = AcceptForm(request.POST or None, invitation=invitation, initial={"name": called})
    if person is not None:
        # Someone with a sign-in joins with it; there is no second password.
        del form.fields["password"]
    context = {"form": form, "invitation": invitation, "has_account": has_account and person is None}
    if request.method == "POST" and form.is_valid():
        try:
            user = accept_invitation(
                token,
                name=form.cleaned_data["name"],
                password=form.cleaned_data.get("password", ""),
                signed_in=person,
                at=timezone.now(),
            )
        except ClientsError as error:
            form.add_error(None, str(error))
            return render(request, "clients/accept.html", context, status=409)
        page = reverse("consents" if invitation.client_id else "home")
        return redirect(page) if person else perform_login(request, user, redirect_url=page, signup=True)
    return render(request, "clients/accept.html", context)


def _membership(request: SignedInRequest) -> Membership:
    """The team this person works in. Whoever is on no team gets what is not there."""
    membership = Membership.objects.of(request.user).select_related("practice", "user").order_by("pk").first()
    if membership is None:
        raise Http404
    return membership


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def invite(request: SignedInRequest) -> HttpResponse:
    membership = _membership(request)
    form = InviteClientForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            client = invite_client(membership, **form.cleaned_data, at=timezone.now())
        except AlreadyAClient as error:
            form.add_error("email", str(error))
        else:
            messages.success(
                request,
                _("%(name)s is invited. The letter goes to %(email)s.") % {"name": client.name, "email": client.email},
            )
            return redirect("clients")
    return render(request, "clients/invite.html", {"form": form})


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def invite_again(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = get_object_or_404(Client.objects.coached_by(request.user).filter(user=None), uuid=client_uuid)
    if request.method == "POST":
        send_invitation(client, by=request.user, at=timezone.now())
        messages.success(request, _("A new invitation goes to %(email)s.") % {"email": client.email})
    return redirect("clients")


@login_required
@require_GET
def client_list(request: SignedInRequest) -> HttpResponse:
    _membership(request)
    clients = Client.objects.coached_by(request.user).order_by("name", "pk")
    waiting = Enquiry.objects.visible_to(request.user).filter(state=EnquiryState.OPEN).count()
    return render(request, "clients/client_list.html", {"clients": clients, "open_enquiries": waiting})


@require_GET
def mailbox(request: SignedInRequest) -> HttpResponse:
    """Letters that a real installation would have mailed. Only the demo on this machine has this page."""
    if not settings.DEMO:
        raise Http404
    letters = OutgoingMail.objects.order_by("-pk")[:100]
    return render(request, "clients/mailbox.html", {"letters": letters})
