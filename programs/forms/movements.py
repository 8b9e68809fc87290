"""Looking for a movement, and a practice's own movement."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.choices import Area, ItemKind
from programs.choices import LoadKind, Measure, Muscle, Pattern, ShareBasis
from programs.domain.dosing import plain
from programs.library.schema import SCORED_BY_SHARE
from programs.models import MovementRevision

WAYS = 3


class SearchForm(forms.Form):
    q = forms.CharField(required=False)
    client = forms.UUIDField(required=False)


class MovementForm(forms.Form):
    """A practice's own movement. Areas are wanted: without them no barred area would ever keep a client from it."""

    number = forms.IntegerField(min_value=0, initial=0, widget=forms.HiddenInput)
    name = forms.CharField(label=_("Name"), max_length=120)
    pattern = forms.ChoiceField(label=_("Pattern"), choices=Pattern.choices)
    measure = forms.ChoiceField(label=_("Counted in"), choices=Measure.choices)
    load_kind = forms.ChoiceField(label=_("Works against"), choices=LoadKind.choices)
    share_percent = forms.DecimalField(
        label=_("Share of body mass"),
        min_value=1,
        max_value=100,
        required=False,
        help_text=_("Only where the body is the load. It is kept as a guess."),
        widget=forms.NumberInput(attrs={"data-unit": _("%"), "inputmode": "decimal"}),
    )
    one_sided = forms.BooleanField(label=_("One side at a time"), required=False)
    vigorous = forms.BooleanField(
        label=_("Straining by nature"),
        required=False,
        help_text=_("All-out, head-down or jumping: only for clients whose screening allows vigorous effort."),
    )
    cues = forms.CharField(
        label=_("Cues"),
        widget=forms.Textarea(attrs={"rows": 3}),
        max_length=400,
        help_text=_("Two or three, one on each line. Name what is moved or reached for, not the muscle."),
    )
    set_up = forms.CharField(label=_("Set-up"), widget=forms.Textarea(attrs={"rows": 3}), max_length=1000)
    film_from = forms.CharField(label=_("How to film it"), max_length=200)
    main = forms.MultipleChoiceField(
        label=_("Muscles, wholly"), choices=Muscle.choices, widget=forms.CheckboxSelectMultiple
    )
    helping = forms.MultipleChoiceField(
        label=_("Muscles, half"), choices=Muscle.choices, widget=forms.CheckboxSelectMultiple, required=False
    )
    areas = forms.MultipleChoiceField(
        label=_("Areas it stresses"), choices=Area.choices, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for n in range(1, WAYS + 1):
            self.fields[f"way_{n}"] = forms.MultipleChoiceField(
                label=_("Needs all of these") if n == 1 else _("Or all of these"),
                choices=ItemKind.choices,
                widget=forms.CheckboxSelectMultiple,
                required=n == 1,
            )

    def clean_cues(self) -> list[str]:
        cues = [line.strip() for line in self.cleaned_data["cues"].splitlines() if line.strip()]
        if len(cues) not in {2, 3}:
            raise forms.ValidationError(_("Write two or three cues, each on its own line."))
        return cues

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        scored = data.get("load_kind") in SCORED_BY_SHARE
        if scored and data.get("share_percent") is None and "share_percent" not in self.errors:
            self.add_error("share_percent", _("Say which share of the body is moved; 100 where all of it hangs."))
        if data.get("load_kind") == LoadKind.BODY_FULL and data.get("share_percent") not in {None, 100}:
            self.add_error("share_percent", _("The whole body is 100."))
        return data

    def facts(self) -> dict[str, Any]:
        """What was said, as the columns of a revision."""
        data = self.cleaned_data
        scored = data["load_kind"] in SCORED_BY_SHARE
        kept = (
            "name",
            "pattern",
            "measure",
            "load_kind",
            "one_sided",
            "vigorous",
            "cues",
            "set_up",
            "film_from",
            "areas",
        )
        return {name: data[name] for name in kept} | {
            "share": data["share_percent"] / 100 if scored else None,
            "share_basis": ShareBasis.GUESS.value if scored else "",
            "share_source": "the practice's own figure" if scored else "",
            "equipment": [data[f"way_{n}"] for n in range(1, WAYS + 1) if data[f"way_{n}"]],
            "muscles": dict.fromkeys(data["helping"], 0.5) | dict.fromkeys(data["main"], 1),
        }


def movement_initial(revision: MovementRevision) -> dict[str, Any]:
    ways = {f"way_{n}": way for n, way in enumerate(revision.equipment or [[ItemKind.FLOOR.value]], 1)}
    return ways | {
        "name": revision.name,
        "pattern": revision.pattern,
        "measure": revision.measure,
        "load_kind": revision.load_kind,
        "share_percent": None if revision.share is None else plain(revision.share * 100),
        "one_sided": revision.one_sided,
        "vigorous": revision.vigorous,
        "cues": "\n".join(revision.cues),
        "set_up": revision.set_up,
        "film_from": revision.film_from,
        "main": [muscle for muscle, part in revision.muscles.items() if part == 1],
        "helping": [muscle for muscle, part in revision.muscles.items() if part != 1],
        "areas": revision.areas,
        "number": revision.number,
    }
