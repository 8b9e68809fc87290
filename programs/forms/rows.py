"""One prescription as a compact row of a form."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from methods.units import kg_from
from programs.choices import GroupKind, Measure, RepScheme, SectionKind, SetKind
from programs.domain.dosing import STEP_UNITS, plain, step_as_typed
from programs.domain.rows import Row
from programs.forms.fields import (
    PERCENT,
    AmountField,
    EffortField,
    GripField,
    LoadField,
    Step,
    StepField,
    TempoField,
)
from programs.models import MovementRevision

TOGETHER = [
    ("", _("As many as they are: alone, a pair, a circuit")),
    *((kind.value, kind.label) for kind in GroupKind if kind not in (GroupKind.SINGLE, GroupKind.PAIR)),
]


class RowForm(forms.Form):
    """One prescription in one line. What is rarely needed stands behind "More"."""

    lineage = forms.UUIDField(required=False, widget=forms.HiddenInput)
    movement = forms.CharField(label=_("Movement"), max_length=120)
    section = forms.ChoiceField(label=_("Section"), choices=SectionKind.choices, initial=SectionKind.STRENGTH)
    sets = forms.IntegerField(label=_("Sets"), min_value=1, max_value=20, initial=3)
    amount = AmountField(label=_("Amount"), max_length=11, initial="8-12")
    load = LoadField(label=_("Load"), takes_percent=True)
    rir = EffortField(label=_("RIR"))
    rpe = EffortField(label=_("RPE"), least=1)
    rest_s = forms.IntegerField(label=_("Rest, s"), min_value=0, max_value=1200, initial=90)
    joined = forms.BooleanField(label=_("Together with the next"), required=False)
    together = forms.ChoiceField(label=_("Done as"), choices=TOGETHER, required=False)
    minutes = forms.IntegerField(label=_("Minutes of rounds"), min_value=1, max_value=120, required=False)
    interval_s = forms.IntegerField(label=_("A set begins every, s"), min_value=10, max_value=1200, required=False)
    kind = forms.ChoiceField(label=_("Kind of set"), choices=SetKind.choices, initial=SetKind.WORK)
    tempo = TempoField(label=_("Tempo"), max_length=12, required=False)
    help = LoadField(label=_("Help from a band or foot"))
    grip = GripField(label=_("Grip"), max_length=60, required=False)
    cluster_reps = forms.IntegerField(label=_("Reps of each part"), min_value=1, max_value=3600, required=False)
    rest_within_s = forms.IntegerField(label=_("Rest between parts, s"), min_value=0, max_value=120, required=False)
    same = forms.BooleanField(label=_("The same reps every set"), required=False)
    per_side = forms.BooleanField(label=_("Each side"), required=False)
    step = StepField(label=_("Each week"), max_length=60, required=False)
    easier = forms.CharField(label=_("Easier option"), max_length=120, required=False)
    easier_below = forms.IntegerField(label=_("when below"), min_value=1, max_value=3600, required=False)
    harder = forms.CharField(label=_("Harder option"), max_length=120, required=False)
    harder_from = forms.IntegerField(label=_("when at least"), min_value=1, max_value=3600, required=False)
    and_or = forms.CharField(label=_("And / or"), max_length=200, required=False)
    cue = forms.CharField(label=_("Cue for this client"), max_length=300, required=False)
    change_reason = forms.CharField(label=_("Why it changes (the client reads it)"), max_length=500, required=False)

    main_fields = ("section", "sets", "amount", "load", "rir", "rpe", "rest_s")
    more_fields = (
        *("step", "kind", "tempo", "help", "grip", "same", "per_side", "cluster_reps", "rest_within_s"),
        *("easier", "easier_below", "harder", "harder_from", "and_or", "cue", "change_reason"),
        *("together", "minutes", "interval_s"),
    )
    _numeric = (
        "sets",
        "rest_s",
        "minutes",
        "interval_s",
        "cluster_reps",
        "rest_within_s",
        "easier_below",
        "harder_from",
    )

    # The rest a new row may have from the row before it.
    _makes_a_row = ("lineage", "movement", "load", "help", "easier", "harder", "and_or", "cue", "change_reason")

    def __init__(self, *args: Any, movements: dict[str, MovementRevision], unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.movements = movements
        for name in ("movement", "easier", "harder"):
            self.fields[name].widget.attrs |= {"list": "movement-names", "autocomplete": "off"}
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
        """A row without a movement is a blank one, unless it says what only a movement can have."""
        return any(str(self[name].value() or "").strip() for name in self._makes_a_row)

    def clean_movement(self) -> MovementRevision:
        return self._movement_called(self.cleaned_data["movement"])

    def clean_easier(self) -> MovementRevision | None:
        return self._movement_called(self.cleaned_data["easier"]) if self.cleaned_data["easier"].strip() else None

    def clean_harder(self) -> MovementRevision | None:
        return self._movement_called(self.cleaned_data["harder"]) if self.cleaned_data["harder"].strip() else None

    def _movement_called(self, typed: str) -> MovementRevision:
        """By its whole name, or by beginnings of its words when only one movement has them."""
        name = " ".join(typed.lower().split())
        if name in self.movements:
            return self.movements[name]
        found = [known for known in self.movements if _is_short_for(name, known)]
        # "chi up" is the chin-up, and not one of those that are called more than that.
        found = [known for known in found if _words(known) == _words(name)] or found
        if len(found) == 1:
            return self.movements[found[0]]
        if found:
            some = ", ".join(self.movements[known].name for known in sorted(found)[:4])
            raise forms.ValidationError(_("That could be several: %(some)s. Type more of it.") % {"some": some})
        raise forms.ValidationError(_("There is no movement of this name. Choose one from the list."))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("rir") is not None and data.get("rpe") is not None:
            self.add_error("rpe", _("Either RIR or RPE, not both."))
        if data.get("load") and data.get("help"):
            self.add_error("help", _("Either load or help, not both."))
        self._check_cluster(data)
        self._check_step(data)
        for option, limit in (("easier", "easier_below"), ("harder", "harder_from")):
            if option in data and limit in data and bool(data[option]) != bool(data[limit]):
                self.add_error(limit if data[option] else option, _("An option needs a movement and its limit."))
            self._check_measure(data, option)
        return data

    def _check_measure(self, data: dict[str, Any], option: str) -> None:
        """The amounts of the row hold for its options too."""
        movement, other = data.get("movement"), data.get(option)
        if movement and other and other.measure != movement.measure:
            self.add_error(option, _("It is measured in another way than the movement. Choose another."))

    def _check_cluster(self, data: dict[str, Any]) -> None:
        if data.get("kind") != SetKind.CLUSTER or "amount" not in data:
            return
        movement: MovementRevision | None = data.get("movement")
        if movement is not None and movement.measure != Measure.REPETITIONS:
            self.add_error("kind", _("Only repetitions have parts."))
            return
        if data.get("cluster_reps") is None:
            self.add_error("cluster_reps", _("How many reps has each part of the cluster?"))
        elif data["cluster_reps"] >= data["amount"][1]:
            self.add_error("cluster_reps", _("Fewer than the whole set."))

    def _check_step(self, data: dict[str, Any]) -> None:
        step: Step | None = data.get("step")
        movement: MovementRevision | None = data.get("movement")
        if step is None:
            return
        if movement is not None and step.amount_unit not in ("", STEP_UNITS[Measure(movement.measure)]):
            told = {"measure": movement.get_measure_display()}
            self.add_error("step", _("This movement is measured in %(measure)s.") % told)
        if step.rir and all(name in data and data[name] is None for name in ("rir", "rpe")):
            self.add_error("step", _("A reserve that changes each week needs an RIR or RPE to begin with."))
        if not step.load_unit or "load" not in data:
            return
        if data["load"] is None:
            self.add_error("step", _("A load that changes each week needs a load to begin with."))
        elif data["load"][1] != step.load_unit:
            self.add_error("step", _("The load and its step need the same unit."))

    def row(self) -> Row:
        data = self.cleaned_data
        movement: MovementRevision = data["movement"]
        entered, unit = data["load"] or (None, "")
        step: Step = data["step"]
        is_cluster = data["kind"] == SetKind.CLUSTER
        percent: Decimal | None = None
        if entered is not None and unit == PERCENT:
            percent, entered, unit = Decimal(entered).quantize(Decimal("0.1")), None, ""
        return Row(
            movement=movement,
            section=data["section"],
            joined=data["joined"],
            together=data["together"],
            minutes=data["minutes"],
            interval_s=data["interval_s"],
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
            percent_of_max=percent,
            assistance_kg=None if data["help"] is None else kg_from(*data["help"]),
            grip=data["grip"],
            cluster_reps=data["cluster_reps"] if is_cluster else None,
            rest_within_s=(data["rest_within_s"] or 0) if is_cluster else None,
            cue=data["cue"],
            and_or=data["and_or"],
            change_reason=data["change_reason"],
            easier=data["easier"],
            easier_below=data["easier_below"],
            harder=data["harder"],
            harder_from=data["harder_from"],
            step_sets=step.sets,
            step_amount=step.amount,
            step_rir=step.rir,
            step_load=step.load,
        )


def _is_short_for(typed: str, name: str) -> bool:
    """Whether the words typed begin words of the name, in their order: "ri row" for "ring row 30 degrees"."""
    words = iter(name.replace("-", " ").split())
    return bool(typed) and all(any(word.startswith(part) for word in words) for part in typed.replace("-", " ").split())


def _words(name: str) -> int:
    return len(name.replace("-", " ").split())


def initial_of(row: Row) -> dict[str, Any]:
    """What the row's form shows."""
    span = f"{row.amount_low}" if row.amount_low == row.amount_high else f"{row.amount_low}-{row.amount_high}"
    return {
        "lineage": row.lineage,
        "movement": row.movement.name,
        "section": row.section,
        "sets": row.sets,
        "amount": span,
        "load": _load_as_typed(row),
        "rir": plain(row.target_rir),
        "rpe": plain(row.target_rpe),
        "rest_s": row.rest_s,
        "joined": row.joined,
        "together": row.together,
        "minutes": row.minutes,
        "interval_s": row.interval_s,
        "kind": row.kind,
        "tempo": row.tempo,
        "help": "" if row.assistance_kg is None else f"{plain(row.assistance_kg)} kg",
        "grip": row.grip.replace(",", ", "),
        "cluster_reps": row.cluster_reps,
        "rest_within_s": row.rest_within_s,
        "same": row.scheme == RepScheme.SAME_EVERY_SET,
        "per_side": row.per_side,
        "step": step_as_typed(row),
        "easier": row.easier.name if row.easier else "",
        "easier_below": row.easier_below,
        "harder": row.harder.name if row.harder else "",
        "harder_from": row.harder_from,
        "and_or": row.and_or,
        "cue": row.cue,
        "change_reason": row.change_reason,
    }


def _load_as_typed(row: Row) -> str:
    """A percentage as it was written, also where a former publishing worked out its load."""
    if row.percent_of_max is not None:
        return f"{plain(row.percent_of_max)} {PERCENT}"
    return "" if row.load_entered is None else f"{plain(row.load_entered)} {row.load_unit}"
