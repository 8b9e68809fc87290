import pytest
from django.urls import reverse
from django.utils import timezone

from clients.choices import Ceiling, GuardianAnswer
from clients.domain.guardians import ask_guardian, decide, guardian_missing
from clients.domain.safety import require_start
from clients.domain.screening import screen_client
from clients.errors import ClearanceMissing, GuardianIsTheClient, GuardianNeeded
from clients.models import GuardianDecision, GuardianRequest, OutgoingMail
from tests import factories as f

pytestmark = pytest.mark.django_db


@pytest.fixture
def minor(cast):
    cast.client.needs_guardian = True
    cast.client.save()
    f.ConsentFactory(client=cast.client)
    return cast.client


def _ask(client):
    return ask_guardian(client, name="Ada", email="ada@guardian.test", relation="mother", at=timezone.now())


def _link() -> str:
    body = OutgoingMail.objects.filter(to="ada@guardian.test").latest("pk").body
    return "/" + body.split("://")[1].split()[0].split("/", 1)[1]


def test_minor_starts_only_after_the_guardian_agreed_and_a_professional_said_so(minor):
    today = timezone.localdate()
    with pytest.raises(GuardianNeeded):
        require_start(minor, on=today)

    decide(_ask(minor), agreed=True, at=timezone.now())
    answers = {"regular": True, "symptoms": [], "disease": [], "special": [], "desired": "light"}
    intake = f.IntakeFactory(client=minor)
    for code, value in answers.items():
        f.IntakeAnswerFactory(client=minor, intake=intake, question=code, value=value)
    outcome = screen_client(intake, at=timezone.now())

    assert (outcome.ceiling, outcome.inputs["refer_first"]) == (Ceiling.NONE, ["minor"])
    with pytest.raises(ClearanceMissing):
        require_start(minor, on=today)


def test_consent_taken_back_stops_training(minor):
    asked = _ask(minor)
    decide(asked, agreed=True, at=timezone.now())
    assert not guardian_missing(minor)

    decide(asked, agreed=False, at=timezone.now())

    assert guardian_missing(minor)
    assert [row.answer for row in GuardianDecision.objects.order_by("pk")] == ["agreed", "withdrawn"]


def test_opening_the_letter_decides_nothing(client, minor):
    _ask(minor)

    assert client.get(_link()).status_code == 200
    assert guardian_missing(minor)


def test_guardian_agrees_on_the_page_behind_the_letter(client, minor):
    _ask(minor)

    client.post(_link(), {"answer": "yes", "phone": "+1 555 0100"})

    assert GuardianDecision.objects.get().answer == GuardianAnswer.AGREED
    assert GuardianDecision.objects.get().text
    assert not guardian_missing(minor)


def test_refusal_leaves_everything_closed(client, minor):
    _ask(minor)

    client.post(_link(), {"answer": "no", "phone": ""})

    assert GuardianDecision.objects.get().answer == GuardianAnswer.REFUSED
    assert guardian_missing(minor)


def test_second_letter_closes_the_first(client, minor):
    _ask(minor)
    first = _link()
    _ask(minor)

    assert client.get(first).status_code == 410
    assert client.get(_link()).status_code == 200


def test_client_is_not_their_own_guardian(minor):
    with pytest.raises(GuardianIsTheClient):
        ask_guardian(minor, name="Me", email=minor.user.email.upper(), relation="me", at=timezone.now())


def test_client_asks_from_the_page_and_the_health_questions_stay_closed(minor, signed_in):
    browser = signed_in(minor.user)

    browser.post(reverse("guardian-needed"), {"name": "Ada", "email": "ada@guardian.test", "relation": "mother"})

    assert GuardianRequest.objects.get().email == "ada@guardian.test"
    answer = browser.post(reverse("intake-step", args=["goal"]), {"goal": "stronger", "experience": "none"})
    assert answer.headers["Location"] == reverse("guardian-needed")
    assert browser.get(reverse("my-home")).headers["Location"] == reverse("guardian-needed")


def test_birthday_under_the_limit_leads_to_the_guardian_at_once(cast, signed_in):
    f.ConsentFactory(client=cast.client)
    browser = signed_in(cast.client_user)
    url = reverse("intake-step", args=["about-you"])
    browser.get(url)
    born = timezone.localdate().replace(year=timezone.localdate().year - 15, day=1)

    answer = browser.post(url, {"born_on": born, "country": "DE", "time_zone": "Europe/Berlin"})

    assert answer.headers["Location"] == reverse("guardian-needed")
