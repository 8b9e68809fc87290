"""The intake's questions become fields."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.forms.fields import (
    COUNTRIES,
    LONG_TEXT,
    NONE_OF_THESE,
    BirthField,
    ComingDateField,
    PhoneField,
    TickAllField,
    YesNoField,
    zone_choices,
)
from clients.library.intake import Question, Step


def field_for(question: Question) -> forms.Field:
    """The form field of an intake question."""
    common: dict[str, Any] = {
        "label": question.label,
        "help_text": question.why,
        "required": question.required,
        "error_messages": {"required": _("Please answer this one.")},
    }
    match question.kind:
        case "integer":
            widget = forms.NumberInput(attrs={"data-unit": question.unit, "inputmode": "numeric"})
            return forms.IntegerField(min_value=question.minimum, max_value=question.maximum, widget=widget, **common)
        case "number":
            return forms.DecimalField(
                min_value=question.minimum,
                max_value=question.maximum,
                max_digits=8,
                decimal_places=2,
                widget=forms.TextInput(attrs={"inputmode": "decimal"}),
                **common,
            )
        case "birth":
            return BirthField(widget=forms.DateInput(attrs={"type": "date", "autocomplete": "bday"}), **common)
        case "date":
            return ComingDateField(widget=forms.DateInput(attrs={"type": "date"}), **common)
        case "text":
            return forms.CharField(max_length=200, **common)
        case "phone":
            by_keypad = forms.TextInput(attrs={"inputmode": "tel", "autocomplete": "off"})
            return PhoneField(max_length=50, widget=by_keypad, **common)
        case "long_text":
            return forms.CharField(max_length=LONG_TEXT, widget=forms.Textarea(attrs={"rows": 3}), **common)
        case "choice":
            return forms.ChoiceField(choices=question.choices, widget=forms.RadioSelect, **common)
        case "choices":
            return TickAllField(choices=question.choices, **common)
        case "yes_no":
            return YesNoField(**common)
        case "zone":
            return forms.ChoiceField(choices=zone_choices(), **common)
        case "country":
            choices = [(code, code or _("Another country")) for code in COUNTRIES]
            return forms.ChoiceField(choices=choices, **(common | {"required": False}))
    raise ValueError(f"no field for a question of kind {question.kind}")


class StepForm(forms.Form):
    """The questions of one step."""

    def __init__(self, *args: Any, step: Step, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.step = step
        for question in step.questions:
            self.fields[question.code] = field_for(question)

    @staticmethod
    def initial_from(step: Step, answers: dict[str, Any]) -> dict[str, Any]:
        """Saved answers, as the fields want them."""
        initial: dict[str, Any] = {}
        for question in step.questions:
            value = answers.get(question.code)
            if value is None:
                continue
            if question.kind == "yes_no":
                value = "yes" if value else "no"
            if question.kind == "choices":
                value = value or [NONE_OF_THESE]
            initial[question.code] = value
        return initial
