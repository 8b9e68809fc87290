"""How to film, and sending the clip."""

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import factories as f


def where(filming) -> str:
    scheduled, prescription = filming
    return reverse("upload-clip", args=[scheduled.uuid, prescription.uuid])


def test_page_says_how_to_film_this_movement_and_where_to_send_the_clip(signed_in, cast, filming):
    page = signed_in(cast.client_user).get(where(filming)).content.decode()

    for words in ("From the side, at hip height.", "Stand the phone on something", "<clip-upload", reverse("uploads")):
        assert words in page


def test_page_names_what_is_filmed_for_the_upload(signed_in, cast, filming):
    page = signed_in(cast.client_user).get(where(filming)).content.decode()

    assert all(str(row.uuid) in page for row in filming)


def test_without_consent_to_video_the_page_leads_to_the_consents(signed_in, cast, filming):
    f.ConsentFactory(client=cast.client, kind="video", action="withdrawn", at=timezone.now())

    page = signed_in(cast.client_user).get(where(filming)).content.decode()

    assert ("<clip-upload" in page, reverse("consents") in page) == (False, True)


def test_page_says_that_sending_needs_javascript(signed_in, cast, filming):
    assert "needs JavaScript" in signed_in(cast.client_user).get(where(filming)).content.decode()


@pytest.mark.parametrize("person", ["other_client_user", "coach", "stranger_coach"])
def test_session_of_somebody_else_is_404(signed_in, cast, filming, person):
    assert signed_in(getattr(cast, person)).get(where(filming)).status_code == 404


def test_prescription_of_another_session_is_404(signed_in, cast, filming):
    assert signed_in(cast.client_user).get(where((filming[0], f.PrescriptionFactory()))).status_code == 404
