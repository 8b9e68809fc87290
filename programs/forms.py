"""Forms of the training room: blocks, and a session as one form of compact rows."""

import re
from decimal import Decimal
from itertools import zip_longest
from typing import TYPE_CHECKING, Any, cast

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.choices import Area, ItemKind, MassUnit, Weekday
from methods.units import kg_from
from methods.volume import parse_tempo
from programs.choices import Grip, LoadKind, Measure, Muscle, Pattern, RepScheme, SectionKind, SetKind, ShareBasis
from programs.domain.building import Row
from programs.domain.dosing import plain
from programs.library.schema import SCORED_BY_SHARE
from programs.models import Block, MovementRevision

MAX_ROWS = 40
MAX_LOAD = Decimal(1000)
MAX_AMOUNT = 3600
_AMOUNT = re.compile(r"(\d{1,4})\s*(?:[-–]\s*(\d{1,4}))?")
_LOAD = re.compile(r"(\d{1,4}(?:[.,]\d{1,2})?)\s*(kg|lb)?", re.IGNORECASE)


class BlockForm(forms.Form):
    title = forms.CharField(label=_("Name"), max_length=120)
    starts_on = forms.DateField(
        label=_("First week"),
        widget=forms.DateInput(attrs={"type": "date"}),
        help_text=_("Any day of it; weeks run from Monday to Sunday."),
    )
    weeks = forms.IntegerField(label=_("Weeks"), min_value=1, max_value=16, initial=4)
    message = forms.CharField(
        label=_("What changes, and why"),
        widget=forms.Textarea(attrs={"rows": 4}),
        max_length=4000,
        required=False,
        help_text=_("The client reads this first."),
    )


class SessionForm(forms.Form):
    name = forms.CharField(label=_("Session"), max_length=120)
    weekday = forms.TypedChoiceField(label=_("Day"), choices=Weekday.choices, coerce=int)


class NewSessionForm(SessionForm):
    week = forms.IntegerField(label=_("Week"), min_value=1, max_value=16, initial=1)


class PublishForm(forms.Form):
    first_day = forms.DateField(
        label=_("First day"),
        widget=forms.DateInput(attrs={"type": "date"}),
        help_text=_(
            "Sessions before this day are left out. Earlier sessions that nobody touched give way from then on."
        ),
    )
    protected_because = forms.CharField(
        label=_("Why an area to protect is stressed"),
        help_text=_("Needed where a movement stresses one. It is kept with the block, and the client can have it."),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class SearchForm(forms.Form):
    q = forms.CharField(required=False)
    client = forms.UUIDField(required=False)


class VersionForm(forms.Form):
    version = forms.IntegerField(min_value=0, widget=forms.HiddenInput)


class AmountField(forms.CharField):
    """Reps, seconds or metres as one number or as a range: "5", "8-12"."""

    def clean(self, value: Any) -> tuple[int, int]:
        text = super().clean(value).strip()
        match = _AMOUNT.fullmatch(text)
        if match is None:
            raise forms.ValidationError(_("A number, or a range such as 8-12."))
        low = int(match[1])
        high = int(match[2] or low)
        if low > high:
            raise forms.ValidationError(_("The lower number comes first."))
        if not 1 <= low <= high <= MAX_AMOUNT:
            raise forms.ValidationError(_("Between 1 and %(most)d.") % {"most": MAX_AMOUNT})
        return low, high


class LoadField(forms.CharField):
    """A mass as typed, with its unit or in the client's: "20", "22,5 kg", "45 lb"."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, max_length=20, **kwargs)
        self.default_unit = MassUnit.KG.value

    def clean(self, value: Any) -> tuple[Decimal, str] | None:
        text = super().clean(value).strip()
        if not text:
            return None
        match = _LOAD.fullmatch(text)
        if match is None:
            raise forms.ValidationError(_("A number with kg or lb, such as 20 kg."))
        entered = Decimal(match[1].replace(",", "."))
        if entered > MAX_LOAD:
            raise forms.ValidationError(_("At most %(most)d.") % {"most": MAX_LOAD})
        return entered, (match[2] or self.default_unit).lower()


class TempoField(forms.CharField):
    def clean(self, value: Any) -> str:
        text = super().clean(value).strip().upper().replace("/", "-")
        if not text:
            return ""
        try:
            parse_tempo(text)
        except ValueError:
            raise forms.ValidationError(
                _("Four numbers of seconds: lowering, bottom, lifting, top. X lifts fast: 3-1-X-0.")
            ) from None
        return text


class EffortField(forms.DecimalField):
    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, min_value=0, max_value=10, max_digits=3, decimal_places=1, **kwargs)


class RowForm(forms.Form):
    """One prescription in one line. What is rarely needed stands behind "More"."""

    lineage = forms.UUIDField(required=False, widget=forms.HiddenInput)
    movement = forms.CharField(label=_("Movement"), max_length=120)
    section = forms.ChoiceField(label=_("Section"), choices=SectionKind.choices, initial=SectionKind.STRENGTH)
    sets = forms.IntegerField(label=_("Sets"), min_value=1, max_value=20, initial=3)
    amount = AmountField(label=_("Amount"), max_length=11, initial="8-12")
    load = LoadField(label=_("Load"))
    rir = EffortField(label=_("RIR"))
    rpe = EffortField(label=_("RPE"))
    rest_s = forms.IntegerField(label=_("Rest, s"), min_value=0, max_value=1200, initial=90)
    paired = forms.BooleanField(label=_("Pair with the next"), required=False)
    kind = forms.ChoiceField(label=_("Kind of set"), choices=SetKind.choices, initial=SetKind.WORK)
    tempo = TempoField(label=_("Tempo"), max_length=12, required=False)
    help = LoadField(label=_("Help from a band or foot"))
    grip = forms.ChoiceField(label=_("Grip"), choices=Grip.choices, required=False)
    same = forms.BooleanField(label=_("The same reps every set"), required=False)
    per_side = forms.BooleanField(label=_("Each side"), required=False)
    cue = forms.CharField(label=_("Cue for this client"), max_length=300, required=False)
    change_reason = forms.CharField(label=_("Why it changes (the client reads it)"), max_length=500, required=False)

    main_fields = ("section", "sets", "amount", "load", "rir", "rpe", "rest_s")
    more_fields = ("kind", "tempo", "help", "grip", "same", "per_side", "cue", "change_reason")
    _numeric = ("sets", "rest_s")

    def __init__(self, *args: Any, movements: dict[str, MovementRevision], unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.movements = movements
        self.fields["movement"].widget.attrs |= {"list": "movement-names", "autocomplete": "off"}
        for name in ("load", "help"):
            self.fields[name].default_unit = unit  # type: ignore[attr-defined]
        for name in self._numeric:
            self.fields[name].widget.attrs["inputmode"] = "numeric"

    @property
    def main(self) -> list[forms.BoundField]:
        return [self[name] for name in self.main_fields]

    @property
    def more(self) -> list[forms.BoundField]:
        return [self[name] for name in self.more_fields]

    @property
    def has_more(self) -> bool:
        """Whether something behind "More" is filled in or wrong."""
        defaults = {None, "", False, SetKind.WORK.value}
        return any(field.value() not in defaults or field.errors for field in self.more)

    @property
    def wrong_fields(self) -> list[forms.BoundField]:
        return [field for field in self if field.errors]

    def has_changed(self) -> bool:
        """A row that only has a place, and no content, is a blank one."""
        return bool(set(self.changed_data) - {"section", "ORDER"})

    def clean_movement(self) -> MovementRevision:
        name = self.cleaned_data["movement"].strip().lower()
        if name not in self.movements:
            raise forms.ValidationError(_("There is no movement of this name. Choose one from the list."))
        return self.movements[name]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("rir") is not None and data.get("rpe") is not None:
            self.add_error("rpe", _("Either RIR or RPE, not both."))
        if data.get("load") and data.get("help"):
            self.add_error("help", _("Either load or help, not both."))
        return data

    def row(self) -> Row:
        data = self.cleaned_data
        movement: MovementRevision = data["movement"]
        entered, unit = data["load"] or (None, "")
        return Row(
            movement=movement,
            section=data["section"],
            paired=data["paired"],
            lineage=data["lineage"],
            kind=data["kind"],
            sets=data["sets"],
            amount_low=data["amount"][0],
            amount_high=data["amount"][1],
            scheme=RepScheme.SAME_EVERY_SET if data["same"] else RepScheme.RANGE,
            per_side=data["per_side"] or movement.one_sided,
            rest_s=data["rest_s"],
            tempo=data["tempo"],
            target_rir=data["rir"],
            target_rpe=data["rpe"],
            load_entered=entered,
            load_unit=unit,
            load_kg=None if entered is None else kg_from(entered, unit),
            assistance_kg=None if data["help"] is None else kg_from(*data["help"]),
            grip=data["grip"],
            cue=data["cue"],
            change_reason=data["change_reason"],
        )


def initial_of(row: Row) -> dict[str, Any]:
    """What the row's form shows."""
    span = f"{row.amount_low}" if row.amount_low == row.amount_high else f"{row.amount_low}-{row.amount_high}"
    return {
        "lineage": row.lineage,
        "movement": row.movement.name,
        "section": row.section,
        "sets": row.sets,
        "amount": span,
        "load": "" if row.load_entered is None else f"{plain(row.load_entered)} {row.load_unit}",
        "rir": plain(row.target_rir),
        "rpe": plain(row.target_rpe),
        "rest_s": row.rest_s,
        "paired": row.paired,
        "kind": row.kind,
        "tempo": row.tempo,
        "help": "" if row.assistance_kg is None else f"{plain(row.assistance_kg)} kg",
        "grip": row.grip,
        "same": row.scheme == RepScheme.SAME_EVERY_SET,
        "per_side": row.per_side,
        "cue": row.cue,
        "change_reason": row.change_reason,
    }


if TYPE_CHECKING:
    _Base = forms.BaseFormSet[RowForm]
else:  # not subscriptable at run time
    _Base = forms.BaseFormSet


class BaseRowFormSet(_Base):
    def clean(self) -> None:
        if any(self.errors) or not self.management_form.is_valid():
            return
        if self.total_form_count() < self.initial_form_count():
            raise forms.ValidationError(_("Some rows did not arrive. Nothing was changed; send it again."))
        kept = self.ordered_forms
        for form, following in zip_longest(kept, kept[1:]):
            if form.cleaned_data["paired"] and (problem := _pairing_problem(form, following)):
                form.add_error("paired", problem)

    def add_fields(self, form: RowForm, index: int | None) -> None:
        super().add_fields(form, index)
        form.fields["ORDER"].label = _("Place")
        form.fields["DELETE"].label = _("Remove")

    @property
    def in_order(self) -> list[RowForm]:
        """The forms as they were arranged on the page, also when something in them is wrong."""
        return sorted(self.forms, key=lambda form: _place(form["ORDER"].value()))

    def rows(self) -> list[Row]:
        return [form.row() for form in self.ordered_forms]

    def finished_rows(self) -> list[Row]:
        """Rows that are complete so far, while someone is still typing."""
        self.is_valid()
        typed = [form for form in self.in_order if form.has_changed() and form.is_valid()]
        return [form.row() for form in typed if not form.cleaned_data.get("DELETE")]


def _place(value: Any) -> float:
    try:
        return float(value)
    except (TypeError, ValueError):
        return float("inf")


def _pairing_problem(form: RowForm, following: RowForm | None) -> Any:
    if following is None or following.cleaned_data["section"] != form.cleaned_data["section"]:
        return _("A pair needs a next row in the same section.")
    if following.cleaned_data["paired"]:
        return _("A pair is two movements: the next row is paired already.")
    return None


RowFormSet = forms.formset_factory(
    RowForm,
    formset=BaseRowFormSet,
    extra=1,
    can_order=True,
    can_delete=True,
    max_num=MAX_ROWS,
    validate_max=True,
    absolute_max=MAX_ROWS + 10,
)


def row_formset(data: Any, rows: list[Row], *, movements: dict[str, MovementRevision], unit: str) -> BaseRowFormSet:
    initial = [initial_of(row) for row in rows]
    kwargs = {"movements": movements, "unit": unit}
    return cast("BaseRowFormSet", RowFormSet(data, initial=initial, prefix="rows", form_kwargs=kwargs))


def initial_of_block(block: Block) -> dict[str, Any]:
    return {name: getattr(block, name) for name in ("title", "starts_on", "weeks", "message")}


class InsteadForm(forms.Form):
    """What somebody wants in place of a prescription, and what is not there today."""

    want = forms.ChoiceField(
        label=_("What are you looking for?"),
        choices=[
            ("nearest", _("The nearest that is possible")),
            ("easier", _("Easier")),
            ("harder", _("One step harder")),
        ],
        widget=forms.RadioSelect,
        required=False,
    )
    without = forms.MultipleChoiceField(label=_("Not there today"), widget=forms.CheckboxSelectMultiple, required=False)

    def __init__(self, *args: Any, things: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["want"].initial = "nearest"
        self.fields["without"].choices = things  # type: ignore[attr-defined]
        if not things:
            del self.fields["without"]

    @property
    def wanted(self) -> str:
        return (self.is_bound and self.is_valid() and self.cleaned_data["want"]) or "nearest"

    @property
    def without_things(self) -> list[str]:
        return (self.is_bound and self.is_valid() and self.cleaned_data.get("without")) or []


WAYS = 3


class MovementForm(forms.Form):
    """A practice's own movement. Areas are wanted: without them no barred area would ever keep a client from it."""

    number = forms.IntegerField(min_value=0, initial=0, widget=forms.HiddenInput)
    name = forms.CharField(label=_("Name"), max_length=120)
    pattern = forms.ChoiceField(label=_("Pattern"), choices=Pattern.choices)
    measure = forms.ChoiceField(label=_("Counted in"), choices=Measure.choices)
    load_kind = forms.ChoiceField(label=_("Works against"), choices=LoadKind.choices)
    share_percent = forms.DecimalField(
        label=_("Share of body mass"),
        min_value=1,
        max_value=100,
        required=False,
        help_text=_("Only where the body is the load. It is kept as a guess."),
        widget=forms.NumberInput(attrs={"data-unit": _("%"), "inputmode": "decimal"}),
    )
    one_sided = forms.BooleanField(label=_("One side at a time"), required=False)
    vigorous = forms.BooleanField(
        label=_("Straining by nature"),
        required=False,
        help_text=_("All-out, head-down or jumping: only for clients whose screening allows vigorous effort."),
    )
    cues = forms.CharField(
        label=_("Cues"),
        widget=forms.Textarea(attrs={"rows": 3}),
        max_length=400,
        help_text=_("Two or three, one on each line. Name what is moved or reached for, not the muscle."),
    )
    set_up = forms.CharField(label=_("Set-up"), widget=forms.Textarea(attrs={"rows": 3}), max_length=1000)
    film_from = forms.CharField(label=_("How to film it"), max_length=200)
    main = forms.MultipleChoiceField(
        label=_("Muscles, wholly"), choices=Muscle.choices, widget=forms.CheckboxSelectMultiple
    )
    helping = forms.MultipleChoiceField(
        label=_("Muscles, half"), choices=Muscle.choices, widget=forms.CheckboxSelectMultiple, required=False
    )
    areas = forms.MultipleChoiceField(
        label=_("Areas it stresses"), choices=Area.choices, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for n in range(1, WAYS + 1):
            self.fields[f"way_{n}"] = forms.MultipleChoiceField(
                label=_("Needs all of these") if n == 1 else _("Or all of these"),
                choices=ItemKind.choices,
                widget=forms.CheckboxSelectMultiple,
                required=n == 1,
            )

    def clean_cues(self) -> list[str]:
        cues = [line.strip() for line in self.cleaned_data["cues"].splitlines() if line.strip()]
        if len(cues) not in {2, 3}:
            raise forms.ValidationError(_("Write two or three cues, each on its own line."))
        return cues

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        scored = data.get("load_kind") in SCORED_BY_SHARE
        if scored and data.get("share_percent") is None and "share_percent" not in self.errors:
            self.add_error("share_percent", _("Say which share of the body is moved; 100 where all of it hangs."))
        if data.get("load_kind") == LoadKind.BODY_FULL and data.get("share_percent") not in {None, 100}:
            self.add_error("share_percent", _("The whole body is 100."))
        return data

    def facts(self) -> dict[str, Any]:
        """What was said, as the columns of a revision."""
        data = self.cleaned_data
        scored = data["load_kind"] in SCORED_BY_SHARE
        kept = (
            "name",
            "pattern",
            "measure",
            "load_kind",
            "one_sided",
            "vigorous",
            "cues",
            "set_up",
            "film_from",
            "areas",
        )
        return {name: data[name] for name in kept} | {
            "share": data["share_percent"] / 100 if scored else None,
            "share_basis": ShareBasis.GUESS.value if scored else "",
            "share_source": "the practice's own figure" if scored else "",
            "equipment": [data[f"way_{n}"] for n in range(1, WAYS + 1) if data[f"way_{n}"]],
            "muscles": dict.fromkeys(data["helping"], 0.5) | dict.fromkeys(data["main"], 1),
        }


def movement_initial(revision: MovementRevision) -> dict[str, Any]:
    ways = {f"way_{n}": way for n, way in enumerate(revision.equipment or [[ItemKind.FLOOR.value]], 1)}
    return ways | {
        "name": revision.name,
        "pattern": revision.pattern,
        "measure": revision.measure,
        "load_kind": revision.load_kind,
        "share_percent": None if revision.share is None else plain(revision.share * 100),
        "one_sided": revision.one_sided,
        "vigorous": revision.vigorous,
        "cues": "\n".join(revision.cues),
        "set_up": revision.set_up,
        "film_from": revision.film_from,
        "main": [muscle for muscle, part in revision.muscles.items() if part == 1],
        "helping": [muscle for muscle, part in revision.muscles.items() if part != 1],
        "areas": revision.areas,
        "number": revision.number,
    }


class LineForm(forms.Form):
    version = forms.IntegerField(min_value=0, initial=0, widget=forms.HiddenInput)
    name = forms.CharField(label=_("Name of the line"), max_length=120)


class EdgeForm(forms.Form):
    """One step: from an easier movement to a harder one, by name. A row without names is left out."""

    easier = forms.CharField(
        label=_("Easier"), required=False, widget=forms.TextInput(attrs={"list": "movement-names"})
    )
    harder = forms.CharField(
        label=_("Harder"), required=False, widget=forms.TextInput(attrs={"list": "movement-names"})
    )
    sets = forms.IntegerField(label=_("Sets"), min_value=1, max_value=10, required=False)
    amount = forms.CharField(label=_("Reps or seconds"), max_length=9, required=False)
    target_rir = forms.IntegerField(label=_("In reserve"), min_value=2, max_value=6, required=False)
    reason = forms.CharField(label=_("Why it is harder"), max_length=300, required=False)

    def __init__(self, *args: Any, known: dict[str, MovementRevision], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.known = known

    def _movement(self, name: str) -> str:
        text = str(self.cleaned_data[name]).strip()
        if text and text.lower() not in self.known:
            raise forms.ValidationError(_("There is no movement of this name."))
        return text

    def clean_easier(self) -> str:
        return self._movement("easier")

    def clean_harder(self) -> str:
        return self._movement("harder")

    def clean_amount(self) -> tuple[int, int] | None:
        text = str(self.cleaned_data["amount"]).strip()
        match = _AMOUNT.fullmatch(text)
        if text and match is None:
            raise forms.ValidationError(_("Write a number or a range, such as 3-5."))
        return (int(match[1]), int(match[2] or match[1])) if match else None

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not self.errors and bool(data["easier"]) != bool(data["harder"]):
            self.add_error("harder" if data["easier"] else "easier", _("A step has two movements."))
        told = [data.get(name) is not None for name in ("sets", "amount", "target_rir")]
        if not self.errors and any(told) and not all(told):
            self.add_error("sets", _("An entry dose has sets, reps or seconds, and reps in reserve."))
        return data

    def dose(self) -> dict[str, int]:
        data = self.cleaned_data
        if data["amount"] is None:
            return {}
        low, high = data["amount"]
        return {"sets": data["sets"], "amount_low": low, "amount_high": high, "target_rir": data["target_rir"]}


EdgeFormSet = forms.formset_factory(EdgeForm, extra=4, max_num=60, validate_max=True)
