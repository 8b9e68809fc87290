"""Which week of which blocks comes once more."""

from collections.abc import Callable, Sequence
from typing import Any

from django import forms
from django.forms import BoundField
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from programs.models import Block

MOST_AT_ONCE = 50
PLACES = [
    ("after", _("Right after itself; the weeks that follow come a week later")),
    ("end", _("At the end of the block")),
]


class RepeatForm(forms.Form):
    place = forms.ChoiceField(
        label=_("Where does the week go?"), choices=PLACES, initial="after", widget=forms.RadioSelect
    )
    message = forms.CharField(
        label=_("What changes, and why"),
        help_text=_("Each of these clients reads it first."),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    protected_because = forms.CharField(
        label=_("Why an area to protect is stressed"),
        help_text=_("Only needed where a movement stresses one, and for one client at a time."),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(
        self,
        *args: Any,
        blocks: Sequence[Block],
        week_of: Callable[[Block], int],
        chosen: str = "",
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.blocks = list(blocks)
        for block in self.blocks:
            self.fields[f"take-{block.uuid}"] = forms.BooleanField(
                label=f"{block.client.name} · {block.title}", required=False, initial=str(block.uuid) == chosen
            )
            self.fields[f"week-{block.uuid}"] = forms.TypedChoiceField(
                label=_now("Week, 1 to %(last)d") % {"last": block.weeks},
                choices=[(week, week) for week in range(1, block.weeks + 1)],
                coerce=int,
                initial=week_of(block),
                required=False,
                empty_value=None,
            )

    def rows(self) -> list[tuple[Block, BoundField, BoundField]]:
        return [(block, self[f"take-{block.uuid}"], self[f"week-{block.uuid}"]) for block in self.blocks]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        taken = [block for block in self.blocks if cleaned.get(f"take-{block.uuid}")]
        if not 1 <= len(taken) <= MOST_AT_ONCE:
            self.add_error(None, _now("Choose one client at least, and %(most)d at most.") % {"most": MOST_AT_ONCE})
        if len(taken) > 1 and cleaned.get("protected_because"):
            self.add_error("protected_because", _now("This is different for each: choose one client alone."))
        for block in taken:
            if cleaned.get(f"week-{block.uuid}") is None:
                self.add_error(f"week-{block.uuid}", _now("Choose a week."))
        return cleaned

    def taken(self) -> list[tuple[Block, int]]:
        cleaned = self.cleaned_data
        return [(block, cleaned[f"week-{block.uuid}"]) for block in self.blocks if cleaned[f"take-{block.uuid}"]]
