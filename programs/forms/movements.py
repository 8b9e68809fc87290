"""A practice's own movement, asked as completely as the library's schema asks ours."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.choices import Area, ItemKind
from clients.library.equipment import ATTRIBUTES, Attribute
from clients.library.intake import STEPS
from programs.choices import Grip, LoadKind, Measure, Muscle, Pattern, ShareBasis
from programs.domain.dosing import plain
from programs.library.schema import CAUTIONS, SCORED_BY_SHARE, SORENESS, codes_about
from programs.models import MovementRevision

WAYS, MOST_WAYS = 3, 8
# What can be wanted of a thing: (kind, what clients are asked about it).
WANTED: tuple[tuple[str, Attribute], ...] = tuple(
    (kind.value, attribute) for kind in ItemKind for attribute in ATTRIBUTES.get(kind, ())
)
# The questions about health; what somebody wants to reach makes no movement risky.
_ABOUT_HEALTH = frozenset({"disease", "symptoms", "special"})
HEALTH_ANSWERS = [
    (f"{question.code}:{code}", label)
    for step in STEPS
    for question in step.questions
    if question.code in _ABOUT_HEALTH
    for code, label in question.choices
]


def least_name(kind: str, attribute: Attribute) -> str:
    return f"least_{kind}_{attribute.code}"


def _least_field(kind: str, attribute: Attribute) -> forms.Field:
    # Of several, one is enough.
    wanted = {"masses": _("one this heavy"), "lengths": _("one this high")}.get(attribute.kind, attribute.label)
    label = f"{ItemKind(kind).label}: {wanted}"
    if attribute.kind == "ticks":
        return LevelsField(label=label, choices=attribute.choices, widget=forms.CheckboxSelectMultiple, required=False)
    unit = "kg" if attribute.kind.startswith("mass") else "cm"
    return LeastField(
        label=label,
        required=False,
        min_value=attribute.minimum,
        max_value=attribute.maximum,
        help_text=_("At least."),
        widget=forms.NumberInput(attrs={"data-unit": unit, "inputmode": "decimal", "step": "any"}),
    )


class LeastField(forms.FloatField):
    """A least length or mass; a whole number stays one."""

    def clean(self, value: Any) -> float | int | None:
        number = super().clean(value)
        return int(number) if number is not None and number == int(number) else number


class LevelsField(forms.MultipleChoiceField):
    """Levels of which any will do."""

    def clean(self, value: Any) -> tuple[str, ...]:
        return tuple(super().clean(value))


class MovementForm(forms.Form):
    """A practice's own movement. Areas are wanted: without them no barred area would ever keep a client from it."""

    first_fields = ("name", "pattern", "measure", "load_kind", "share_percent", "one_sided", "vigorous", "lowering")
    then_fields = ("grips", "cues", "set_up", "film_from", "main", "helping", "areas")
    caution_fields = ("cautions", "own_caution", "caution_codes")

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
    lowering = forms.BooleanField(
        label=_("Only lowered, or lowered long"),
        required=False,
        help_text=_("It starts small after a break and when it is new: strong soreness follows the first sessions."),
    )
    grips = forms.MultipleChoiceField(
        label=_("Grips"),
        choices=[choice for choice in Grip.choices if choice[0]],
        widget=forms.CheckboxSelectMultiple,
        required=False,
        help_text=_("Those that fit; none where the hands do not matter."),
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

    cautions = forms.MultipleChoiceField(
        label=_("What to take care of"),
        choices=list(CAUTIONS.items()),
        widget=forms.CheckboxSelectMultiple,
        required=False,
        help_text=_("It stands beside the movement. Whoever gave an answer in the intake that it is about is named."),
    )
    own_caution = forms.CharField(label=_("Something else to take care of"), max_length=200, required=False)
    caution_codes = forms.MultipleChoiceField(
        label=_("It matters to whoever answered"),
        choices=HEALTH_ANSWERS,
        widget=forms.CheckboxSelectMultiple,
        required=False,
        help_text=_("Besides the answers that the ticked ones are about."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.ways = max(WAYS, *(n for n in range(WAYS, MOST_WAYS + 1) if self._has(f"way_{n}")), 0)
        for n in range(1, self.ways + 1):
            self.fields[f"way_{n}"] = forms.MultipleChoiceField(
                label=_("Needs all of these") if n == 1 else _("Or all of these"),
                choices=ItemKind.choices,
                widget=forms.CheckboxSelectMultiple,
                required=n == 1,
            )
        for kind, attribute in WANTED:
            self.fields[least_name(kind, attribute)] = _least_field(kind, attribute)

    def _has(self, name: str) -> bool:
        return bool(self.data.get(name) or self.initial.get(name))

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
        needed = {kind for way in self._ways(data) for kind in way}
        for kind, attribute in WANTED:
            name = least_name(kind, attribute)
            if data.get(name) not in {None, ()} and kind not in needed:
                self.add_error(name, _("It does not need this thing: tick it above, or leave this empty."))
        return data

    def _ways(self, data: dict[str, Any]) -> list[list[str]]:
        return [data[f"way_{n}"] for n in range(1, self.ways + 1) if data.get(f"way_{n}")]

    def _details(self) -> dict[str, dict[str, Any]]:
        details: dict[str, dict[str, Any]] = {}
        for kind, attribute in WANTED:
            least = self.cleaned_data[least_name(kind, attribute)]
            if least not in {None, ()}:
                details.setdefault(kind, {})[attribute.code] = list(least) if isinstance(least, tuple) else least
        return details

    def _cautions(self) -> list[str]:
        data = self.cleaned_data
        chosen = [words for code, words in CAUTIONS.items() if code in data["cautions"]]
        if data["lowering"] and SORENESS not in chosen:
            chosen.append(SORENESS)
        return [*chosen, *([data["own_caution"]] if data["own_caution"] else [])]

    @property
    def first(self) -> list[forms.BoundField]:
        return [self[name] for name in self.first_fields]

    @property
    def then(self) -> list[forms.BoundField]:
        return [self[name] for name in self.then_fields]

    @property
    def things(self) -> list[forms.BoundField]:
        return [self[f"way_{n}"] for n in range(1, self.ways + 1)]

    @property
    def details(self) -> list[forms.BoundField]:
        return [self[least_name(kind, attribute)] for kind, attribute in WANTED]

    @property
    def has_details(self) -> bool:
        return any(field.value() or field.errors for field in self.details)

    @property
    def care(self) -> list[forms.BoundField]:
        return [self[name] for name in self.caution_fields]

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
            "lowering",
            "grips",
            "cues",
            "set_up",
            "film_from",
            "areas",
        )
        return {name: data[name] for name in kept} | {
            "share": data["share_percent"] / 100 if scored else None,
            "share_basis": ShareBasis.GUESS.value if scored else "",
            "share_source": "the practice's own figure" if scored else "",
            "equipment": self._ways(data),
            "details": self._details(),
            "cautions": self._cautions(),
            "caution_codes": sorted({*data["caution_codes"], *codes_about(self._cautions())}),
            "muscles": dict.fromkeys(data["helping"], 0.5) | dict.fromkeys(data["main"], 1),
        }


def movement_initial(revision: MovementRevision) -> dict[str, Any]:
    ways = {f"way_{n}": way for n, way in enumerate(revision.equipment or [[ItemKind.FLOOR.value]], 1)}
    least = {
        least_name(kind, attribute): revision.details.get(kind, {}).get(attribute.code) for kind, attribute in WANTED
    }
    ours = [caution for caution in revision.cautions if caution not in CAUTIONS.values()]
    return (
        ways
        | least
        | {
            "name": revision.name,
            "pattern": revision.pattern,
            "measure": revision.measure,
            "load_kind": revision.load_kind,
            "share_percent": None if revision.share is None else plain(revision.share * 100),
            "one_sided": revision.one_sided,
            "vigorous": revision.vigorous,
            "lowering": revision.lowering,
            "grips": revision.grips,
            "cautions": [code for code, words in CAUTIONS.items() if words in revision.cautions],
            "own_caution": " ".join(ours),
            "caution_codes": sorted(set(revision.caution_codes) - codes_about(revision.cautions)),
            "cues": "\n".join(revision.cues),
            "set_up": revision.set_up,
            "film_from": revision.film_from,
            "main": [muscle for muscle, part in revision.muscles.items() if part == 1],
            "helping": [muscle for muscle, part in revision.muscles.items() if part != 1],
            "areas": revision.areas,
            "number": revision.number,
        }
    )
