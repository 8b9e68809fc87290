"""The client's way from the letter to an outcome."""

import datetime
import re

import pytest
from django.core import mail
from django.urls import reverse

import jobs
from clients.choices import ClientState, ConsentKind
from clients.domain.safety import require_start
from clients.errors import ClearanceMissing, Locked
from clients.library.intake import STEPS
from clients.models import (
    AccessRecord,
    Client,
    ConsentEvent,
    EquipmentItem,
    IntakeAnswer,
    OutgoingMail,
    RedFlagReport,
    Screening,
    User,
)
from tests import factories as f

ABOUT = {"born_on": "1991-05-04", "country": "DE", "time_zone": "Europe/Berlin"}
GOAL = {"goal": "first_pull_up", "experience": "none"}
TIME = {"days": "3", "minutes": "40"}
CALL = {"contact_name": "Ada", "contact_relation": "sister", "contact_phone": "+49 30 555 0100"}
EQUIPMENT = {"place": "Garage", "items": ["rings", "dumbbell"], "masses": "8, 12", "checked": ["rings"]}
BODY = {"mass": "70", "mass_unit": "kg", "area_0": "shoulder", "side_0": "left", "why_0": "2019"}
WELL = {
    "regular": "no",
    "disease": ["none"],
    "symptoms": ["none"],
    "special": ["none"],
    "desired": "moderate",
    "red_flags_none": "yes",
}
ANSWERS = dict(zip([step.slug for step in STEPS], [ABOUT, GOAL, TIME, CALL, EQUIPMENT, BODY, WELL], strict=True))
DAY = datetime.date(2026, 11, 25)


WRONG_ABOUT = [
    ("born_on", "2099-01-01"),
    ("born_on", "1850-01-01"),
    ("born_on", "1991-02-30"),
    ("born_on", "x" * 10_000),
    ("born_on", ""),
    ("time_zone", "Mars/One"),
]


def _years_ago(years: int) -> str:
    today = datetime.date.today()
    return today.replace(year=today.year - years, day=min(today.day, 28)).isoformat()


@pytest.fixture
def invited(signed_in, cast):
    signed_in(cast.coach).post(reverse("invite-client"), {"name": "Nova", "email": "nova@example.test"})
    return Client.objects.get(email="nova@example.test")


def link_of(letter: OutgoingMail) -> str:
    return re.search(r"/invitations/[\w-]+/", letter.body)[0]


@pytest.fixture
def newcomer(client, invited):
    """Someone who has accepted and given both consents."""
    client.logout()
    client.post(link_of(OutgoingMail.objects.get(to=invited.email)), {"name": "Nova", "password": f.PASSWORD})
    client.post(reverse("consents"), {"health": "yes", "video": "yes"})
    invited.refresh_from_db()
    return invited


def answer(client, **changed):
    """Go through all steps, with some answers changed."""
    for step in STEPS:
        response = client.post(
            reverse("intake-step", args=[step.slug]), ANSWERS[step.slug] | changed.get(step.slug, {})
        )
        if response.status_code != 302:
            return response
    return response


def test_invitation_is_mailed_once(invited):
    jobs.run_waiting()
    jobs.run_waiting()

    assert [letter.to for letter in mail.outbox] == [["nova@example.test"]]


def test_acceptance_makes_a_sign_in_tied_to_the_client(newcomer):
    assert (newcomer.user.email, newcomer.state) == ("nova@example.test", ClientState.INTAKE)


def test_invitation_works_once(client, invited):
    link = link_of(OutgoingMail.objects.get(to=invited.email))
    client.logout()
    client.post(link, {"name": "Nova", "password": f.PASSWORD})
    client.logout()

    response = client.post(link, {"name": "Someone else", "password": f.PASSWORD})

    assert (response.status_code, User.objects.filter(name="Someone else").exists()) == (410, False)


def test_short_password_is_refused_at_the_field_and_the_name_is_kept(client, invited):
    client.logout()

    response = client.post(link_of(OutgoingMail.objects.get(to=invited.email)), {"name": "Nova X", "password": "short"})

    assert "password" in response.context["form"].errors
    assert b"Nova X" in response.content


def test_invited_address_that_has_a_sign_in_must_sign_in_first(client, invited):
    f.UserFactory(email=invited.email)
    client.logout()

    response = client.post(
        link_of(OutgoingMail.objects.get(to=invited.email)), {"name": "Nova", "password": f.PASSWORD}
    )

    assert response.status_code == 409


def test_second_invitation_closes_the_first(client, signed_in, cast, invited):
    first = link_of(OutgoingMail.objects.get(to=invited.email))
    signed_in(cast.coach).post(reverse("invite-again", args=[invited.uuid]))
    client.logout()

    assert client.get(first).status_code == 410


def test_health_question_before_the_consent_leads_back_to_the_consents(client, invited):
    client.logout()
    client.post(link_of(OutgoingMail.objects.get(to=invited.email)), {"name": "Nova", "password": f.PASSWORD})

    response = client.post(reverse("intake-step", args=["health"]), WELL)

    assert response.url == reverse("consents")
    assert not IntakeAnswer.objects.exists()


def test_consent_keeps_text_version_and_time(newcomer):
    event = ConsentEvent.objects.get(kind=ConsentKind.HEALTH)

    assert all([event.text_version, event.text, event.at])


def test_undecided_consent_is_asked_again_at_the_field(client, newcomer):
    response = client.post(reverse("consents"), {"health": "yes"})

    assert b"Please choose yes or no" in response.content


def test_well_person_may_start_with_moderate_effort(client, newcomer):
    response = answer(client)

    assert response.url == reverse("outcome")
    newcomer.refresh_from_db()
    assert newcomer.state == ClientState.ACTIVE
    assert require_start(newcomer, on=DAY).ceiling == "moderate"


def test_outcome_page_says_what_happens_next_and_by_when(client, newcomer):
    answer(client)

    page = client.get(reverse("outcome")).content.decode()

    assert "within 48 hours" in page
    assert "secondary sources" in page


def test_disease_waits_for_clearance(client, newcomer):
    answer(client, health={"disease": ["diabetes"]})

    newcomer.refresh_from_db()
    assert newcomer.state == ClientState.INTAKE
    with pytest.raises(ClearanceMissing):
        require_start(newcomer, on=DAY)


@pytest.mark.parametrize("group", ["pregnant", "post_operative", "nerve_signs", "after_birth", "new_injury"])
def test_referred_groups_never_start_without_a_professional(client, newcomer, group):
    answer(client, health={"regular": "yes", "special": [group]})

    with pytest.raises(ClearanceMissing):
        require_start(newcomer, on=DAY)


def test_untouched_tick_list_is_no_answer(client, newcomer):
    response = answer(client, health={"symptoms": []})

    assert response.status_code == 422
    assert "symptoms" in response.context["form"].errors


def test_none_and_a_tick_contradict_each_other(client, newcomer):
    response = answer(client, health={"symptoms": ["none", "chest"]})

    assert "symptoms" in response.context["form"].errors


def test_under_age_stops_with_guardian_and_asks_no_health_question(client, newcomer):
    client.post(reverse("intake-step", args=["about-you"]), ABOUT | {"born_on": _years_ago(16)})

    response = client.post(reverse("intake-step", args=["health"]), WELL)

    assert response.url == reverse("guardian-needed")
    assert not IntakeAnswer.objects.filter(question="regular").exists()


def test_red_flag_shows_the_fixed_text_locks_and_wakes_the_lead(client, newcomer, cast):
    response = client.post(reverse("intake-step", args=["health"]), {"red_flags": ["card.chest"]}, follow=True)

    assert "Stop and seek medical care" in response.content.decode()
    with pytest.raises(Locked):
        require_start(newcomer, on=DAY)
    letter = OutgoingMail.objects.filter(to=cast.coach.email).last()
    assert letter.subject == "A client needs you"
    assert "chest" not in letter.body


def test_untouched_warning_signs_are_no_answer(client, newcomer):
    sent = {name: value for name, value in WELL.items() if name != "red_flags_none"}

    response = client.post(reverse("intake-step", args=["health"]), sent)

    assert response.status_code == 422
    assert not IntakeAnswer.objects.filter(question="regular").exists()


def test_crisis_text_stands_first_and_locks_nothing(client, newcomer):
    response = client.post(reverse("warning-signs"), {"red_flags": ["mind.harm"]}, follow=True)

    assert "you are not alone" in response.content.decode()
    assert not RedFlagReport.objects.locking().exists()


def test_changed_answer_is_a_new_version(client, newcomer):
    client.post(reverse("intake-step", args=["time"]), TIME)
    client.post(reverse("intake-step", args=["time"]), TIME | {"days": "4"})

    versions = IntakeAnswer.objects.filter(question="days").order_by("pk")
    assert [(v.value, v.is_current) for v in versions] == [(3, False), (4, True)]


def test_intake_goes_on_where_it_was_left_on_another_device(client, newcomer):
    client.post(reverse("intake-step", args=["about-you"]), ABOUT)
    client.post(reverse("intake-step", args=["goal"]), GOAL)
    client.logout()
    client.force_login(newcomer.user)

    assert client.get(reverse("intake")).url == reverse("intake-step", args=["time"])


def test_equipment_counts_only_after_its_set_up_check(client, newcomer):
    client.post(
        reverse("intake-step", args=["equipment"]), EQUIPMENT | {"items": ["rings", "chair"], "checked": ["rings"]}
    )

    items = {item.kind: bool(item.set_up_checked_on) for item in EquipmentItem.objects.all()}
    assert items == {"rings": True, "chair": False}


@pytest.mark.parametrize(("field", "value"), WRONG_ABOUT)
def test_bad_value_is_told_at_its_field_and_nothing_is_kept(client, newcomer, field, value):
    response = client.post(reverse("intake-step", args=["about-you"]), ABOUT | {field: value})

    assert field in response.context["form"].errors
    assert not IntakeAnswer.objects.exists()


def test_clearance_opens_training_up_to_its_limit(client, signed_in, newcomer, cast):
    answer(client, health={"disease": ["diabetes"]})
    screening = Screening.objects.get()
    given = screening.decided_at.date()

    signed_in(cast.coach).post(
        reverse("client-safety", args=[newcomer.uuid]),
        {
            "clinician_role": "general practitioner",
            "given_on": given,
            "expires_on": given + datetime.timedelta(days=180),
            "ceiling": "light",
            "limits": "walks, no lifting",
        },
    )

    newcomer.refresh_from_db()
    assert newcomer.state == ClientState.ACTIVE
    assert require_start(newcomer, on=given).ceiling == "light"


def test_safety_page_of_another_coachs_client_is_not_there(client, signed_in, newcomer, cast):
    answer(client)

    assert signed_in(cast.other_coach).get(reverse("client-safety", args=[newcomer.uuid])).status_code == 404


def test_reading_the_safety_page_is_recorded(signed_in, cast):
    signed_in(cast.coach).get(reverse("client-safety", args=[cast.client.uuid]))

    assert AccessRecord.objects.get().reader == cast.coach


def test_changed_health_asks_health_again_and_keeps_the_rest(client, newcomer):
    answer(client)

    client.post(reverse("intake"))

    asked_again = IntakeAnswer.objects.filter(intake__finished_at=None).values_list("question", flat=True)
    assert "born_on" in asked_again
    assert "symptoms" not in asked_again
    assert client.get(reverse("intake")).url == reverse("intake-step", args=["health"])
