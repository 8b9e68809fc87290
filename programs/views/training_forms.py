"""Forms of the training page. What they send is an entry of the log, and is checked as one."""

import datetime
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.forms import PainWhereForm, YesNoField
from clients.library.words import NOT_READ
from programs.choices import Outcome, SkipReason

# After the category-ratio scale of session RPE (Foster 2001), in our own words.
EFFORT = (
    (0, _("0 · nothing at all")),
    (1, _("1 · hardly anything")),
    (2, _("2 · easy")),
    (3, _("3 · moderate")),
    (4, _("4 · somewhat hard")),
    (5, _("5 · hard")),
    (6, _("6 · harder")),
    (7, _("7 · very hard")),
    (8, _("8 · harder still")),
    (9, _("9 · nearly everything")),
    (10, _("10 · everything I had")),
)
DONE = [(o.value, o.label) for o in (Outcome.WITH_NUMBERS, Outcome.AS_PLANNED, Outcome.PARTLY)]


class FinishForm(forms.Form):
    outcome = forms.ChoiceField(label=_("How did it go?"), choices=DONE, widget=forms.RadioSelect)
    session_rpe = forms.ChoiceField(
        label=_("How hard was the whole session?"),
        help_text=_("All of it taken together, not only the last set. Best answered some minutes after the end."),
        choices=EFFORT,
        widget=forms.RadioSelect,
        required=False,
    )
    minutes = forms.IntegerField(
        label=_("How long, with warm-up and rests?"),
        widget=forms.NumberInput(attrs={"data-unit": _("min"), "inputmode": "numeric", "data-stepper": "5"}),
        required=False,
    )
    anything_hurt = YesNoField(
        label=_("Did anything hurt?"), help_text=_("Yes: tell where, now or later today."), required=False
    )
    note = forms.CharField(
        label=_("Anything your coach should know?"),
        help_text=NOT_READ,
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class SkipForm(forms.Form):
    skip_reason = forms.ChoiceField(label=_("Why?"), choices=SkipReason.choices, widget=forms.RadioSelect)


class MoveForm(forms.Form):
    to = forms.DateField(label=_("To which day?"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))

    def __init__(self, *args: Any, reach: tuple[datetime.date, datetime.date], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        first, last = reach
        self.fields["to"].widget.attrs.update({"min": first.isoformat(), "max": last.isoformat()})


class SessionPainForm(PainWhereForm):
    """Pain told from a session: also during which movement, if the client knows."""

    prescription = forms.ChoiceField(label=_("During which movement?"), required=False)

    def __init__(self, *args: Any, movements: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [("", _("Several, or I do not know")), *movements]
        self.fields["prescription"].choices = choices  # type: ignore[attr-defined]
        self.order_fields(["uuid", "area", "side", "prescription"])
