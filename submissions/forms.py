"""What people type about clips, questions and reviews."""

import datetime
import json
import uuid
from decimal import Decimal
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clients.choices import MassUnit, PromisesMeanwhile, Weekday
from clients.domain.check_ins import SAID
from clients.forms import mass_from
from clients.library.check_ins import ITEMS
from clients.models import CheckIn, Client, Membership
from programs.models import MovementRevision
from submissions.choices import CameraSide, SubmissionKind, Verdict
from submissions.domain.checking_in import Mass
from submissions.domain.reviewing import Note
from submissions.models import Review, Submission
from submissions.queries import prescribed_movements

LONGEST_ABSENCE_DAYS = 366


class ClipForm(forms.Form):
    """What goes with a clip; the file itself is sent in pieces (submissions.api)."""

    camera_side = forms.ChoiceField(label=_("Which side does the camera see?"), choices=CameraSide)
    question = forms.CharField(
        label=_("What would you like looked at?"),
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class NewUploadForm(ClipForm):
    """The metadata of a new upload, which is whatever the sender says it is."""

    scheduled = forms.UUIDField()
    prescription = forms.UUIDField()


class DemonstrationForm(forms.Form):
    film = forms.FileField(
        label=_("The clip"),
        help_text=_("One or two repetitions, at most a minute and 100 MB. Place, time and phone are removed from it."),
        allow_empty_file=True,
        max_length=1000,
        widget=forms.FileInput(attrs={"accept": "video/*"}),
    )
    words = forms.CharField(
        label=_("What it shows, in words"),
        max_length=300,
        help_text=_("For whoever cannot see it, or has the sound off."),
    )
    agreed = forms.BooleanField(
        label=_("Whoever is seen or heard in it agreed that our clients watch it"),
        help_text=_("A client's own clip is never used for this."),
    )


class AskForm(forms.Form):
    """A question of a client's to the coach, about one movement or in general."""

    movement = forms.ModelChoiceField(
        label=_("What is it about?"),
        queryset=MovementRevision.objects.none(),
        required=False,
        to_field_name="uuid",
        empty_label=_("In general"),
    )
    text = forms.CharField(
        label=_("Your question"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text=_(
            "Nobody reads this at once. If something is wrong with your body now, call your local emergency number."
        ),
    )

    def __init__(self, *args: Any, client: Client, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        movement = cast("forms.ModelChoiceField", self.fields["movement"])
        movement.queryset = prescribed_movements(client)
        movement.label_from_instance = _name_of  # type: ignore[assignment, method-assign]


def _name_of(movement: MovementRevision) -> str:
    return movement.name


def _scale(first: int, last: int) -> list[tuple[int, str]]:
    return [(number, str(number)) for number in range(first, last + 1)]


class NumberChoice(forms.TypedChoiceField):
    """A row of numbers; none chosen is no answer."""

    widget = forms.RadioSelect

    def __init__(self, *, first: int, last: int, **kwargs: Any) -> None:
        super().__init__(choices=_scale(first, last), coerce=int, empty_value=None, required=False, **kwargs)


class CheckInForm(forms.Form):
    """How a week was. Everything may be left out, but not all of it."""

    confidence = NumberChoice(
        first=0,
        last=10,
        label=_("How sure are you that you will do the training of the coming week?"),
        help_text=_("0: not at all. 10: certain."),
    )
    activity = forms.CharField(
        label=_("Anything else you did: sport, walks, heavy work"), required=False, max_length=500
    )
    mass = forms.CharField(
        label=_("Body mass, if you like"),
        required=False,
        max_length=10,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    mass_unit = forms.ChoiceField(label=_("Unit"), choices=MassUnit.choices, required=False)
    note = forms.CharField(
        label=_("Anything your coach should know"),
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3, "maxlength": 2000}),
    )
    question = forms.CharField(
        label=_("A question to your coach"),
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 2, "maxlength": 2000}),
    )
    due_on = forms.DateField(widget=forms.HiddenInput)
    seen = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, client: Client, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for item in ITEMS:
            ends = _("1: %(low)s. 5: %(high)s.") % {"low": item.low, "high": item.high}
            self.fields[item.code] = NumberChoice(first=1, last=5, label=item.question, help_text=ends)
        self.order_fields([item.code for item in ITEMS])
        self.fields["mass_unit"].initial = client.mass_unit
        if client.body_mass_hidden:
            del self.fields["mass"], self.fields["mass_unit"]

    def numbers(self) -> list[forms.BoundField]:
        return [self[item.code] for item in ITEMS]

    def clean_mass(self) -> Decimal | None:
        return mass_from(self.cleaned_data["mass"], self.data.get("mass_unit", ""))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        told = [data.get(name) for name in (*SAID, "mass")]
        if not self.errors and all(value in {None, ""} for value in told):
            raise ValidationError(_("Nothing is filled in yet. One answer is enough."))
        return data

    def said(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in SAID}

    def told_mass(self) -> Mass | None:
        entered = self.cleaned_data.get("mass")
        return Mass(entered, self.cleaned_data["mass_unit"] or MassUnit.KG) if entered is not None else None


def check_in_as_typed(check_in: CheckIn) -> dict[str, Any]:
    """What the form showed when this was told."""
    return {name: getattr(check_in, name) for name in SAID} | {"due_on": check_in.due_on, "seen": check_in.uuid}


class CheckInHabitsForm(forms.Form):
    weekday = forms.TypedChoiceField(label=_("My check-in day"), choices=Weekday.choices, coerce=int)
    reminders = forms.BooleanField(label=_("Remind me by e-mail"), required=False)


class ReviewForm(forms.Form):
    """The coach's answer. Of a clip: verdict, one good thing, one cue, notes. Of a question: words."""

    MOST_NOTES = 40

    verdict = forms.ChoiceField(label=_("Verdict"), choices=Verdict, widget=forms.RadioSelect)
    good = forms.CharField(label=_("One thing that was good"), required=False, max_length=500)
    cue = forms.CharField(
        label=_("One cue"),
        required=False,
        max_length=140,
        help_text=_("Say what should happen, if you can: “push the floor away”."),
    )
    second_cue = forms.CharField(label=_("A second cue, if it must be"), required=False, max_length=140)
    message = forms.CharField(
        label=_("Message"), required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 5})
    )
    notes = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, submission: Submission, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if submission.clip_id is None:
            for name in ("verdict", "good", "second_cue", "notes"):
                del self.fields[name]
            self.fields["cue"].label = _("A cue, if you have one")
            self.fields["message"].required = True
        if submission.kind == SubmissionKind.CHECK_IN:
            del self.fields["cue"]

    def seen(self) -> uuid.UUID | None:
        """The version of a check-in that the coach had on the page."""
        return seen_version(self.data.get("seen", ""))

    def clean_notes(self) -> list[Note]:
        try:
            notes = [_note(entry) for entry in json.loads(self.cleaned_data["notes"] or "[]")]
        except (AttributeError, KeyError, TypeError, ValueError) as error:
            raise ValidationError(_("The notes could not be read. Write them again, please.")) from error
        if len(notes) > self.MOST_NOTES:
            raise ValidationError(_("At most %(n)d notes."), params={"n": self.MOST_NOTES})
        return notes

    def clean(self) -> dict[str, Any]:
        said = super().clean() or {}
        if said.get("second_cue") and not said.get("cue"):
            self.add_error("cue", _("Start with the first cue."))
        wants_a_change = said.get("verdict") in (Verdict.ADJUST, Verdict.EASIER, Verdict.STOP)
        if wants_a_change and not (said.get("cue") or said.get("message")):
            self.add_error("cue", _("Say what should change: a cue, or a message."))
        return said

    def answer(self) -> dict[str, Any]:
        """As submissions.domain.reviewing takes it."""
        said = self.cleaned_data
        cues = [said.get("cue"), said.get("second_cue")]
        return {
            "verdict": said.get("verdict", ""),
            "good": said.get("good", ""),
            "cue": "\n".join(cue for cue in cues if cue),
            "message": said["message"],
            "notes": said.get("notes", []),
        }


def seen_version(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text)
    except ValueError:
        return None


def _note(entry: Any) -> Note:
    frame, text = entry["frame"], entry["text"].strip()
    # PostgreSQL keeps no NUL characters in text.
    if type(frame) is not int or not 0 < len(text) <= 1000 or "\0" in text:
        raise ValueError("not a note")
    return Note(frame=frame, text=text)


def answer_as_typed(review: Review) -> dict[str, Any]:
    """What the form showed when this answer was written."""
    cue, _newline, second = review.cue.partition("\n")
    return {
        "verdict": review.verdict,
        "good": review.good,
        "cue": cue,
        "second_cue": second,
        "message": review.message,
        "notes": notes_as_json(review),
    }


def notes_as_json(review: Review) -> str:
    """As <review-notes> reads and writes them."""
    notes = [{"frame": note.frame, "at_s": str(note.at_s), "text": note.text} for note in review.notes.all()]
    return json.dumps(notes, ensure_ascii=False)


class _CoachField(forms.ModelChoiceField):
    def label_from_instance(self, coach: Any) -> str:
        return str(coach.user.display_name)


class AbsenceForm(forms.Form):
    """From and to are whole days on the practice's clock; from today on means from now on."""

    coach = _CoachField(label=_("Who is away"), queryset=Membership.objects.none(), to_field_name="uuid")
    from_on = forms.DateField(label=_("First day away"), widget=forms.DateInput(attrs={"type": "date"}))
    until_on = forms.DateField(label=_("Last day away"), widget=forms.DateInput(attrs={"type": "date"}))
    cover = _CoachField(
        label=_("Who covers"),
        queryset=Membership.objects.none(),
        required=False,
        to_field_name="uuid",
        empty_label=_("Nobody"),
        help_text=_("They see these clients during this time only."),
    )
    promises = forms.ChoiceField(
        label=_("What was promised to the clients"),
        choices=PromisesMeanwhile.choices,
        initial=PromisesMeanwhile.KEPT,
        widget=forms.RadioSelect,
        help_text=_("Pain and warning signs are never put off."),
    )
    message = forms.CharField(
        label=_("A letter to the clients"),
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("Empty: no letter goes out."),
    )

    def __init__(self, *args: Any, coaches: Any, team: Any, zone: datetime.tzinfo, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.zone = zone
        self.fields["coach"].queryset = coaches  # type: ignore[attr-defined]
        self.fields["cover"].queryset = team  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        first, last = data.get("from_on"), data.get("until_on")
        if first and last and last < first:
            self.add_error("until_on", _("This is before the first day."))
        if first and last and (last - first).days > LONGEST_ABSENCE_DAYS:
            self.add_error("until_on", _("Longer than a year: hand the clients over instead."))
        if last and last < timezone.localdate(timezone=self.zone):
            self.add_error("until_on", _("This is over already."))
        if data.get("cover") and data.get("cover") == data.get("coach"):
            self.add_error("cover", _("Somebody else has to cover."))
        return data

    def span(self, now: datetime.datetime) -> tuple[datetime.datetime, datetime.datetime]:
        """The instants of an absence; one that starts today starts now."""
        starts = datetime.datetime.combine(self.cleaned_data["from_on"], datetime.time(0), self.zone)
        after = self.cleaned_data["until_on"] + datetime.timedelta(days=1)
        return max(starts, now), datetime.datetime.combine(after, datetime.time(0), self.zone)
