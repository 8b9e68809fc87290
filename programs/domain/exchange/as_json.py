"""A block document as JSON (RFC 8259), and back without guessing."""

import json
from collections import Counter
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from programs.domain.exchange.validating import JsonObject
from programs.errors import BlockFileRefused, Fault

# Numbers longer than this are outside every range here.
MOST_DIGITS = 20


class _NotANumber:
    """NaN and infinities: many programs write them, JSON has no such thing."""


def to_json(document: Mapping[str, Any]) -> bytes:
    return (json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode()


def from_json(text: str) -> Any:
    """Read a document. Raises BlockFileRefused with the line where it stops being JSON."""
    try:
        return json.loads(
            text,
            parse_float=_decimal,
            parse_int=_whole,
            parse_constant=lambda _word: _NotANumber(),
            object_pairs_hook=_object,
        )
    except json.JSONDecodeError as broken:
        place = _("line %(line)d, column %(column)d") % {"line": broken.lineno, "column": broken.colno}
        reason = _("This is not JSON: %(why)s. Export the block once more, or correct the line.") % {"why": broken.msg}
        raise BlockFileRefused([Fault(place, reason)]) from None
    except RecursionError:
        reason = _("Lists and objects stand in each other far too deep. A block has six levels.")
        raise BlockFileRefused([Fault(_("the file"), reason)]) from None


def _decimal(text: str) -> Decimal:
    """Exact. What no decimal can hold is out of every range, and is told as that."""
    try:
        return Decimal(text)
    except ArithmeticError:
        return Decimal("-Infinity" if text.startswith("-") else "Infinity")


def _whole(text: str) -> int | Decimal:
    return int(text) if len(text) <= MOST_DIGITS else _decimal(text)


def _object(pairs: list[tuple[str, Any]]) -> JsonObject:
    found = JsonObject(pairs)
    if len(found) < len(pairs):
        times = Counter(name for name, _value in pairs)
        found.repeated = tuple(name for name in found if times[name] > 1)
    return found
