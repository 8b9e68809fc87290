"""Telling pain, in the order of its questions: where, warning signs, soreness, how much, the next morning."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.choices import Area, NextMorning, Side, SinceWhen
from clients.forms.fields import YesNoField
from clients.library.body_chart import sides_of
from clients.library.words import NOT_READ
from clients.models import PainReport
from methods.pain import MAX_SORENESS_HOURS

RATINGS = [(n, str(n)) for n in range(11)]


def rating(label: Any, *, required: bool = True, unknown: Any = None) -> forms.TypedChoiceField:
    choices = RATINGS if unknown is None else [("", unknown), *RATINGS]
    return forms.TypedChoiceField(
        label=label, choices=choices, coerce=int, empty_value=None, required=required, widget=forms.RadioSelect
    )


class PainWhereForm(forms.Form):
    """The first answers. They are kept at once; what follows depends on them."""

    uuid = forms.UUIDField(widget=forms.HiddenInput, required=False)
    area = forms.ChoiceField(label=_("Where?"), choices=[("", _("Choose")), *Area.choices])
    side = forms.ChoiceField(
        label=_("Which side of yours?"),
        choices=[
            (Side.LEFT, _("My left")),
            (Side.RIGHT, _("My right")),
            (Side.MIDDLE, _("Middle")),
            (Side.BOTH, _("Both")),
        ],
        widget=forms.RadioSelect,
    )
    since = forms.ChoiceField(label=_("Since when?"), choices=SinceWhen.choices, widget=forms.RadioSelect)
    after_blow = YesNoField(label=_("Did it begin with a blow, a fall or a crash?"))
    pin_point = YesNoField(label=_("Is it on one point of a bone that you could put a finger on?"))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if {"area", "side"} <= data.keys() and data["side"] not in sides_of(data["area"]):
            self.add_error("side", _("There are two of them: your left, your right, or both."))
        return data

    def told(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in ("area", "side", "since", "after_blow", "pin_point")}


class SorenessForm(forms.Form):
    """Only "yes" needs the rest. What is left out there counts as pain (methods.pain)."""

    is_usual = YesNoField(label=_("Is it your usual muscle soreness after training?"))
    level = rating(_("How sore, from 0 (not at all) to 10?"), required=False)
    in_joint = YesNoField(label=_("Is it in a joint?"), required=False)
    sharp = YesNoField(label=_("Is it sharp or stabbing?"), required=False)
    hours = forms.TypedChoiceField(
        label=_("When did you train what is sore?"),
        choices=[
            (24, _("Less than a day ago")),
            (48, _("One to two days ago")),
            (72, _("Two to three days ago")),
            (MAX_SORENESS_HOURS + 1, _("Longer ago")),
            ("", _("I do not know")),
        ],
        coerce=int,
        empty_value=None,
        required=False,
        widget=forms.RadioSelect,
    )


class HowMuchForm(forms.Form):
    during = rating(_("While you train or move it, from 0 (none) to 10 (the worst you can imagine)?"))
    after = rating(_("And right after?"), required=False, unknown=_("Not yet known"))
    note = forms.CharField(
        label=_("Anything to add?"),
        help_text=NOT_READ,
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class MorningForm(forms.Form):
    """How the night left it. Asks as well for what was not told the day before."""

    next_morning = forms.ChoiceField(
        label=_("How is it this morning?"), choices=NextMorning.choices, widget=forms.RadioSelect
    )
    during = rating(_("While you trained or moved it, 0 to 10?"))
    after = rating(_("And right after, 0 to 10?"))

    def __init__(self, *args: Any, report: PainReport, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("during", "after"):
            if getattr(report, name) is not None:
                del self.fields[name]
