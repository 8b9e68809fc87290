import datetime
import re
import uuid

import pytest
import time_machine
from django.urls import reverse

from clients.choices import AssignmentKind, ClientState, EnquiryState
from clients.domain import enquiring
from clients.domain.enquiring import Asked, decline_enquiry, forget_enquiries, invite_from, send_enquiry
from clients.errors import EnquiryDecided, TooManyEnquiries
from clients.models import Assignment, Client, Enquiry, EnquiryAnswer, Invitation, OutgoingMail
from tests import factories as f

pytestmark = pytest.mark.django_db
ASKED = Asked(name="Ida", email="Ida@visitor.test", goal="A first pull-up", time_zone="Asia/Tokyo")


@pytest.fixture
def house(cast):
    cast.practice.takes_enquiries = True
    cast.practice.save()
    return cast


def _send(practice, **changed):
    return send_enquiry(practice, ASKED, key=changed.pop("key", uuid.uuid4()), at=changed.pop("at", f.NOON))


def _fill(browser, practice, *, wait=5, **changed):
    """Open the public page, wait as a person would, send it."""
    url = reverse("enquire", args=[practice.uuid])
    with time_machine.travel(f.NOON, tick=False) as clock:
        stamp = re.search(r'name="opened" value="([^"]+)"', browser.get(url).content.decode())[1]
        clock.shift(datetime.timedelta(seconds=wait))
        filled = {"name": "Ida", "email": "ida@visitor.test", "goal": "A first pull-up", "time_zone": "Asia/Tokyo"}
        return browser.post(url, filled | {"agree": "on", "opened": stamp} | changed)


def test_visitor_asks_and_the_owner_is_told_without_what_was_written(client, house):
    answer = _fill(client, house.practice)

    assert answer.status_code == 302
    assert Enquiry.objects.get().consent_text
    letter = OutgoingMail.objects.get()
    assert letter.to == house.owner.email
    assert "pull-up" not in letter.body
    assert "Ida" not in letter.body


def test_page_of_a_practice_that_takes_none_is_not_there(client, cast):
    assert client.get(reverse("enquire", args=[cast.practice.uuid])).status_code == 404


@pytest.mark.parametrize(
    "sent", [{"website": "http://spam.test"}, {"opened": "forged"}, {"agree": ""}, {"email": "no"}]
)
def test_enquiry_of_a_robot_or_without_consent_is_not_kept(client, house, sent):
    _fill(client, house.practice, **sent)

    assert not Enquiry.objects.exists()


def test_enquiry_sent_faster_than_a_person_fills_it_is_shown_again_with_the_words(client, house):
    answer = _fill(client, house.practice, wait=1)

    assert answer.status_code == 422
    assert "A first pull-up" in answer.content.decode()
    assert not Enquiry.objects.exists()


def test_enquiry_sent_twice_is_kept_once(house):
    key = uuid.uuid4()
    _send(house.practice, key=key)
    _send(house.practice, key=key)

    assert Enquiry.objects.count() == 1


def test_flood_is_refused_and_ends_with_the_hour(house, monkeypatch):
    monkeypatch.setattr(enquiring, "MOST_PER_HOUR", 2)
    _send(house.practice)
    _send(house.practice)

    with pytest.raises(TooManyEnquiries):
        _send(house.practice)
    _send(house.practice, at=f.NOON + datetime.timedelta(hours=1))

    assert Enquiry.objects.count() == 3


def test_enquiry_becomes_an_invited_client_in_two_clicks(house, signed_in):
    row = _send(house.practice)
    browser = signed_in(house.coach)

    browser.get(reverse("enquiry", args=[row.uuid]))
    browser.post(reverse("enquiry", args=[row.uuid]), {"do": "invite"})

    client = Client.objects.get(email="ida@visitor.test")
    assert (client.state, client.time_zone) == (ClientState.INVITED, "Asia/Tokyo")
    assert Invitation.objects.filter(client=client).exists()
    assert Assignment.objects.get(client=client, kind=AssignmentKind.LEAD).coach.user == house.coach
    assert Enquiry.objects.get().client == client


def test_answer_goes_out_by_mail_and_leaves_the_enquiry_open(house, signed_in):
    row = _send(house.practice)

    signed_in(house.coach).post(reverse("enquiry", args=[row.uuid]), {"do": "answer", "answer-text": "How high?"})

    assert OutgoingMail.objects.get(to="ida@visitor.test").body == "How high?"
    assert Enquiry.objects.get().state == EnquiryState.ANSWERED


def test_declined_enquiry_gets_a_letter_and_cannot_be_invited_after(house):
    row = _send(house.practice)
    decline_enquiry(row, text="Not now.", by=house.coach, at=f.NOON)

    with pytest.raises(EnquiryDecided):
        invite_from(row, house.coach_membership, at=f.NOON)

    assert OutgoingMail.objects.filter(to="ida@visitor.test", body="Not now.").count() == 1
    assert not Client.objects.filter(email="ida@visitor.test").exists()


def test_declined_enquiry_is_erased_after_three_months_and_an_open_one_is_not(house):
    declined, waiting = _send(house.practice), _send(house.practice)
    decline_enquiry(declined, text="Not now, Ida.", by=house.coach, at=f.NOON)

    forget_enquiries(at=f.NOON + datetime.timedelta(days=91))

    declined.refresh_from_db()
    waiting.refresh_from_db()
    assert (declined.name, declined.email, declined.goal) == ("", "", "")
    assert EnquiryAnswer.objects.get().text == ""
    assert waiting.name == "Ida"


def test_enquiry_of_another_practice_answers_like_what_is_not_there(house, signed_in):
    row = _send(house.other_practice)

    assert signed_in(house.coach).get(reverse("enquiry", args=[row.uuid])).status_code == 404


def test_one_network_uses_up_its_own_enquiries_only_and_what_was_typed_comes_back(client, house):
    for number in range(5):
        assert _fill(client, house.practice, email=f"v{number}@visitor.test").status_code == 302

    refused = _fill(client, house.practice, goal="A handstand")

    assert refused.status_code == 429
    assert "A handstand" in refused.content.decode()
    client.defaults["REMOTE_ADDR"] = "192.0.2.7"
    assert _fill(client, house.practice).status_code == 302
