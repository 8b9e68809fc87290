"""Signing in as somebody of the demo, from the sign-in page. Only the demo, on this machine, has this."""

from django.conf import settings
from django.contrib.auth import login
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from clients.models import User
from clients.views.accounts import BACKEND


@require_POST
def sign_in_as(request: HttpRequest, user_uuid: str) -> HttpResponse:
    if not settings.DEMO:
        raise Http404
    user = get_object_or_404(User, uuid=user_uuid, is_demo=True, is_active=True)
    login(request, user, backend=BACKEND)
    return redirect("home")
