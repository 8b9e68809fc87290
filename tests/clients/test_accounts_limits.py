"""A stranger who tries passwords makes only themself wait."""

import pytest
from django.core.cache import cache
from django.test import Client as Browser
from django.urls import reverse

from clients.domain import limits
from clients.errors import TooManyTries
from clients.models import User
from tests import factories as f

pytestmark = pytest.mark.django_db
HOME, ELSEWHERE = "203.0.113.7", "198.51.100.9"


def try_to_sign_in(browser, email, password, *, network):
    return browser.post(reverse("sign-in"), {"login": email, "password": password}, headers={}, REMOTE_ADDR=network)


def hammer(email, *, network=ELSEWHERE, times=100):
    stranger = Browser()
    return [try_to_sign_in(stranger, email, f"a wrong guess, no {n}", network=network) for n in range(times)]


@pytest.fixture
def person():
    return f.MembershipFactory().user


def test_hundred_wrong_tries_from_one_address_are_refused_after_a_few_and_told_when_to_come_back(person):
    answers = hammer(person.email)

    assert [answer.status_code for answer in answers] == [200] * 5 + [429] * 95
    assert 0 < int(answers[-1]["Retry-After"]) <= limits.ADDRESS_FROM_NETWORK.seconds


def test_right_password_from_another_address_gets_in_under_attack(person):
    hammer(person.email)

    answer = try_to_sign_in(Browser(), person.email, f.PASSWORD, network=HOME)

    assert answer.status_code == 302


def test_right_password_from_the_attacked_network_has_to_wait(person):
    hammer(person.email)

    answer = try_to_sign_in(Browser(), person.email, f.PASSWORD, network=ELSEWHERE)

    assert answer.status_code == 429


def test_device_that_signed_in_before_gets_in_from_the_attacked_network(person):
    phone = Browser()
    try_to_sign_in(phone, person.email, f.PASSWORD, network=ELSEWHERE)
    phone.post(reverse("sign-out"))
    hammer(person.email)

    answer = try_to_sign_in(phone, person.email, f.PASSWORD, network=ELSEWHERE)

    assert answer.status_code == 302


def test_known_device_is_limited_too(person):
    phone = Browser()
    try_to_sign_in(phone, person.email, f.PASSWORD, network=HOME)
    phone.post(reverse("sign-out"))

    answers = [try_to_sign_in(phone, person.email, f"guess number {n}", network=HOME) for n in range(12)]

    assert [answer.status_code for answer in answers] == [200] * 10 + [429] * 2


def test_device_cookie_of_one_account_is_worth_nothing_for_another(person):
    other, phone = f.UserFactory(), Browser()
    try_to_sign_in(phone, other.email, f.PASSWORD, network=ELSEWHERE)
    phone.post(reverse("sign-out"))
    hammer(person.email)

    answer = try_to_sign_in(phone, person.email, f.PASSWORD, network=ELSEWHERE)

    assert answer.status_code == 429


def test_wrong_tries_change_nothing_about_the_account(person):
    before = User.objects.filter(pk=person.pk).values().get()

    hammer(person.email)

    assert User.objects.filter(pk=person.pk).values().get() == before


def test_unknown_address_is_answered_like_a_known_one(person):
    known = hammer(person.email, times=7)
    unknown = hammer("nobody@example.test", times=7, network="192.0.2.44")

    assert [answer.status_code for answer in unknown] == [answer.status_code for answer in known]
    said = [list(answer.context["form"].non_field_errors()) for answer in (known[0], unknown[0])]
    assert said[0] == said[1]


def test_one_network_that_tries_many_addresses_is_refused():
    answers = [hammer(f"person{n}@elsewhere.example", times=1)[0].status_code for n in range(60)]

    assert answers == [200] * 50 + [429] * 10


def test_right_passwords_use_up_nothing(person):
    answers = [try_to_sign_in(Browser(), person.email, f.PASSWORD, network=HOME).status_code for _ in range(12)]

    assert set(answers) == {302}


def test_network_of_version_six_counts_as_one(person):
    tries = [hammer(person.email, network=f"2001:db8::{n:x}", times=1)[0].status_code for n in range(1, 8)]

    assert tries == [200] * 5 + [429] * 2


def test_header_of_a_proxy_is_believed_only_behind_one(person, settings):
    def guess(n):
        sent = {"login": person.email, "password": f"guess number {n}"}
        return Browser().post(reverse("sign-in"), sent, headers={"X-Forwarded-For": f"192.0.2.{n}"}).status_code

    direct = [guess(n) for n in range(1, 8)]
    settings.ALLAUTH_TRUSTED_PROXY_COUNT = 1
    behind = [guess(n) for n in range(11, 18)]

    assert (direct, behind) == ([200] * 5 + [429] * 2, [200] * 7)


def test_client_cannot_write_an_address_in_front_of_what_the_proxy_saw(person, settings):
    settings.ALLAUTH_TRUSTED_PROXY_COUNT = 1

    def guess(n):
        sent = {"login": person.email, "password": f"guess number {n}"}
        return Browser().post(reverse("sign-in"), sent, headers={"X-Forwarded-For": f"192.0.2.{n}, {HOME}"}).status_code

    assert [guess(n) for n in range(1, 8)] == [200] * 5 + [429] * 2


def test_tries_are_kept_where_every_process_sees_them(settings):
    assert settings.CACHES["default"]["BACKEND"] == "django.core.cache.backends.db.DatabaseCache"


def test_limit_ends_with_its_time():
    for _ in range(limits.ADDRESS_FROM_NETWORK.tries):
        limits.take_try("a@example.test", network=HOME, device=None)
    with pytest.raises(TooManyTries) as refused:
        limits.take_try("a@example.test", network=HOME, device=None)
    cache.clear()

    limits.take_try("a@example.test", network=HOME, device=None)

    assert refused.value.seconds <= limits.ADDRESS_FROM_NETWORK.seconds


def test_waiting_for_one_address_uses_up_nothing_of_the_network():
    for _ in range(limits.NETWORK.tries * 2):
        try:
            limits.take_try("a@example.test", network=HOME, device=None)
        except TooManyTries:
            continue

    limits.take_try("b@example.test", network=HOME, device=None)


def test_tries_at_the_confirmation_page_are_limited_too(person, signed_in):
    browser = signed_in(person)

    answers = [browser.post(reverse("account_reauthenticate"), {"password": f"guess {n}"}) for n in range(7)]

    assert [answer.status_code for answer in answers] == [200] * 5 + [429] * 2
