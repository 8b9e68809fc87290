"""A body mass that was taken back: kept, shown as such, and read by nobody until it is told again."""

import datetime
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.domain.body import record_body_mass, take_back_body_mass
from clients.errors import ReplacedMeanwhile
from clients.models import BodyMass
from tests import factories as f

pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)


@pytest.fixture
def phone(cast, signed_in):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    return signed_in(cast.client_user)


@pytest.fixture
def mass(cast):
    return record_body_mass(cast.client, entered=83, unit="kg", on=timezone.localdate())


def take_back(phone, mass):
    return phone.post(reverse("take-back-body-mass", args=[mass.uuid]), follow=True).content.decode()


def test_taken_back_it_counts_nowhere_and_is_kept(phone, cast, mass):
    page = take_back(phone, mass)

    assert BodyMass.objects.of(cast.client).for_day(timezone.localdate()) is None
    assert (">taken back<" in page, ">counts now<" in page) == (True, False)
    versions = BodyMass.objects.order_by("pk").values_list("is_withdrawn", "is_current", "mass_kg")
    assert list(versions) == [(False, False, 83), (True, True, 83)]


def test_taken_back_the_next_older_counts(phone, cast, mass):
    older = record_body_mass(cast.client, entered=80, unit="kg", on=timezone.localdate() - 9 * DAY)
    take_back(phone, mass)

    assert BodyMass.objects.of(cast.client).for_day(timezone.localdate()) == older


def test_the_button_of_a_taken_back_row_tells_it_again(phone, cast, mass):
    record_body_mass(cast.client, entered=Decimal("182.55"), unit="lb", on=timezone.localdate())
    take_back(phone, BodyMass.objects.counting().get())
    form = phone.get(reverse("my-body-mass")).content.decode().split("<tbody>")[1]
    said = {name: form.split(f'name="{name}" value="')[1].split('"')[0] for name in ("on", "mass", "mass_unit")}

    phone.post(reverse("my-body-mass"), said)

    again = BodyMass.objects.counting().get()
    assert (again.on, str(again.entered), again.unit) == (timezone.localdate(), "182.55", "lb")


def test_pressed_twice_it_is_taken_back_once(phone, mass):
    for _unused in range(2):
        take_back(phone, mass)

    assert BodyMass.objects.count() == 2


def test_a_page_from_before_a_correction_takes_nothing_back(phone, cast, mass):
    record_body_mass(cast.client, entered=84, unit="kg", on=timezone.localdate())
    take_back(phone, mass)

    assert [row.mass_kg for row in BodyMass.objects.counting()] == [84]
    with pytest.raises(ReplacedMeanwhile):
        take_back_body_mass(mass)


def test_where_it_is_hidden_nothing_is_taken_back(phone, cast, mass):
    cast.client.body_mass_hidden = True
    cast.client.save()

    assert phone.post(reverse("take-back-body-mass", args=[mass.uuid])).status_code == 404
    assert BodyMass.objects.counting().exists()


def test_intake_and_how_they_are_do_not_give_it_back(phone, cast, mass, signed_in):
    phone.post(reverse("intake"))
    step, state = reverse("intake-step", args=["body"]), reverse("client-state", args=[cast.client.uuid])
    shown = [b'value="83.00"' in phone.get(step).content, b"83 kg" in signed_in(cast.coach).get(state).content]
    take_back_body_mass(mass)
    after = [b'value="83.00"' in signed_in(cast.client_user).get(step).content]
    after += [b"83 kg" in signed_in(cast.coach).get(state).content]

    assert (shown, after) == ([True, True], [False, False])
