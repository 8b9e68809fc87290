"""What in a document breaks the schema: the keywords that ours uses, each fault with its JSON pointer (RFC 6901)."""

import re
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from programs.domain.exchange.schema import Schema
from programs.errors import Fault


class JsonObject(dict[str, Any]):
    """An object as it was read, with the names that stood in it twice."""

    repeated: tuple[str, ...] = ()


def pointer(*parts: object) -> str:
    return "".join("/" + str(part).replace("~", "~0").replace("/", "~1") for part in parts)


def shown(value: object) -> str:
    """A piece of a file that may go into a page: short, and free of what cannot be written."""
    text = str(value)
    text = text if len(text) <= 40 else text[:39] + "…"
    return text.encode("utf-8", "backslashreplace").decode().replace("\0", "\\0")


def faults_of(value: Any, schema: Schema, at: str = "") -> Iterator[Fault]:
    """Everything in `value` that the schema does not allow, in reading order."""
    kind: str = schema["type"]
    if problem := _wrong_type(value, kind):
        yield Fault(at, problem)
        return
    checks: dict[str, Callable[[Any, Schema, str], Iterator[Fault]]] = {
        "object": _object_faults,
        "array": _array_faults,
        "string": _text_faults,
        "integer": _number_faults,
        "number": _number_faults,
    }
    if kind in checks:
        yield from checks[kind](value, schema, at)


def _wrong_type(value: Any, kind: str) -> str:
    is_number = isinstance(value, (int, Decimal)) and not isinstance(value, bool)
    is_right = {
        "object": isinstance(value, dict),
        "array": isinstance(value, list),
        "string": isinstance(value, str),
        "boolean": isinstance(value, bool),
        "number": is_number,
        "integer": is_number and value == Decimal(value).to_integral_value(),
    }
    words = {
        "object": _("An object in braces belongs here."),
        "array": _("A list in brackets belongs here."),
        "string": _("A text belongs here."),
        "boolean": _("True or false belongs here (yes or no in a table)."),
        "number": _("A number with a decimal point belongs here, such as 22.5."),
        "integer": _("A whole number belongs here."),
    }
    return "" if is_right[kind] else words[kind]


def _object_faults(value: dict[str, Any], schema: Schema, at: str) -> Iterator[Fault]:
    for name in getattr(value, "repeated", ()):
        yield Fault(at + pointer(shown(name)), _("This name stands here twice. Keep one."))
    for name in schema["required"]:
        if name not in value:
            yield Fault(at, _("“%(name)s” is missing. Add it.") % {"name": name})
    for name, needed in schema.get("dependentRequired", {}).items():
        for other in needed:
            if name in value and other not in value:
                yield Fault(at, _("“%(name)s” needs “%(other)s” beside it. Add it.") % {"name": name, "other": other})
    for name, inner in value.items():
        if name in schema["properties"]:
            yield from faults_of(inner, schema["properties"][name], at + pointer(name))
        else:
            yield Fault(at + pointer(shown(name)), _("This name is not part of the format. Remove it."))


def _array_faults(value: list[Any], schema: Schema, at: str) -> Iterator[Fault]:
    if not schema["minItems"] <= len(value) <= schema["maxItems"]:
        limits = {"least": schema["minItems"], "most": schema["maxItems"], "number": len(value)}
        yield Fault(at, _("From %(least)d to %(most)d entries belong here; these are %(number)d.") % limits)
        return
    for place, inner in enumerate(value):
        yield from faults_of(inner, schema["items"], at + pointer(place))


def _text_faults(value: str, schema: Schema, at: str) -> Iterator[Fault]:
    if "\0" in value or not _is_unicode(value):
        yield Fault(at, _("There is a sign in it that is no text. Remove it."))
    elif "const" in schema and value != schema["const"]:
        yield Fault(at, _("This has to be “%(needed)s”.") % {"needed": schema["const"]})
    elif "enum" in schema and value not in schema["enum"]:
        told = {"found": shown(value), "choices": ", ".join(schema["enum"])}
        yield Fault(at, _("“%(found)s” is none of: %(choices)s.") % told)
    elif len(value) < schema.get("minLength", 0):
        yield Fault(at, _("This is empty. Fill it in, or leave it out."))
    elif len(value) > schema.get("maxLength", len(value)):
        yield Fault(at, _("Too long: %(most)d signs at most.") % {"most": schema["maxLength"]})
    elif "pattern" in schema and not re.search(schema["pattern"].replace("$", r"\Z"), value):
        yield Fault(at, _("“%(found)s” is not written as it should be.") % {"found": shown(value)})


def _is_unicode(text: str) -> bool:
    """False for half a surrogate pair, which JSON can spell and nothing can store."""
    return not any("\ud800" <= sign <= "\udfff" for sign in text)


def _number_faults(value: int | Decimal, schema: Schema, at: str) -> Iterator[Fault]:
    if "const" in schema:
        if value != schema["const"]:
            yield Fault(at, _("This has to be %(needed)s.") % {"needed": schema["const"]})
    elif not schema["minimum"] <= value <= schema["maximum"]:
        limits = {"least": schema["minimum"], "most": schema["maximum"]}
        yield Fault(at, _("Between %(least)d and %(most)d.") % limits)
    elif value == schema.get("exclusiveMinimum"):
        yield Fault(at, _("More than %(least)d.") % {"least": schema["exclusiveMinimum"]})
    elif Decimal(value).quantize(Decimal(1).scaleb(-schema.get("decimals", 0))) != value:
        yield Fault(at, _("%(most)d decimals at most.") % {"most": schema.get("decimals", 0)})
