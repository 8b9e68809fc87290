"""Places, things and their set-up checks."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.choices import (
    ITEMS_WANTING_A_SET_UP_CHECK,
    ItemKind,
    MassUnit,
)
from clients.domain.things import shown
from clients.forms.fields import NumberField, NumbersField
from clients.library.equipment import ATTRIBUTES, TESTS, Attribute
from clients.library.intake import OFFERED_ITEMS
from clients.models import Client


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
