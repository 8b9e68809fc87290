"""The intake on a phone: a sign-in that ran out in the middle of a step loses nothing."""

import pytest
from django.conf import settings
from django.urls import reverse
from playwright.sync_api import expect

from clients.choices import ClientState
from tests import factories as f

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_what_was_typed_and_ticked_is_back_after_signing_in_again(open_as, live_server, cast):
    f.ConsentFactory(client=cast.client)
    cast.client.state = ClientState.INTAKE
    cast.client.save()
    phone = open_as(cast.client_user)
    where = live_server.url + reverse("intake-step", args=["goal"])
    phone.goto(where)
    signed_in = phone.context.cookies()
    phone.get_by_label("Come back after a break").check()
    phone.get_by_label("What would make you say it worked?").fill("Ten pull-ups at my own door.")
    phone.context.clear_cookies(name=settings.SESSION_COOKIE_NAME)
    phone.get_by_role("button", name="Save and go on").click()
    phone.context.add_cookies(signed_in)

    phone.goto(where)

    expect(phone.get_by_label("What would make you say it worked?")).to_have_value("Ten pull-ups at my own door.")
    expect(phone.get_by_label("Come back after a break")).to_be_checked()
    expect(phone.get_by_text("What you typed here before is back.")).to_be_visible()
