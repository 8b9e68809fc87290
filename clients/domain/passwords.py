"""Which passwords are refused (NIST SP 800-63B-4, 3.1.1.2): short ones, and what everybody, or a stranger, would try.

Nothing is asked about kinds of characters. docs/decisions/accounts.md says how the standard was read.
"""

import re
import unicodedata
from collections.abc import Iterable

from django.contrib.auth.password_validation import CommonPasswordValidator
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clients.models import Client, Membership, User

SHORTEST = 15
# Far above the 64 that have to be possible; hashing a megabyte is somebody else's time.
LONGEST = 512
# What has to be left when the words are taken away that a stranger knows.
OWN_CHARACTERS = 8
SHORTEST_WORD = 3
PRODUCT_WORDS = ["purlin", "password", "passphrase"]
ROWS = ["0123456789", "1234567890", "abcdefghijklmnopqrstuvwxyz", "qwertyuiopasdfghjklzxcvbnm", "qazwsxedcrfvtgbyhnujm"]
NOT_LETTERS = re.compile(r"[\W\d_]+")


class LengthValidator:
    """As Django's for the shortest, and with a longest. Counted as the standard does: in Unicode code points."""

    def validate(self, password: str, user: User | None = None) -> None:
        if len(password) < SHORTEST:
            raise ValidationError(
                ngettext(
                    "This password is too short: %(have)d character, and it needs at least %(need)d.",
                    "This password is too short: %(have)d characters, and it needs at least %(need)d.",
                    len(password),
                )
                % {"have": len(password), "need": SHORTEST},
                code="password_too_short",
            )
        if len(password) > LONGEST:
            raise ValidationError(
                _("This password is longer than %(most)d characters.") % {"most": LONGEST}, code="password_too_long"
            )

    def get_help_text(self) -> str:
        return _("At least %(need)d characters. A few words in a row are easy to remember.") % {"need": SHORTEST}


class EverybodysPasswordValidator(CommonPasswordValidator):
    """The list that ships with Django, also of passwords that only repeat one of it, or a row of keys."""

    def validate(self, password: str, user: User | None = None) -> None:
        if len(password) > LONGEST:
            # Refused already; to look for repetitions in a megabyte would take minutes.
            return
        folded = password.casefold().strip()
        repeated = _shortest_repeated(folded)
        is_a_row = any(repeated in (row * 2) or repeated[::-1] in (row * 2) for row in ROWS)
        is_short = len(repeated) < min(OWN_CHARACTERS, len(folded))
        if folded in self.passwords or repeated in self.passwords or is_a_row or is_short:
            raise ValidationError(
                _("Many people use this password, or one that repeats a little. Choose another one."),
                code="password_too_common",
            )

    def get_help_text(self) -> str:
        return _("Not one that many people use.")


class KnownWordsValidator:
    """Refuses passwords made of the person's and the practice's names, their address, and the product's own words."""

    def validate(self, password: str, user: User | None = None) -> None:
        refuse_known_words(password, words_about(user) if user is not None else [])

    def get_help_text(self) -> str:
        return _("Not made of your name, your address or the practice's name.")


def refuse_known_words(password: str, told: Iterable[str]) -> None:
    """`told` is what a stranger may know: names and addresses, as they are written. Raises ValidationError."""
    left = _plain(password)
    for word in sorted(_words([*told, *PRODUCT_WORDS]), key=len, reverse=True):
        left = left.replace(word, "")
    # Digits and marks around a name are the first that is tried.
    if len(_plain(password)) != len(left) and len(NOT_LETTERS.sub("", left)) < OWN_CHARACTERS:
        raise ValidationError(
            _("This password is made of names that others know. Choose words that nobody connects with you."),
            code="password_of_known_words",
        )


def words_about(user: User) -> list[str]:
    """What a stranger can find out about a person: name, address, and the practices they belong to."""
    told = [user.name, user.email]
    if user.pk is not None:
        told += Membership.objects.filter(user=user).values_list("practice__name", flat=True)
        told += Client.objects.filter(user=user).values_list("practice__name", flat=True)
    return told


def _words(told: Iterable[str]) -> set[str]:
    parts = {part for text in told for part in NOT_LETTERS.split(_plain(text))}
    return {part for part in parts if len(part) >= SHORTEST_WORD}


def _plain(text: str) -> str:
    """Without case and accents, as people try them."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(character for character in apart if not unicodedata.combining(character))


def _shortest_repeated(text: str) -> str:
    """The part that the whole text repeats; the text itself when it repeats nothing."""
    for length in range(1, len(text) // 2 + 1):
        part = text[:length]
        if (part * (len(text) // length + 1))[: len(text)] == text:
            return part
    return text
