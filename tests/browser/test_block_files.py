"""A block file that is refused, on a narrow phone: the faults are told, and the page can be read in light and dark."""

import json

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from programs.models import Block
from tests import factories as f
from tests.browser.flaws import flaws

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
# Nothing to break at, as a place deep in a file has nothing.
LONG = "n" * 90
DOSE = "/sessions/0/sections/0/groups/0/prescriptions/0"


def refused_block():
    dose = {"movement": "push-up", "measure": "reps", "sets": 21, "amount_low": 8, "amount_high": 12, LONG: 1}
    group = {"kind": "rounds", "prescriptions": [dose | {"step_rir": -9, "easier": "none-such", "easier_below": 5}]}
    session = {"week": 1, "weekday": "tuesday", "name": "Push", "sections": [{"kind": "strength", "groups": [group]}]}
    block = {"format": "purlin-block", "version": 1, "title": "Invented", "weeks": 1, "deload_week": 9}
    return json.dumps(block | {"sessions": [session]}).encode()


def test_refused_file_is_told_on_a_narrow_phone_in_light_and_dark(open_as, live_server, cast):
    f.MovementFactory(slug="push-up")
    page = open_as(cast.coach, width=320, expected="422")
    page.goto(live_server.url + reverse("import-block", args=[cast.client.uuid]))
    assert flaws(page) == []

    page.locator("input[type=file]").set_input_files(
        {"name": "block.json", "mimeType": "application/json", "buffer": refused_block()}
    )
    page.get_by_role("button", name="Import").click()

    told = page.get_by_role("alert")
    expect(told.get_by_role("heading", name="The file has faults")).to_be_visible()
    for place in (f"{DOSE}/sets", f"{DOSE}/step_rir", f"{DOSE}/easier", "/deload_week"):
        expect(told.get_by_text(place, exact=True)).to_be_visible()
    assert flaws(page) == []
    assert not Block.objects.exists()
