"""The pages of a check-in: what is given back, what is not asked, and what two tabs do."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.domain.body import take_back_body_mass
from clients.domain.check_ins import latest_due_day, pause_reminders
from clients.models import BodyMass, CheckIn
from submissions.models import Review, Submission
from tests import factories as f

pytestmark = pytest.mark.django_db


@pytest.fixture
def phone(cast, signed_in):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    return signed_in(cast.client_user)


def due_on(cast) -> datetime.date:
    return latest_due_day(timezone.localdate(timezone=cast.client.zone), cast.client.check_in_weekday)


def send(phone, cast, **said):
    return phone.post(reverse("check-in"), {"due_on": due_on(cast), "mass_unit": "kg"} | said)


def test_check_in_is_sent_with_body_mass_in_pounds_and_a_comma(phone, cast):
    answer = send(phone, cast, sleep="4", confidence="0", mass="180,5", mass_unit="lb", note="Good week")

    assert answer.url == f"{reverse('my-check-ins')}?sent=check-in-{due_on(cast)}"
    told = CheckIn.objects.get()
    assert (told.sleep, told.confidence, told.mood, told.note) == (4, 0, None, "Good week")
    assert float(BodyMass.objects.get().mass_kg) == pytest.approx(81.873, abs=0.001)
    assert Submission.objects.get().check_in == told


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({}, "One answer is enough"),
        ({"mass": "8"}, "look at the unit"),
        ({"mass": "many", "note": "kept as typed"}, "kept as typed"),
        ({"sleep": "6", "note": "kept as typed"}, "kept as typed"),
    ],
)
def test_what_cannot_be_kept_is_given_back(phone, cast, said, words):
    answer = send(phone, cast, **said)

    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not CheckIn.objects.exists()


def test_whoever_is_not_asked_is_told_so_and_nothing_is_kept(phone, cast):
    cast.client.state = "paused"
    cast.client.save()

    assert phone.get(reverse("check-in")).status_code == 200
    assert send(phone, cast, sleep="4").status_code == 409
    assert not CheckIn.objects.exists()


def test_second_tab_gets_its_words_back_and_changes_nothing(phone, cast):
    send(phone, cast, sleep="4")

    answer = send(phone, cast, sleep="2", note="from the other tab")

    assert answer.status_code == 409
    assert "from the other tab" in answer.content.decode()
    assert CheckIn.objects.get().sleep == 4


def test_hidden_body_mass_is_neither_asked_nor_shown_nor_kept(phone, cast):
    f.BodyMassFactory(client=cast.client, entered="77.35")
    cast.client.body_mass_hidden = True
    cast.client.save()

    pages = [phone.get(reverse(name)).content.decode().lower() for name in ("check-in", "my-check-ins", "my-home")]
    send(phone, cast, sleep="4", mass="80")

    assert [page for page in pages if "body mass" in page or "77.35" in page] == []
    assert phone.get(reverse("my-body-mass")).status_code == 404
    assert BodyMass.objects.count() == 1


@pytest.mark.parametrize("hidden", [False, True])
def test_intake_asks_for_body_mass_unless_it_is_hidden(phone, cast, hidden):
    cast.client.body_mass_hidden = hidden
    cast.client.save()
    phone.post(reverse("intake"))
    address = reverse("intake-step", args=["body"])

    page = phone.get(address)
    answer = phone.post(address, {"mass": "80", "mass_unit": "kg"})

    assert (page.status_code, answer.status_code) == (200, 302)
    assert ('name="mass"' in page.content.decode()) != hidden
    assert BodyMass.objects.exists() != hidden


def test_body_mass_of_a_day_is_corrected_by_the_same_day(phone, cast):
    for mass in ("80", "79,5"):
        phone.post(reverse("my-body-mass"), {"on": "2026-03-01", "mass": mass, "mass_unit": "kg"})

    assert [str(row.entered) for row in BodyMass.objects.current()] == ["79.50"]
    assert BodyMass.objects.count() == 2


def test_body_mass_of_a_day_to_come_is_refused(phone, cast):
    later = timezone.localdate() + datetime.timedelta(days=2)

    assert phone.post(reverse("my-body-mass"), {"on": later, "mass": "80", "mass_unit": "kg"}).status_code == 422


def test_client_reads_that_it_was_read_and_by_whom(phone, cast):
    send(phone, cast, sleep="4")
    row = Submission.objects.get()
    phone.force_login(cast.coach)
    phone.post(reverse("check-in-read", args=[row.uuid]), {"seen": row.check_in.uuid})

    phone.force_login(cast.client_user)
    page = phone.get(reverse("my-review", args=[row.uuid])).content.decode()

    assert Review.objects.count() == 1
    assert f"{cast.coach.name} read it" in page


def test_check_in_does_not_give_back_a_mass_that_was_taken_back(phone, cast):
    send(phone, cast, sleep="4", mass="83")
    shown = b'value="83"' in phone.get(reverse("check-in")).content
    take_back_body_mass(BodyMass.objects.get())

    assert (shown, b'value="83"' in phone.get(reverse("check-in")).content) == (True, False)


def test_habits_are_the_clients_own(phone, cast):
    phone.post(reverse("my-check-ins"), {"weekday": "2"})

    cast.client.refresh_from_db()
    assert (cast.client.check_in_weekday, cast.client.check_in_reminders) == (2, False)


@pytest.mark.parametrize("page", ["check-in", "my-check-ins"])
def test_client_reads_that_the_coach_has_paused_the_letters(phone, cast, page):
    words = "Your coach has paused the letters"
    before = phone.get(reverse(page)).content.decode()
    pause_reminders(cast.client, paused=True, by=cast.coach, at=timezone.now())

    assert words not in before
    assert words in phone.get(reverse(page)).content.decode()


def test_list_of_check_ins_asks_the_same_for_one_and_for_three(phone, cast, django_assert_max_num_queries):
    for week in range(3):
        monday = f.MONDAY + datetime.timedelta(weeks=week)
        told = f.CheckInFactory(client=cast.client, week=monday, due_on=monday)
        f.SubmissionFactory(client=cast.client, kind="check_in", clip=None, check_in=told)

    with django_assert_max_num_queries(16):
        phone.get(reverse("my-check-ins"))
