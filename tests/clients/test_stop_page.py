"""The page that a warning sign leads to: which fixed text stands first, and what it asks for."""

import pytest
from django.urls import reverse

from clients.domain.screening import report_red_flags
from clients.library.words import CRISIS_TEXT, SEEK_CARE_TEXT
from tests import factories as f

TICKED = [
    (["mind.harm"], [CRISIS_TEXT], False),
    (["card.chest"], [SEEK_CARE_TEXT], True),
    (["card.chest", "mind.harm"], [CRISIS_TEXT, SEEK_CARE_TEXT], True),
]


@pytest.mark.parametrize(("items", "texts", "locks"), TICKED)
def test_crisis_help_stands_first_and_only_physical_signs_ask_for_a_clearance(cast, signed_in, items, texts, locks):
    report_red_flags(cast.client, items=items, source="pain", at=f.NOON)

    page = signed_in(cast.client.user).get(reverse("stop-and-seek-care"))

    assert (page.context["texts"], page.context["locks"]) == (texts, locks)
    heading = "Stop and seek medical care" if locks else "You can talk to someone now"
    assert f"<h1>{heading}</h1>" in page.content.decode()
