"""Forms of a block, its sessions and its publishing."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.choices import Weekday
from programs.errors import WeeksHoldSessions
from programs.forms.fields import DayField
from programs.models import Block


class BlockForm(forms.Form):
    title = forms.CharField(label=_("Name"), max_length=120, widget=forms.TextInput(attrs={"data-key": "n"}))
    starts_on = DayField(
        label=_("First week"),
        help_text=_("Any day of it; weeks run from Monday to Sunday."),
    )
    weeks = forms.IntegerField(label=_("Weeks"), min_value=1, max_value=16, initial=4)
    deload_week = forms.IntegerField(
        label=_("Deload week"),
        min_value=1,
        max_value=16,
        required=False,
        help_text=_("Half the sets, more in reserve, a tenth less load, once the weeks are stepped."),
    )
    message = forms.CharField(
        label=_("What changes, and why"),
        widget=forms.Textarea(attrs={"rows": 4}),
        max_length=4000,
        required=False,
        help_text=_("The client reads this first."),
    )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("deload_week") and data.get("weeks") and data["deload_week"] > data["weeks"]:
            self.add_error("deload_week", _("The block has fewer weeks."))
        return data


class EditBlockForm(BlockForm):
    """Asks before weeks are cut off that are written already. `last_week`: the last one with a session, or 0."""

    drops_sessions = forms.BooleanField(label=_("Remove the sessions of the weeks that are cut off"), required=False)

    def __init__(self, *args: Any, last_week: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sent = str(self.data.get("weeks", ""))
        if not (sent.isdecimal() and int(sent) < last_week):
            del self.fields["drops_sessions"]

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        if not data.get("drops_sessions", True):
            self.add_error("drops_sessions", str(WeeksHoldSessions()))
        return data


class SessionForm(forms.Form):
    name = forms.CharField(label=_("Session"), max_length=120)
    weekday = forms.TypedChoiceField(label=_("Day"), choices=Weekday.choices, coerce=int)


class NewSessionForm(SessionForm):
    name = forms.CharField(label=_("Session"), max_length=120, widget=forms.TextInput(attrs={"data-key": "n"}))
    week = forms.IntegerField(label=_("Week"), min_value=1, max_value=16, initial=1)


class PublishForm(forms.Form):
    first_day = DayField(
        label=_("First day"),
        help_text=_(
            "Sessions before this day are left out. From then on, untouched sessions of its former revision give way."
        ),
    )
    protected_because = forms.CharField(
        label=_("Why an area to protect is stressed"),
        help_text=_("Needed where a movement stresses one. It is kept with the block, and the client can have it."),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    has_read_placed = forms.BooleanField(label=_("I have read what changed for this client"), required=False)

    def __init__(self, *args: Any, has_placed: bool = True, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not has_placed:
            del self.fields["has_read_placed"]


class VersionForm(forms.Form):
    version = forms.IntegerField(min_value=0, widget=forms.HiddenInput)


def initial_of_block(block: Block) -> dict[str, Any]:
    return {name: getattr(block, name) for name in ("title", "starts_on", "weeks", "deload_week", "message")}
