"""Signing in as somebody of the demo, from the sign-in page. Only the demo, on this machine, has this."""

from allauth.account.utils import perform_login
from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_POST

from clients.models import User


@require_POST
def sign_in_as(request: HttpRequest, user_uuid: str) -> HttpResponse:
    if not settings.DEMO:
        raise Http404
    user = get_object_or_404(User, uuid=user_uuid, is_demo=True, is_active=True)
    return perform_login(request, user, redirect_url=reverse("home"))
