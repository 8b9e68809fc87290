"""What a device tells: one entry, read into plain values or refused field by field."""

import datetime
import hashlib
import json
import zoneinfo
from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from typing import Any, ClassVar

from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext_lazy as _
from rest_framework import serializers

from clients.choices import Area, MassUnit, Side, SinceWhen
from programs.choices import Grip, LoggedSide, Outcome, SetKind, SkipReason
from programs.errors import EntryRefused

UNKNOWN = _("This is not known here.")
NOT_A_CHOICE = _("This is not one of the choices.")
# Before this no phone can have logged anything here; a clock that says so is wrong.
EARLIEST = datetime.datetime(2020, 1, 1, tzinfo=datetime.UTC)
CLOCK_LEEWAY = datetime.timedelta(days=1)
CLOCK_FIELDS = frozenset({"device_at", "time_zone"})

Told = dict[str, Any]


class IdField(serializers.UUIDField):
    def to_internal_value(self, data: Any) -> Any:
        if not isinstance(data, str):
            self.fail("invalid", value="")
        return super().to_internal_value(data)


class InstantField(serializers.Field):
    """A time with its offset. One without would be a guess about where the phone was."""

    def to_internal_value(self, data: Any) -> datetime.datetime:
        instant = _instant(data)
        if instant is None:
            raise serializers.ValidationError(_("Write a time with its offset, like 2026-03-04T18:30:00+01:00."))
        if not EARLIEST <= instant <= self.context["at"] + CLOCK_LEEWAY:
            raise serializers.ValidationError(_("This time cannot be right. Please check the clock of the phone."))
        return instant


def _instant(data: Any) -> datetime.datetime | None:
    try:
        instant = parse_datetime(data) if isinstance(data, str) else None
        return None if instant is None or instant.tzinfo is None else instant.astimezone(datetime.UTC)
    except (ValueError, OverflowError):
        return None


class ZoneField(serializers.Field):
    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str) or data not in _zones():
            raise serializers.ValidationError(_("This time zone is not known."))
        return data


@cache
def _zones() -> frozenset[str]:
    return frozenset(zoneinfo.available_timezones())


class WordField(serializers.ChoiceField):
    # The usual message repeats what was sent, which may be anything.
    default_error_messages: ClassVar[dict[str, Any]] = {"invalid_choice": NOT_A_CHOICE}


def _mass(**kwargs: Any) -> serializers.DecimalField:
    return serializers.DecimalField(max_digits=6, decimal_places=2, min_value=Decimal(0), required=False, **kwargs)


class EntrySerializer(serializers.Serializer):
    """What every entry has. Fields that nobody knows are left alone, so that a newer phone can talk to us."""

    uuid = IdField()
    replaces = IdField(required=False)
    withdrawn = serializers.BooleanField(default=False)
    device_at = InstantField()
    time_zone = ZoneField()

    content_fields: ClassVar[tuple[str, ...]] = ()

    def validate(self, told: Told) -> Told:
        if not told["withdrawn"]:
            self.check_content(told)
        elif "replaces" not in told:
            raise serializers.ValidationError({"replaces": _("Say which entry is taken back.")})
        return told

    def check_content(self, told: Told) -> None:
        missing = {name: _("This is needed.") for name in self.content_fields if name not in told}
        if missing:
            raise serializers.ValidationError(missing)


class SetSerializer(EntrySerializer):
    scheduled = IdField()
    prescription = IdField(required=False)
    movement = IdField(required=False)
    set_kind = WordField(SetKind.choices, required=False)
    number = serializers.IntegerField(min_value=1, max_value=50, required=False)
    side = WordField(LoggedSide.choices, default=LoggedSide.BOTH)
    repetitions = serializers.IntegerField(min_value=0, max_value=1000, required=False)
    seconds = serializers.IntegerField(min_value=0, max_value=7200, required=False)
    metres = serializers.DecimalField(max_digits=7, decimal_places=2, min_value=Decimal(0), required=False)
    load = _mass()
    load_unit = WordField(MassUnit.choices, required=False)
    assistance = _mass()
    assistance_kg = serializers.DecimalField(max_digits=8, decimal_places=3, min_value=Decimal(0), required=False)
    grip = WordField(Grip.choices, default=Grip.UNSET)
    rir = serializers.DecimalField(
        max_digits=3, decimal_places=1, min_value=Decimal(0), max_value=Decimal(10), required=False
    )
    place = IdField(required=False)

    content_fields = ("prescription", "number")

    def check_content(self, told: Told) -> None:
        super().check_content(told)
        if ("load" in told or "assistance" in told) and "load_unit" not in told:
            raise serializers.ValidationError({"load_unit": _("Say whether this is kg or lb.")})
        if "assistance" in told and "assistance_kg" in told:
            raise serializers.ValidationError({"assistance": _("Give the help once, not twice.")})


class SessionSerializer(EntrySerializer):
    scheduled = IdField()
    outcome = WordField(Outcome.choices, required=False)
    skip_reason = WordField(SkipReason.choices, default="")
    session_rpe = serializers.IntegerField(min_value=0, max_value=10, required=False)
    minutes = serializers.IntegerField(min_value=1, max_value=600, required=False)
    anything_hurt = serializers.BooleanField(required=False)
    note = serializers.CharField(max_length=1000, default="")
    place = IdField(required=False)

    content_fields = ("outcome",)

    def check_content(self, told: Told) -> None:
        super().check_content(told)
        if told["outcome"] == Outcome.SKIPPED and not told["skip_reason"]:
            raise serializers.ValidationError({"skip_reason": _("Please say why.")})


class PainSerializer(EntrySerializer):
    scheduled = IdField(required=False)
    prescription = IdField(required=False)
    area = WordField(Area.choices, required=False)
    side = WordField(Side.choices, required=False)
    during = serializers.IntegerField(min_value=0, max_value=10, required=False)
    after = serializers.IntegerField(min_value=0, max_value=10, required=False)
    since = WordField(SinceWhen.choices, required=False)
    after_blow = serializers.BooleanField(required=False)
    pin_point = serializers.BooleanField(required=False)
    note = serializers.CharField(max_length=1000, default="")
    told_in = IdField(required=False)

    content_fields = ("area", "side", "during")

    def validate(self, told: Told) -> Told:
        if told["withdrawn"]:
            message = _("A pain report is corrected, not taken back: send it again with 0.")
            raise serializers.ValidationError({"withdrawn": message})
        return super().validate(told)


SERIALIZERS: dict[str, type[EntrySerializer]] = {
    "set": SetSerializer,
    "session": SessionSerializer,
    "pain": PainSerializer,
}


class EntryReader:
    """Reads the entries of one moment. A serializer copies all its fields when it is made: once a batch is enough."""

    def __init__(self, *, at: datetime.datetime) -> None:
        self._serializers = {kind: made(context={"at": at}) for kind, made in SERIALIZERS.items()}

    def read(self, raw: object) -> Told:
        """The entry as plain values with its kind, or EntryRefused with a message for each field.

        Empty fields count as left out: a form sends them, a device does not.
        """
        if not isinstance(raw, Mapping):
            raise EntryRefused({"__all__": [_("This is not an entry.")]})
        filled = {name: value for name, value in raw.items() if value is not None and value != ""}
        kind = filled.get("kind")
        if not isinstance(kind, str) or kind not in self._serializers:
            raise EntryRefused({"kind": [NOT_A_CHOICE]})
        try:
            told = self._serializers[kind].run_validation(filled)
        except serializers.ValidationError as refused:
            raise EntryRefused(_flat(refused.detail)) from refused
        return {"kind": kind, **told}


def _flat(errors: Any) -> dict[str, list[str]]:
    return {
        "__all__" if field == "non_field_errors" else field: [str(message) for message in messages]
        for field, messages in errors.items()
    }


def content_sha256(told: Told) -> str:
    """Hash of what was said. The clock stays out: a form that is sent twice reads it twice."""
    said = {name: value for name, value in told.items() if name not in CLOCK_FIELDS}
    return hashlib.sha256(json.dumps(said, sort_keys=True, default=str).encode()).hexdigest()
