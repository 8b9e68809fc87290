"""One's own account: what it is protected by, where it is open, and the pages of the library in our templates."""

from allauth.account import views as account
from allauth.account.decorators import reauthentication_required
from allauth.account.models import EmailAddress
from allauth.mfa.base import views as second_factor
from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes import views as recovery
from allauth.mfa.totp import views as totp
from allauth.mfa.webauthn import views as webauthn
from allauth.usersessions.models import UserSession
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clients.accounts.adapter import wait
from clients.accounts.words import device_words
from clients.domain.sessions import end_other_sessions, end_session, session_name
from clients.models import Membership
from clients.views import SignedInRequest

Kind = Authenticator.Type
# A minute: the library's own limits count in minutes.
A_WHILE = 60

account_email = account.EmailView.as_view(success_url=reverse_lazy("account"))
confirm_email = account.confirm_email
change_password = account.password_change
set_password = account.password_set
reset_password = account.password_reset
reset_password_done = account.password_reset_done
reset_password_from_key = account.password_reset_from_key
reset_password_from_key_done = account.password_reset_from_key_done
confirm_it_is_you = account.reauthenticate
confirm_with_code = second_factor.reauthenticate
confirm_with_passkey = webauthn.reauthenticate_webauthn
sign_in_code = second_factor.authenticate
sign_in_passkey = webauthn.login_webauthn
turn_on_app = totp.activate_totp
turn_off_app = totp.deactivate_totp
recovery_codes = recovery.view_recovery_codes
new_recovery_codes = recovery.generate_recovery_codes
add_passkey = webauthn.add_webauthn


@login_required
@require_GET
def own_account(request: SignedInRequest) -> HttpResponse:
    factors = list(Authenticator.objects.filter(user=request.user).order_by("created_at"))
    codes = next((factor.wrap() for factor in factors if factor.type == Kind.RECOVERY_CODES), None)
    app = next((factor for factor in factors if factor.type == Kind.TOTP), None)
    passkeys = [factor for factor in factors if factor.type == Kind.WEBAUTHN]
    context = {
        "new_address": EmailAddress.objects.get_new(request.user),
        "app": app,
        "passkeys": [{"name": str(key), "id": key.data["credential"]["id"], "row": key} for key in passkeys],
        "codes_left": len(codes.get_unused_codes()) if codes else None,
        "sessions": [_shown(session, request) for session in UserSession.objects.purge_and_list(request.user)],
        # Whoever reads other people's health data is asked, not forced.
        "advised": not (app or passkeys) and Membership.objects.of(request.user).exists(),
    }
    return render(request, "account/account.html", context)


def _shown(session: UserSession, request: SignedInRequest) -> dict[str, object]:
    return {
        "name": session_name(session),
        "device": device_words(session.user_agent),
        "row": session,
        "is_this": session.session_key == request.session.session_key,
    }


@login_required
@require_POST
def end_one_session(request: SignedInRequest) -> HttpResponse:
    if end_session(request.user, request.POST.get("session", "")):
        messages.success(request, _("That session is ended."))
    else:
        messages.info(request, _("That session was over already."))
    return redirect("account")


@login_required
@require_POST
def end_all_others(request: SignedInRequest) -> HttpResponse:
    end_other_sessions(request.user, but=request.session.session_key or "")
    messages.success(request, _("All other sessions are ended."))
    return redirect("account")


@reauthentication_required(app="allauth.mfa")
def remove_passkey(request: SignedInRequest, credential: str) -> HttpResponse:
    """By the key's own id: primary keys stay in the house."""
    keys = Authenticator.objects.filter(user=request.user, type=Kind.WEBAUTHN)
    found = next((key for key in keys if key.data["credential"]["id"] == credential), None)
    if found is None:
        raise Http404
    view = webauthn.RemoveWebAuthnView.as_view(success_url=reverse_lazy("account"))
    return view(request, pk=found.pk)


def too_many(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return wait(request, seconds=A_WHILE)
