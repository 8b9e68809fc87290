"""Forms of the baseline: one test as it is told, why one is left out, and by which rows of the tables to be read."""

import datetime
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.library.words import NOT_READ
from methods.strength import FORMULAS
from programs.choices import BaselineEnd, BaselineSkip, BaselineState, BaselineStop, MaxOfWhat, MaxSource, NormSex
from programs.domain.baseline import Told
from programs.domain.baseline_maxima import ToldMax
from programs.domain.baseline_page import OneTest
from programs.forms.fields import LoadField
from programs.library.battery_schema import Amount
from programs.models import BaselineTest, MovementRevision

AMOUNTS = {
    Amount.REPETITIONS: (_("Clean repetitions"), _("reps"), 1000),
    Amount.SECONDS: (_("Seconds"), _("s"), 7200),
    Amount.CENTIMETRES: (_("Distance"), _("cm"), 100),
}
LEFT = [("", _("I do not know")), *[(str(n), str(n)) for n in range(11)]]
PLANNED = [
    (BaselineEnd.RESERVE.value, _("With some left, as said above")),
    (BaselineEnd.MAXIMUM.value, _("To the limit")),
]


def _ends(page: OneTest) -> list[tuple[str, Any]]:
    if page.test.is_measured:
        ends = [BaselineEnd.MEASURED]
    elif page.test.clock_s is not None:
        ends = [BaselineEnd.TIME, BaselineEnd.FORM]
    else:
        ends = [BaselineEnd.RESERVE, BaselineEnd.FORM, BaselineEnd.MAXIMUM]
    return [(end.value, end.label) for end in (*ends, BaselineEnd.STOPPED)]


class BaselineTestForm(forms.Form):
    """One side of one test. Only what the test asks for is there."""

    uuid = forms.UUIDField(widget=forms.HiddenInput)
    way = forms.ChoiceField(label=_("How did you do it?"), widget=forms.RadioSelect)
    angle_deg = forms.IntegerField(
        label=_("Lean of the body from the vertical"),
        help_text=_("0 is upright. The loads known from a study are those of 30, 45, 60 and 75 degrees."),
        min_value=5,
        max_value=90,
        widget=forms.NumberInput(attrs={"data-unit": "°", "inputmode": "numeric"}),
    )
    height_cm = forms.IntegerField(
        label=_("Height of the seat"),
        min_value=20,
        max_value=80,
        widget=forms.NumberInput(attrs={"data-unit": _("cm"), "inputmode": "numeric"}),
    )
    planned_end = forms.ChoiceField(
        label=_("Which variant?"),
        choices=PLANNED,
        initial=BaselineEnd.RESERVE.value,
        widget=forms.RadioSelect,
    )
    amount = forms.DecimalField(min_value=0, max_digits=5, decimal_places=1)
    ended_by = forms.ChoiceField(label=_("What ended it?"), widget=forms.RadioSelect)
    rir = forms.ChoiceField(label=_("How many more clean ones were left?"), choices=LEFT, required=False)
    stopped_because = forms.ChoiceField(
        label=_("Stopped early: why?"),
        help_text=_("Only if you stopped early."),
        choices=[("", _("I did not stop early")), *BaselineStop.choices],
        widget=forms.RadioSelect,
        required=False,
    )
    hurt = forms.BooleanField(
        label=_("Something hurt"), help_text=_("You can tell where on the next page."), required=False
    )
    note = forms.CharField(
        label=_("Anything your coach should know?"),
        help_text=NOT_READ,
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, *args: Any, page: OneTest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.page = page
        test, offer = page.test, page.offer
        label, unit, most = AMOUNTS[test.amount]
        amount = self.fields["amount"]
        amount.label = label
        amount.max_value = most  # type: ignore[attr-defined]
        is_decimal = test.amount is Amount.CENTIMETRES
        amount.widget = forms.NumberInput(
            attrs={"data-unit": unit, "inputmode": "decimal" if is_decimal else "numeric", "step": "any", "min": 0}
        )
        ways = offer.ways or test.ways
        self.fields["way"].choices = [(way.code, way.name) for way in ways]  # type: ignore[attr-defined]
        self.fields["ended_by"].choices = _ends(page)  # type: ignore[attr-defined]
        is_counted = test.amount is Amount.REPETITIONS and test.clock_s is None
        was_maximal = page.current is not None and page.current.planned_end == BaselineEnd.MAXIMUM
        keeps = {
            "way": bool(test.ways),
            "angle_deg": test.asks_angle,
            "height_cm": test.asks_height,
            "planned_end": offer.may_be_maximal or was_maximal,
            "rir": is_counted,
        }
        for name in [name for name, is_kept in keeps.items() if not is_kept]:
            del self.fields[name]

    def clean_amount(self) -> Any:
        amount = self.cleaned_data["amount"]
        if amount > AMOUNTS[self.page.test.amount][2]:
            raise forms.ValidationError(_("At most %(most)d.") % {"most": AMOUNTS[self.page.test.amount][2]})
        if self.page.test.amount is not Amount.CENTIMETRES and amount != int(amount):
            raise forms.ValidationError(_("A whole number, please."))
        return amount if self.page.test.amount is Amount.CENTIMETRES else int(amount)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("ended_by") == BaselineEnd.STOPPED and not data.get("stopped_because"):
            self.add_error("stopped_because", _("Please say why you stopped."))
        if data.get("stopped_because") and data.get("ended_by") != BaselineEnd.STOPPED:
            self.add_error("ended_by", _("You gave a reason for stopping early, and another end here."))
        return data

    def told(self) -> Told:
        said, test = self.cleaned_data, self.page.test
        rir = said.get("rir") or None
        return Told(
            uuid=said["uuid"],
            test=test.code,
            side=self.page.side.value,
            planned_end=said.get("planned_end") or (BaselineEnd.MEASURED if test.is_measured else BaselineEnd.RESERVE),
            ended_by=said["ended_by"],
            stopped_because=said["stopped_because"],
            way=said.get("way", ""),
            rir=None if rir is None else forms.DecimalField().to_python(rir),
            angle_deg=said.get("angle_deg"),
            height_cm=said.get("height_cm"),
            hurt=said["hurt"] or said["stopped_because"] == BaselineStop.PAIN,
            note=said["note"],
            **{test.amount.value: said["amount"]},
        )


def initial_of_test(page: OneTest, earlier: BaselineTest | None) -> dict[str, Any]:
    """What stands when a test is opened again; else the set-up of the last time, so that it compares."""
    row = page.current or earlier
    if row is None:
        return {}
    names = ["way", "angle_deg", "height_cm"]
    if page.current is not None and page.current.state == BaselineState.DONE:
        names += ["planned_end", "ended_by", "stopped_because", "rir", "hurt", "note"]
    initial = {name: getattr(row, name) for name in names}
    if "rir" in initial:
        initial["rir"] = "" if initial["rir"] is None else str(int(initial["rir"]))
        initial["amount"] = getattr(row, page.test.amount.value)
    return initial


class BaselineSkipForm(forms.Form):
    skip_reason = forms.ChoiceField(label=_("Why?"), choices=BaselineSkip.choices, widget=forms.RadioSelect)
    uuid = forms.UUIDField(widget=forms.HiddenInput)

    def told(self, page: OneTest) -> Told:
        return Told(
            uuid=self.cleaned_data["uuid"],
            test=page.test.code,
            side=page.side.value,
            state=BaselineState.SKIPPED.value,
            skip_reason=self.cleaned_data["skip_reason"],
            hurt=self.cleaned_data["skip_reason"] == BaselineSkip.PAIN,
        )


class TablesForm(forms.Form):
    sex = forms.ChoiceField(
        label=_("Which rows?"),
        choices=[("", _("None: do not compare me")), *NormSex.choices],
        widget=forms.RadioSelect,
        required=False,
    )


class AskForBaselineForm(forms.Form):
    words = forms.CharField(
        label=_("A line for the client"), help_text=_("May stay empty."), max_length=500, required=False
    )


class ReferenceMaxForm(forms.Form):
    """What a coach sets: a load, or the set it is estimated from."""

    movement = forms.CharField(label=_("Movement"), max_length=120)
    source = forms.ChoiceField(label=_("Where from?"), choices=MaxSource.choices, widget=forms.RadioSelect)
    load = LoadField(label=_("Load"), help_text=_("What was lifted or added. Of an estimate: the load of the set."))
    repetitions = forms.IntegerField(
        label=_("Repetitions of the set"),
        help_text=_("For an estimate: to the last clean one."),
        min_value=1,
        max_value=15,
        required=False,
    )
    formula = forms.ChoiceField(
        label=_("Formula"),
        choices=[("", _("none")), *[(name, name.capitalize()) for name in FORMULAS]],
        required=False,
    )
    of_what = forms.ChoiceField(label=_("Percentages are of"), choices=MaxOfWhat.choices, widget=forms.RadioSelect)
    on = forms.DateField(label=_("Day"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    note = forms.CharField(label=_("Note"), max_length=500, required=False)

    def __init__(
        self, *args: Any, movements: dict[str, MovementRevision], unit: str, today: datetime.date, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.movements, self.today = movements, today
        self.fields["movement"].widget.attrs |= {"list": "movement-names", "autocomplete": "off"}
        self.fields["load"].required = True
        self.fields["load"].default_unit = unit  # type: ignore[attr-defined]
        self.fields["on"].widget.attrs["max"] = today.isoformat()
        self.initial = {"on": today, "source": MaxSource.TESTED.value, "of_what": MaxOfWhat.EXTERNAL.value}

    def clean_movement(self) -> MovementRevision:
        name = self.cleaned_data["movement"].strip().lower()
        if name not in self.movements:
            raise forms.ValidationError(_("There is no such movement in your library."))
        return self.movements[name]

    def clean_on(self) -> datetime.date:
        on: datetime.date = self.cleaned_data["on"]
        if on > self.today:
            raise forms.ValidationError(_("This day is still to come."))
        return on

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("source") == MaxSource.ESTIMATED:
            for name in ("repetitions", "formula"):
                if not data.get(name) and name not in self.errors:
                    self.add_error(name, _("An estimate needs this."))
        return data

    def told(self) -> ToldMax:
        said = self.cleaned_data
        load, unit = said["load"]
        return ToldMax(
            of_what=said["of_what"],
            source=said["source"],
            load=load,
            unit=unit,
            repetitions=said["repetitions"],
            formula=said["formula"],
            note=said["note"],
        )
