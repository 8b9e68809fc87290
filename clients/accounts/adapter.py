"""What the accounts' library asks us: who may begin an account, what is sent, and how many tries are answered."""

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from allauth.account.models import EmailAddress
from allauth.core import context
from allauth.core.exceptions import ImmediateHttpResponse
from allauth.core.internal.ratelimit import get_ip
from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clients.accounts.letters import Letter, letter_about, new_sign_in
from clients.accounts.words import device_words
from clients.domain import devices, limits
from clients.domain.account_mail import send_account_mail
from clients.domain.addresses import address_is_free, follow_address
from clients.errors import TooManyTries
from clients.models import User


class AccountAdapter(DefaultAccountAdapter):
    error_messages = DefaultAccountAdapter.error_messages | {
        "email_password_mismatch": _("This address and password do not belong together."),
        "incorrect_password": _("This is not your password."),
        "enter_current_password": _("This is not your present password."),
        "duplicate_email": _("This is your address already."),
        "invalid_password_reset": _("This link was used, or has run out."),
        "too_many_login_attempts": _("Too many wrong tries. Wait five minutes, then try again."),
        "rate_limited": _("Too many tries. Wait a minute, then try again."),
    }

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def pre_authenticate(self, request: HttpRequest, **credentials: Any) -> None:
        """Instead of the library's own limits, which count per account: with those a stranger locks anybody out."""
        email = credentials.get("email", "")
        user = User.objects.filter(email=email.lower()).first()
        device = devices.device_of(_cookie(request), user) if user else None
        try:
            self.release_try = limits.take_try(email, network=get_ip(request), device=device)
        except TooManyTries as error:
            raise ImmediateHttpResponse(wait(request, seconds=error.seconds)) from error

    def authenticate(self, request: HttpRequest, **credentials: Any) -> User | None:
        user = super().authenticate(request, **credentials)
        if user is not None:
            self.release_try()
        return user

    def respond_user_inactive(self, request: HttpRequest, user: User) -> HttpResponse:
        messages.error(request, _("This account is closed. Ask your coach or the practice."))
        return redirect("sign-in")

    def post_login(self, request: HttpRequest, user: User, *, signup: bool, **rest: Any) -> HttpResponse:
        response = super().post_login(request, user, signup=signup, **rest)
        known = devices.device_of(_cookie(request), user)
        # The demo's people are played by whoever reads its links: each of them is new every time.
        if known is None and not signup and not user.is_demo:
            self.write(user, new_sign_in(at=timezone.now(), device=_device(request)))
        remember_device(request, response, user)
        return response

    def confirm_email(self, request: HttpRequest, email_address: EmailAddress) -> bool:
        user, former = email_address.user, email_address.user.email
        if not address_is_free(email_address.email, user=user):
            messages.error(request, _("This address cannot be used. Choose another one."))
            return False
        confirmed = super().confirm_email(request, email_address)
        if confirmed:
            follow_address(user, former=former)
        return confirmed

    def get_email_verification_redirect_url(self, email_address: EmailAddress) -> str:
        return reverse("account")

    def get_password_change_redirect_url(self, request: HttpRequest) -> str:
        return reverse("account")

    def send_password_reset_mail(self, user: User, email: str, context: dict[str, Any]) -> None:
        # The library's address carries the primary key; ours the id that may leave the house.
        path = reverse("account_reset_password_from_key", args=[user.uuid.hex, context["key"]])
        self.write(user, letter_about("account/email/password_reset_key", {"path": path}), to=email)

    def send_confirmation_mail(self, request: HttpRequest, emailconfirmation: Any, signup: bool) -> None:
        address = emailconfirmation.email_address
        path = reverse("account_confirm_email", args=[emailconfirmation.key])
        self.write(address.user, letter_about("account/email/email_confirmation", {"path": path}), to=address.email)

    def send_notification_mail(
        self, template_prefix: str, user: User, context: dict[str, Any] | None = None, email: str | None = None
    ) -> None:
        told = (context or {}) | {"at": timezone.now(), "device": _device(self.request)}
        self.write(user, letter_about(template_prefix, told), to=email)

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """Every letter of ours has a person; one that has none is a way in that should not be open."""
        raise NotImplementedError(template_prefix)

    def write(self, user: User, letter: Letter, *, to: str | None = None) -> None:
        send_account_mail(user, to=to or user.email, subject=letter.subject, body=letter.body)


def remember_device(request: HttpRequest, response: HttpResponse, user: User) -> None:
    response.set_cookie(
        devices.COOKIE,
        devices.remember(_cookie(request), user),
        max_age=devices.KEPT,
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
        samesite="Lax",
    )


def wait(request: HttpRequest, *, seconds: int) -> HttpResponse:
    """Too many tries: when to come back, for people and for programs."""
    minutes = -(-seconds // 60)
    response = render(request, "429.html", {"minutes": minutes}, status=429)
    response["Retry-After"] = str(seconds)
    return response


def _cookie(request: HttpRequest) -> str:
    return request.COOKIES.get(devices.COOKIE, "")


def _device(request: HttpRequest | None) -> str:
    return device_words((request or context.request).headers.get("User-Agent", ""))
