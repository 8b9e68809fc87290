"""What the owner settles, and the team."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.choices import (
    Role,
    Weekday,
)
from clients.domain.practice import SETTLED, closes_after_it_opens
from clients.forms.fields import zone_choices
from clients.models import Client, Membership, Practice

LONGEST_PROMISE = 14 * 24


class PracticeForm(forms.ModelForm):
    working_days = forms.TypedMultipleChoiceField(
        label=_("Working days"),
        choices=Weekday.choices,
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("Promises run on these days. Pain and warning signs do not wait for them."),
    )
    time_zone = forms.ChoiceField(label=_("Time zone"), choices=zone_choices)

    class Meta:
        model = Practice
        fields = SETTLED
        labels = {
            "name": _("Name"),
            "mass_unit": _("Mass in"),
            "length_unit": _("Length in"),
            "check_in_weekday": _("Check-in day of new clients"),
            "minimum_age": _("Under this age a guardian has to agree"),
            "review_promise_hours": _("A clip is reviewed within"),
            "question_promise_hours": _("A question is answered within"),
            "check_in_promise_hours": _("A check-in is answered within"),
            "start_promise_hours": _("After the intake you hear from us within"),
            "working_from": _("From"),
            "working_until": _("Until"),
            "emergency_text_addition": _("Added below the emergency text"),
            "warning_sign_wait_minutes": _("Owners are told of an unopened warning sign after"),
            "takes_enquiries": _("The public page for enquiries is open"),
            "enquiry_welcome": _("Words on top of that page"),
        }
        help_texts = {
            "working_until": _("00:00 is the end of the day."),
            "emergency_text_addition": _("A local crisis line, for example. The fixed text above it stays as it is."),
            "warning_sign_wait_minutes": _("5 to 1440 minutes, at any hour. Lead and cover are told at once."),
        }
        widgets = {
            name: forms.NumberInput(attrs={"data-unit": _("hours"), "inputmode": "numeric", "min": 1, "max": 336})
            for name in SETTLED
            if name.endswith("_promise_hours")
        } | {
            "working_from": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
            "working_until": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
            "emergency_text_addition": forms.Textarea(attrs={"rows": 2}),
            "warning_sign_wait_minutes": forms.NumberInput(attrs={"data-unit": _("minutes"), "inputmode": "numeric"}),
            "enquiry_welcome": forms.Textarea(attrs={"rows": 3}),
        }

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        opens, closes = data.get("working_from"), data.get("working_until")
        if opens is not None and closes is not None and not closes_after_it_opens(opens, closes):
            self.add_error("working_until", _("This is before the opening hour."))
        for name in [name for name in SETTLED if name.endswith("_promise_hours")]:
            if name in data and not 1 <= data[name] <= LONGEST_PROMISE:
                self.add_error(name, _("Between 1 hour and 14 days."))
        return data


class InviteCoachForm(forms.Form):
    email = forms.EmailField(label=_("E-mail address"))
    role = forms.ChoiceField(label=_("As"), choices=Role.choices, initial=Role.COACH)


class CoachField(forms.ModelChoiceField):
    def label_from_instance(self, coach: Any) -> str:
        return str(coach.user.display_name)


class ClientsField(forms.ModelMultipleChoiceField):
    widget = forms.CheckboxSelectMultiple

    def label_from_instance(self, client: Any) -> str:
        return str(client.name)


class HandOverForm(forms.Form):
    clients = ClientsField(label=_("Clients"), queryset=Client.objects.none())
    to = CoachField(label=_("Who leads them from now on"), queryset=Membership.objects.none(), to_field_name="uuid")
    message = forms.CharField(
        label=_("A letter to these clients"),
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("Empty: no letter goes out. The new lead sees their whole history; the former one no longer does."),
    )

    def __init__(self, *args: Any, clients: Any, coaches: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["clients"].queryset = clients  # type: ignore[attr-defined]
        self.fields["clients"].to_field_name = "uuid"  # type: ignore[attr-defined]
        self.fields["to"].queryset = coaches  # type: ignore[attr-defined]


class SecondCoachForm(forms.Form):
    coach = CoachField(label=_("Another coach"), queryset=Membership.objects.none(), to_field_name="uuid")

    def __init__(self, *args: Any, coaches: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["coach"].queryset = coaches  # type: ignore[attr-defined]
