import pytest
from django.urls import reverse
from django.utils import timezone

from clients.choices import Role
from clients.domain.team import invite_coach
from clients.models import Assignment, Membership, OutgoingMail, Practice
from tests import factories as f

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(cast, signed_in):
    return signed_in(cast.owner)


def _settings(browser, **changed):
    form = browser.get(reverse("practice")).context["form"]
    sent = {name: "" if value is None else value for name, value in form.initial.items()}
    sent |= {"working_from": "00:00", "working_until": "00:00"} | changed
    return {name: value for name, value in sent.items() if value is not False}


def test_owner_settles_what_the_practice_promises(cast, owner):
    sent = _settings(owner, review_promise_hours="24", working_days=["0", "1"], time_zone="Europe/Berlin")

    assert owner.post(reverse("practice"), sent).status_code == 302

    practice = Practice.objects.get(pk=cast.practice.pk)
    assert (practice.review_promise_hours, practice.working_days) == (24, [0, 1])
    assert practice.time_zone == "Europe/Berlin"


REFUSED = [
    {"review_promise_hours": "0"},
    {"review_promise_hours": "1000"},
    {"working_days": []},
    {"working_from": "18:00", "working_until": "09:00"},
    {"time_zone": "Mars/Base"},
    {"minimum_age": "3"},
    {"warning_sign_wait_minutes": "4"},
    {"warning_sign_wait_minutes": "1441"},
    {"name": ""},
]


@pytest.mark.parametrize("wrong", REFUSED)
def test_impossible_setting_is_refused_at_its_field_and_nothing_is_kept(cast, owner, wrong):
    answer = owner.post(reverse("practice"), _settings(owner, question_promise_hours="7", **wrong))

    assert answer.status_code == 422
    assert answer.context["form"].errors.keys() <= {*wrong, "working_until"}
    assert Practice.objects.get(pk=cast.practice.pk).question_promise_hours == 48


def test_invited_coach_accepts_and_is_on_the_team(cast, client, owner):
    owner.post(reverse("team"), {"email": "new@coach.test", "role": "coach"})
    letter = OutgoingMail.objects.get(to="new@coach.test")
    path = "/" + letter.body.split("http://")[1].split()[0].split("/", 1)[1]
    client.logout()

    client.post(path, {"name": "Nia", "password": "a long enough passphrase"})

    assert Membership.objects.get(user__email="new@coach.test").role == Role.COACH
    assert client.get(reverse("desk")).status_code == 200


def test_owner_hands_clients_over_on_the_coachs_page(cast, owner):
    colleague = Membership.objects.get(user=cast.other_coach)
    url = reverse("member", args=[cast.coach_membership.uuid])

    owner.post(url, {"clients": [cast.client.uuid], "to": colleague.uuid, "message": ""})

    assert Assignment.objects.get(client=cast.client, kind="lead", until_at=None).coach == colleague


def test_client_of_another_coach_cannot_be_slipped_in(cast, owner):
    url = reverse("member", args=[cast.coach_membership.uuid])
    colleague = Membership.objects.get(user=cast.other_coach)

    answer = owner.post(url, {"clients": [cast.stranger_client.uuid], "to": colleague.uuid})

    assert answer.status_code == 422


def test_ending_access_asks_first_and_leads_to_the_clients_left(cast, owner):
    url = reverse("end-member", args=[cast.coach_membership.uuid])

    assert cast.client.name in owner.get(url).content.decode()
    answer = owner.post(url, follow=True)

    assert cast.client.name in answer.content.decode()
    assert Membership.objects.get(pk=cast.coach_membership.pk).ended_at is not None


def test_second_coach_joins_and_goes(cast, owner):
    colleague = Membership.objects.get(user=cast.other_coach)
    url = reverse("second-coaches", args=[cast.client.uuid])

    owner.post(url, {"coach": colleague.uuid})
    second = Assignment.objects.get(client=cast.client, kind="second")
    owner.post(url, {"end": second.uuid})

    second.refresh_from_db()
    assert second.until_at is not None


def test_coach_enters_their_own_absence_and_nobody_elses(cast, signed_in):
    colleague = Membership.objects.get(user=cast.other_coach)
    today = timezone.localdate().isoformat()
    sent = {"from_on": today, "until_on": today, "promises": "kept", "cover": colleague.uuid, "message": ""}
    browser = signed_in(cast.coach)

    assert browser.post(reverse("absences"), sent | {"coach": cast.coach_membership.uuid}).status_code == 302
    assert browser.post(reverse("absences"), sent | {"coach": colleague.uuid}).status_code == 422
    assert Assignment.objects.get(client=cast.client, kind="cover").coach == colleague


def test_absence_that_ends_before_it_begins_is_refused_with_what_was_typed(cast, signed_in):
    sent = {"coach": cast.coach_membership.uuid, "from_on": "2099-02-02", "until_on": "2099-02-01"}

    answer = signed_in(cast.coach).post(reverse("absences"), sent | {"promises": "moved", "message": "At the sea."})

    assert answer.status_code == 422
    assert "At the sea." in answer.content.decode()


def test_team_page_names_whom_was_invited(cast, owner):
    invite_coach(Membership.objects.get(user=cast.owner), email="x@coach.test", role=Role.COACH, at=timezone.now())

    assert "x@coach.test" in owner.get(reverse("team")).content.decode()


@pytest.mark.parametrize("colleagues", [1, 6])
def test_team_page_stays_quick_with_more_people(cast, owner, django_assert_max_num_queries, colleagues):
    f.MembershipFactory.create_batch(colleagues, practice=cast.practice)

    with django_assert_max_num_queries(12):
        owner.get(reverse("team"))
