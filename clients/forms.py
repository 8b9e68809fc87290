"""Forms of the people's room. The intake's questions become fields; the rest is written out."""

import datetime
import zoneinfo
from decimal import Decimal
from typing import Any

from django import forms
from django.contrib.auth import password_validation
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.functional import lazy
from django.utils.translation import gettext_lazy as _

from clients.accounts.fields import all_that_is_asked
from clients.choices import (
    ITEMS_WANTING_A_SET_UP_CHECK,
    Area,
    Ceiling,
    ItemKind,
    MassUnit,
    NoteKind,
    Role,
    Side,
    Weekday,
)
from clients.domain.body import AreaToProtect, age_on
from clients.domain.enquiring import Asked
from clients.domain.notes import PLACES
from clients.domain.passwords import refuse_known_words
from clients.domain.practice import SETTLED, closes_after_it_opens
from clients.domain.things import metric, shown
from clients.library.emergency_numbers import EMERGENCY_NUMBERS
from clients.library.equipment import ATTRIBUTES, TESTS, Attribute
from clients.library.intake import OFFERED_ITEMS, Question, Step
from clients.models import Client, Invitation, Membership, Practice, User

LONG_TEXT = 4000
LONGEST_PROMISE = 14 * 24
# Past this a number is a slip of the hand, whatever it is of.
ABSURD = 100_000
YOUNGEST, OLDEST = 10, 110
FEWEST_DIGITS = 5
# Where the reader is it may still be yesterday.
A_DAY = datetime.timedelta(days=1)
FURTHEST = datetime.timedelta(days=3653)
NONE_OF_THESE = "none"


class InviteClientForm(forms.Form):
    name = forms.CharField(label=_("Name"), max_length=200)
    email = forms.EmailField(label=_("E-mail address"))


class AcceptForm(forms.Form):
    name = forms.CharField(label=_("Your name"), max_length=200)
    password = forms.CharField(
        label=_("Choose a password"),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text=lazy(all_that_is_asked, str)(),
        strip=False,
    )

    def __init__(self, *args: Any, invitation: Invitation, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.invitation = invitation

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        password = cleaned.get("password")
        if password:
            # Nobody has an account yet: what a stranger knows about them stands in the letter and on this page.
            person = User(email=self.invitation.email, name=cleaned.get("name", ""))
            try:
                password_validation.validate_password(password, person)
                refuse_known_words(password, [self.invitation.practice.name])
            except ValidationError as error:
                self.add_error("password", error)
        return cleaned


class YesNoField(forms.TypedChoiceField):
    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            choices=[("yes", _("Yes")), ("no", _("No"))],
            coerce=lambda value: value == "yes",
            empty_value=None,
            widget=forms.RadioSelect,
            **kwargs,
        )


class TickAllField(forms.MultipleChoiceField):
    """Ticks with an explicit "none of these": an untouched list is no answer, and never a "no"."""

    widget = forms.CheckboxSelectMultiple

    def __init__(self, *, choices: Any, **kwargs: Any) -> None:
        super().__init__(choices=[*choices, (NONE_OF_THESE, _("None of these"))], **kwargs)

    def clean(self, value: Any) -> list[str] | None:
        ticked = super().clean(value)
        if NONE_OF_THESE in ticked and len(ticked) > 1:
            raise forms.ValidationError(_("Tick either “None of these”, or what applies."))
        if not ticked:
            return None
        return [code for code in ticked if code != NONE_OF_THESE]


# Where we know an emergency number; "another country" is always offered.
COUNTRIES = ["", *sorted(EMERGENCY_NUMBERS)]


class BirthField(forms.DateField):
    """A day of birth that somebody alive and old enough to read could have."""

    def clean(self, value: Any) -> datetime.date | None:
        born = super().clean(value)
        if born is None:
            return None
        age = age_on(born, timezone.localdate())
        if age < YOUNGEST:
            raise forms.ValidationError(_("This would make you younger than %(age)d.") % {"age": YOUNGEST})
        if age > OLDEST:
            raise forms.ValidationError(_("This would make you older than %(age)d.") % {"age": OLDEST})
        return born


class ComingDateField(forms.DateField):
    def clean(self, value: Any) -> datetime.date | None:
        day = super().clean(value)
        today = timezone.localdate()
        if day is not None and not today - A_DAY <= day <= today.replace(month=1, day=1) + FURTHEST:
            raise forms.ValidationError(_("A day from today on, within ten years."))
        return day


class PhoneField(forms.CharField):
    def clean(self, value: Any) -> str:
        number = super().clean(value)
        if number and sum(character.isdecimal() for character in number) < FEWEST_DIGITS:
            raise forms.ValidationError(_("This is too short for a phone number."))
        return number


def zone_choices() -> list[tuple[str, str]]:
    zones = [(zone, zone.replace("_", " ")) for zone in sorted(zoneinfo.available_timezones()) if "/" in zone]
    return [("UTC", "UTC"), *zones]


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


class NumbersField(forms.CharField):
    """Numbers in one line, "8, 12, 16", in the client's unit; kept in kg or cm."""

    def __init__(self, *, minimum: float, maximum: float, unit: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.minimum, self.maximum, self.unit = minimum, maximum, unit

    def clean(self, value: Any) -> list[float]:
        text = super().clean(value)
        try:
            numbers = [Decimal(part.strip()) for part in text.replace(";", ",").split(",") if part.strip()]
        except ArithmeticError as error:
            raise forms.ValidationError(_("Numbers with commas between, such as 8, 12, 16.")) from error
        if not all(number.is_finite() and abs(number) < ABSURD for number in numbers):
            raise forms.ValidationError(_("Numbers with commas between, such as 8, 12, 16."))
        kept = sorted({metric(number, self.unit) for number in numbers})
        if any(not self.minimum <= number <= self.maximum for number in kept):
            lowest, highest = (shown(limit, self.unit) for limit in (self.minimum, self.maximum))
            raise forms.ValidationError(
                _("Each between %(lowest)s and %(highest)s.") % {"lowest": lowest, "highest": highest}
            )
        return kept


class NumberField(NumbersField):
    def clean(self, value: Any) -> list[float]:
        kept = super().clean(value)
        if len(kept) > 1:
            raise forms.ValidationError(_("One number, please."))
        return kept


class EquipmentForm(forms.Form):
    """One place and what is there. Things that bear weight ask for the set-up check."""

    place = forms.CharField(label=_("Name of the place"), max_length=100, initial=_("Home"))
    items = forms.MultipleChoiceField(
        label=_("What is there?"),
        choices=[(kind.value, kind.label) for kind in OFFERED_ITEMS],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    checked = forms.MultipleChoiceField(
        label=_("Set-up check"),
        help_text=_(
            "Tick what you have tested: hang or lean on it with a little weight first, then more; look for cracks, "
            "loose screws and sliding feet. Only what is ticked here is used in a plan. Repeat it every three months."
        ),
        choices=[(kind.value, kind.label) for kind in OFFERED_ITEMS if kind in ITEMS_WANTING_A_SET_UP_CHECK],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )

    def __init__(self, *args: Any, unit: str = MassUnit.KG, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["masses"] = NumbersField(
            label=_("Masses of your dumbbells or kettlebells"),
            help_text=_("In %(unit)s, with commas between: 8, 12, 16. Leave empty if you have none.") % {"unit": unit},
            required=False,
            minimum=0.25,
            maximum=120,
            unit=unit,
        )
        self.order_fields(["place", "items", "masses", "checked"])

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        extra = set(data.get("checked", [])) - set(data.get("items", []))
        if extra:
            names = ", ".join(str(ItemKind(kind).label) for kind in sorted(extra))
            self.add_error("checked", _("Not ticked above: %(names)s") % {"names": names})
        return data

    def item_attributes(self) -> dict[str, dict[str, Any]]:
        masses = self.cleaned_data["masses"]
        weights = {ItemKind.DUMBBELL, ItemKind.KETTLEBELL}
        return {kind: {"masses_kg": masses} if kind in weights else {} for kind in self.cleaned_data["items"]}


def masses_shown(masses_kg: list[float], unit: str) -> str:
    return ", ".join(shown(mass, unit) for mass in masses_kg)


class NewPlaceForm(forms.Form):
    name = forms.CharField(label=_("Another place"), max_length=100)


class ItemsForm(forms.Form):
    """Everything a place can have: a tick for each thing, and its details in the client's units."""

    name = forms.CharField(label=_("Name of the place"), max_length=100)

    def __init__(
        self, *args: Any, client: Client, name: str, present: dict[str, dict[str, Any]], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.client = client
        self.fields["name"].initial = name
        for kind in ItemKind:
            has = forms.BooleanField(label=str(kind.label), required=False, initial=kind in present)
            self.fields[f"has_{kind}"] = has
            for attribute in ATTRIBUTES.get(kind, ()):
                kept = present.get(kind, {}).get(attribute.code)
                self.fields[f"{kind}_{attribute.code}"] = self._detail(attribute, kept)

    def _detail(self, attribute: Attribute, kept: Any) -> forms.Field:
        if attribute.kind == "ticks":
            widget = forms.CheckboxSelectMultiple
            return forms.MultipleChoiceField(
                label=str(attribute.label), choices=attribute.choices, widget=widget, required=False, initial=kept or []
            )
        unit = self.client.mass_unit if attribute.kind in {"mass", "masses"} else self.client.length_unit
        several = attribute.kind in {"masses", "lengths"}
        numbers = kept if isinstance(kept, list) else [] if kept is None else [kept]
        return (NumbersField if several else NumberField)(
            label=attribute.label,
            required=False,
            minimum=attribute.minimum,
            maximum=attribute.maximum,
            unit=unit,
            initial=masses_shown(numbers, unit),
            widget=forms.TextInput(attrs={"data-unit": unit, "inputmode": "decimal"}),
        )

    def rows(self) -> list[tuple[forms.BoundField, list[forms.BoundField]]]:
        """A tick and its details, for the page."""
        return [
            (self[f"has_{kind}"], [self[f"{kind}_{attribute.code}"] for attribute in ATTRIBUTES.get(kind, ())])
            for kind in ItemKind
        ]

    def items(self) -> dict[str, dict[str, Any]]:
        """What is there, by kind; details that were left empty are not kept."""
        return {kind.value: self._details(kind) for kind in ItemKind if self.cleaned_data[f"has_{kind}"]}

    def _details(self, kind: ItemKind) -> dict[str, Any]:
        details = {}
        for attribute in ATTRIBUTES.get(kind, ()):
            value = self.cleaned_data[f"{kind}_{attribute.code}"]
            if value:
                details[attribute.code] = value[0] if attribute.kind in {"mass", "length"} else value
        return details


class SetUpCheckForm(forms.Form):
    photo = forms.FileField(
        label=_("A photo, if you like"),
        required=False,
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
        help_text=_("Your coach can see it. Place and device are removed from it."),
    )

    def __init__(self, *args: Any, kind: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["tested"] = forms.MultipleChoiceField(
            label=_("What I tested today"),
            choices=[(test.code, test.words) for test in TESTS[ItemKind(kind)]],
            widget=forms.CheckboxSelectMultiple,
        )
        self.order_fields(["tested", "photo"])


AREA_ROWS = 4


class AreasForm(forms.Form):
    """Up to four areas to protect, and a body mass if the client likes."""

    mass = forms.DecimalField(
        label=_("Body mass (optional)"),
        help_text=_("With it we can say how many kilograms a push-up is. Without it everything else still works."),
        max_digits=6,
        decimal_places=2,
        required=False,
    )
    mass_unit = forms.ChoiceField(label=_("Unit"), choices=MassUnit.choices, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for n in range(AREA_ROWS):
            self.fields[f"area_{n}"] = forms.ChoiceField(
                label=_("Area"), choices=[("", _("— none —")), *Area.choices], required=False
            )
            self.fields[f"side_{n}"] = forms.ChoiceField(label=_("Side"), choices=Side.choices, required=False)
            self.fields[f"why_{n}"] = forms.CharField(label=_("Why"), max_length=500, required=False)
            self.fields[f"barred_{n}"] = forms.BooleanField(label=_("Do not load it at all"), required=False)

    def rows(self) -> list[list[forms.BoundField]]:
        return [[self[f"{name}_{n}"] for name in ("area", "side", "why", "barred")] for n in range(AREA_ROWS)]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        mass = data.get("mass")
        if mass is not None:
            low, high = (20, 400) if data.get("mass_unit") != MassUnit.LB else (44, 882)
            if not low <= mass <= high:
                self.add_error(
                    "mass", _("Between %(low)s and %(high)s, please check the unit.") % {"low": low, "high": high}
                )
        return data

    def areas(self) -> list[AreaToProtect]:
        data = self.cleaned_data
        return [
            AreaToProtect(
                data[f"area_{n}"], data[f"side_{n}"] or Side.BOTH, data[f"why_{n}"], bool(data[f"barred_{n}"])
            )
            for n in range(AREA_ROWS)
            if data[f"area_{n}"]
        ]


class ClearanceForm(forms.Form):
    """What a licensed professional allowed, in the client's or the document's own words."""

    clinician_role = forms.CharField(
        label=_("Who gave it?"), help_text=_("The role, such as general practitioner. No names."), max_length=100
    )
    given_on = forms.DateField(label=_("Given on"), widget=forms.DateInput(attrs={"type": "date"}))
    given_time = forms.TimeField(
        label=_("At what time?"),
        help_text=_(
            "On the client's clock. Needed when a warning sign was ticked that same day: only earlier ones open."
        ),
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}),
    )
    expires_on = forms.DateField(
        label=_("Good until"),
        help_text=_("At most one year. Sooner when the professional said so."),
        widget=forms.DateInput(attrs={"type": "date"}),
    )
    ceiling = forms.ChoiceField(
        label=_("Up to which effort?"),
        choices=[(c.value, c.label) for c in Ceiling if c != Ceiling.NONE],
        widget=forms.RadioSelect,
    )
    limits = forms.CharField(
        label=_("Limits, in their words"),
        help_text=_("Write “none named” if there were none."),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    document = forms.FileField(
        label=_("A photo of the letter"),
        help_text=_("If you have one. Cover what training does not need."),
        required=False,
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
    )

    def __init__(self, *args: Any, today: datetime.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        given, expires = data.get("given_on"), data.get("expires_on")
        if given and given > self.today:
            self.add_error("given_on", _("This day is still to come."))
        if given and expires and not given < expires <= given + datetime.timedelta(days=366):
            self.add_error("expires_on", _("After the day it was given, and within one year of it."))
        if expires and expires < self.today:
            self.add_error("expires_on", _("This clearance has run out already."))
        return data


class PainForm(forms.Form):
    area = forms.ChoiceField(label=_("Where?"), choices=[("", _("— choose —")), *Area.choices])
    side = forms.ChoiceField(label=_("Which side of yours?"), choices=Side.choices, widget=forms.RadioSelect)
    during = forms.TypedChoiceField(
        label=_("How much, from 0 (none) to 10 (the worst you can imagine)?"),
        choices=[(n, str(n)) for n in range(11)],
        coerce=int,
        widget=forms.RadioSelect,
    )
    note = forms.CharField(
        label=_("Anything to add?"),
        help_text=_("This is not read continuously. In an emergency call your local emergency number."),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class MorningForm(forms.Form):
    next_morning = forms.ChoiceField(
        label=_("How is it this morning?"),
        choices=[("usual", _("Back to my usual")), ("raised", _("More than my usual"))],
        widget=forms.RadioSelect,
    )
    after = forms.TypedChoiceField(
        label=_("And right after the session, 0 to 10?"),
        choices=[(n, str(n)) for n in range(11)],
        coerce=int,
    )


class NoteForm(forms.Form):
    kind = forms.ChoiceField(label=_("What it is"), choices=NoteKind.choices, initial=NoteKind.NOTE)
    on = forms.DateField(label=_("Day"), widget=forms.DateInput(attrs={"type": "date"}))
    text = forms.CharField(
        label=_("What to remember"), max_length=5000, widget=forms.Textarea(attrs={"rows": 4, "maxlength": 5000})
    )

    def __init__(self, *args: Any, today: datetime.date | None = None, only_text: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        if only_text:
            del self.fields["kind"], self.fields["on"]

    def clean_on(self) -> datetime.date:
        on = self.cleaned_data["on"]
        if self.today is not None and on > self.today:
            raise forms.ValidationError(_("This day is still to come."))
        return on


class PinnedLinesForm(forms.Form):
    """Three short lines, and what the writer saw: two coaches may write at once."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for place in PLACES:
            self.fields[f"line_{place}"] = forms.CharField(
                label=_("Line %(number)s") % {"number": place},
                max_length=120,
                required=False,
                widget=forms.TextInput(attrs={"maxlength": 120}),
            )
            self.fields[f"seen_{place}"] = forms.CharField(required=False, widget=forms.HiddenInput, strip=False)

    def lines(self) -> dict[int, str]:
        return {place: self.cleaned_data[f"line_{place}"] for place in PLACES}

    def seen(self) -> dict[int, str]:
        return {place: self.cleaned_data[f"seen_{place}"] for place in PLACES}


class EnquiryForm(forms.Form):
    """What a stranger is asked: little, and nothing about health."""

    name = forms.CharField(label=_("Your name"), max_length=200, widget=forms.TextInput(attrs={"autocomplete": "name"}))
    email = forms.EmailField(
        label=_("Your e-mail address"),
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
        help_text=_("The answer goes there."),
    )
    reach = forms.CharField(
        label=_("Another way to reach you"),
        max_length=200,
        required=False,
        help_text=_("A number and good hours, if you like."),
    )
    goal = forms.CharField(
        label=_("What would you like to reach?"),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4, "maxlength": 2000}),
    )
    equipment = forms.CharField(
        label=_("What do you have to train with?"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3, "maxlength": 2000}),
        help_text=_("Rings, a bar, bands, two chairs, nothing yet: all of it is fine."),
    )
    time_zone = forms.ChoiceField(label=_("Your time zone"), choices=zone_choices)
    agree = forms.BooleanField(label=_("I agree to the lines above"))
    # Out of sight: people leave it empty, programs fill every box.
    website = forms.CharField(
        required=False,
        label=_("Leave this empty"),
        widget=forms.TextInput(attrs={"autocomplete": "off", "tabindex": "-1"}),
    )
    opened = forms.CharField(widget=forms.HiddenInput, required=False)

    def is_from_a_robot(self) -> bool:
        return bool(self.cleaned_data["website"])

    def asked(self) -> Asked:
        return Asked(**{name: self.cleaned_data[name] for name in Asked.__dataclass_fields__})


class EnquiryAnswerForm(forms.Form):
    text = forms.CharField(
        label=_("Your letter"), max_length=4000, widget=forms.Textarea(attrs={"rows": 6, "maxlength": 4000})
    )


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


class GuardianForm(forms.Form):
    name = forms.CharField(label=_("Name of your parent or guardian"), max_length=200)
    email = forms.EmailField(label=_("Their e-mail address"))
    relation = forms.CharField(
        label=_("Who they are to you"), max_length=100, help_text=_("Mother, father, foster parent.")
    )


class GuardianPhoneForm(forms.Form):
    phone = forms.CharField(
        label=_("A number where you can be reached in an emergency"),
        max_length=50,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "tel", "inputmode": "tel"}),
    )


LEAST_KG, MOST_KG = 20, 400
LEAST_LB, MOST_LB = 45, 880


def mass_from(text: str, unit: str) -> Decimal | None:
    """A body mass as people write it, with a point or a comma. Raises ValidationError."""
    if not text.strip():
        return None
    low, high = (LEAST_LB, MOST_LB) if unit == MassUnit.LB else (LEAST_KG, MOST_KG)
    entered = forms.DecimalField(max_digits=6, decimal_places=2).clean(text.strip().replace(",", "."))
    if not low <= entered <= high:
        raise ValidationError(
            _("Between %(low)s and %(high)s; please look at the unit too.") % {"low": low, "high": high}
        )
    return Decimal(entered)


class BodyMassForm(forms.Form):
    """A dated body mass. The same day again corrects it."""

    on = forms.DateField(label=_("Day"), widget=forms.DateInput(attrs={"type": "date"}))
    mass = forms.CharField(
        label=_("Body mass"),
        max_length=10,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    mass_unit = forms.ChoiceField(label=_("Unit"), choices=MassUnit.choices)

    def __init__(self, *args: Any, today: datetime.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["on"].widget.attrs["max"] = today.isoformat()

    def clean_on(self) -> datetime.date:
        on: datetime.date = self.cleaned_data["on"]
        if on > self.today:
            raise ValidationError(_("This day is still to come."))
        return on

    def clean_mass(self) -> Decimal:
        mass = mass_from(self.cleaned_data["mass"], self.data.get("mass_unit", ""))
        if mass is None:
            raise ValidationError(_("Please type a number."))
        return mass
