"""Which passwords are taken, and that one is the same on every keyboard."""

import time

import pytest
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from clients.domain.passwords import refuse_known_words
from clients.models import User
from tests import factories as f

ADA = User(name="Ada Kestrel", email="ada.kestrel@ridge.example")

REFUSED = {
    "fourteen chars": "too_short",
    "x" * 513: "too_long",
    "passwordpassword": "too_common",
    "123456789012345": "too_common",
    "543210987654321": "too_common",
    "abcdefghijklmnop": "too_common",
    "qwertyuiopasdfgh": "too_common",
    "aaaaaaaaaaaaaaaa": "too_common",
    "abcabcabcabcabcab": "too_common",
    "Monkey1Monkey1Monkey1": "too_common",
    "ada.kestrel.2026": "known_words",
    "AdaKestrel!!2026": "known_words",
    "purlin-purlin-24-purlin": "known_words",
    "Purlin Password 2026": "known_words",
    "kestrel@ridge.example": "known_words",
}
TAKEN = [
    "rings hang from the beam",
    "exactly15 chars",
    "x9" * 4 + " and then some words",
    "wo die Ringe hängen, da üben wir",
    "🦉🪵🧗🏔️🌧️ eine Eule im Gebälk 🦉",
    "كلمة مرور طويلة جدا للتجربة",
    "under the old bridge" + " and over the hill" * 12,
    "Kestrels nest where nobody climbs up",
    "               spaces count too     ",
]


@pytest.mark.parametrize(("password", "reason"), REFUSED.items())
def test_password_that_others_would_try_is_refused(password, reason):
    with pytest.raises(ValidationError) as refused:
        validate_password(password, ADA)

    assert refused.value.error_list[0].code.endswith(reason)


@pytest.mark.parametrize("password", TAKEN)
def test_long_password_of_any_characters_is_taken(password):
    validate_password(password, ADA)


def test_word_of_the_practice_is_known_to_strangers():
    with pytest.raises(ValidationError):
        refuse_known_words("ridge row 20262026", ["Ridge Row"])


@pytest.mark.django_db
def test_practice_of_a_member_is_among_the_known_words():
    member = f.MembershipFactory(practice__name="Ridge Row Strength")

    with pytest.raises(ValidationError):
        validate_password("ridgerowstrength99", member.user)


@pytest.mark.django_db
def test_password_is_the_same_when_a_keyboard_composes_it_otherwise():
    composed, apart = "ein schönes Geländer", "ein scho\u0308nes Gela\u0308nder"
    user = f.UserFactory(password=composed)

    assert user.check_password(apart)


@pytest.mark.django_db
def test_password_kept_as_it_was_typed_before_still_opens():
    apart = "ein scho\u0308nes Gela\u0308nder"
    user = f.UserFactory()
    super(User, user).set_password(apart)

    assert user.check_password(apart)


def test_longest_hostile_password_is_judged_at_once():
    began = time.perf_counter()

    with pytest.raises(ValidationError):
        validate_password("ab" * 100_000 + "c", ADA)

    assert time.perf_counter() - began < 2
