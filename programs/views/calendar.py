"""The page of a client's calendar address, and the calendar behind it."""

import hashlib
from http import HTTPStatus
from typing import Any

from allauth.core.internal.ratelimit import get_ip
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.utils.http import quote_etag
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from clients.domain.limits import take_guess
from clients.domain.mail import absolute
from clients.errors import TooManyTries
from clients.views import SignedInRequest
from clients.views.intake import own_client
from programs.domain.calendar_feed import end_feed, feed_behind, feed_of, new_feed, write_calendar
from programs.domain.days import today_of
from programs.errors import FeedNotThere
from programs.forms import CalendarForm


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def my_calendar(request: SignedInRequest) -> HttpResponse:
    client = own_client(request)
    do, now = request.POST.get("do"), timezone.now()
    if do == "end":
        end_feed(client, at=now)
        messages.success(request, _("Ended. Calendars that know the address hear nothing more."))
        return redirect("my-calendar")
    form = CalendarForm(request.POST if do == "new" else None)
    context: dict[str, Any] = {"client": client, "form": form}
    if form.is_bound and form.is_valid():
        token = new_feed(client, starts_at=form.cleaned_data["starts_at"], at=now)
        # Shown on this one page and nowhere again, so there is no redirect.
        context["address"] = absolute(reverse("calendar", args=[token]))
    context["feed"] = feed_of(client)
    return render(request, "programs/calendar.html", context, status=422 if form.errors else 200)


@require_safe
def calendar(request: HttpRequest, token: str) -> HttpResponse:
    """For calendar programs: without a sign-in, a cookie or a page."""
    now = timezone.now()
    try:
        feed = feed_behind(token, at=now)
    except FeedNotThere as error:
        return _not_there(request, str(error))
    content = write_calendar(feed, today=today_of(feed.client, now))
    etag = quote_etag(hashlib.sha256(content).hexdigest())
    response = HttpResponse(content, content_type="text/calendar; charset=utf-8")
    # No date of a last change: names and days leave the content without one, and two changes share a second.
    response["ETag"] = etag
    response["Content-Disposition"] = 'inline; filename="training.ics"'
    answer = get_conditional_response(request, etag=etag, response=response) or response
    answer["Cache-Control"], answer["X-Robots-Tag"] = "private, no-cache", "noindex"
    return answer


def _not_there(request: HttpRequest, words: str) -> HttpResponse:
    status = HTTPStatus.NOT_FOUND
    wait = 0
    try:
        take_guess(network=get_ip(request))
    except TooManyTries as error:
        status, wait = HTTPStatus.TOO_MANY_REQUESTS, error.seconds
    response = HttpResponse(words, status=status, content_type="text/plain; charset=utf-8")
    response["Cache-Control"] = "no-store"
    if wait:
        response["Retry-After"] = str(wait)
    return response
