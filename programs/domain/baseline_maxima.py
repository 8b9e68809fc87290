"""Reference maxima: what percentages of a plan are of. Set by a coach; a published block keeps the load it came to."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal
from itertools import pairwise
from typing import cast

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from clients.domain.versions import supersede
from clients.models import BodyMass, Client, User
from methods.repeatability import tested_maximum_noise_grgic
from methods.strength import FORMULAS, one_repetition_maximum_from_set
from methods.units import in_unit, kg_from
from programs.choices import LoadKind, MaxOfWhat, MaxSource
from programs.domain.dosing import plain
from programs.domain.resolving import LOAD_STEP_KG, WITH_A_LOAD
from programs.errors import NoReferenceMax, NotAMaximum
from programs.models import Block, MovementRevision, Prescription, ReferenceMax

STEP = Decimal(str(LOAD_STEP_KG))
THOUSANDTH = Decimal("0.001")


@dataclass(frozen=True)
class ToldMax:
    """A maximum as a coach gives it: the load itself, or the set to estimate it from, both as typed."""

    of_what: str
    source: str
    load: Decimal
    unit: str
    # Of an estimate: done with `load`, to the last clean repetition.
    repetitions: int | None = None
    formula: str = ""
    note: str = ""


def set_reference_max(
    client: Client, movement: MovementRevision, told: ToldMax, *, on: datetime.date, by: User, at: datetime.datetime
) -> ReferenceMax:
    """Keep the maximum that percentages of this movement go by from now on. What was published stays as it is.

    `told.load` is what was lifted or added. Of a system load the body's share of that day is counted in.
    Raises NotAMaximum where the movement has no load, nothing can be estimated, or no body mass is known.
    """
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        version = _version(client, movement, told, on=on)
        version.by, version.at = by, at
        return supersede(current_max(client, version.slug), version)


def _version(client: Client, movement: MovementRevision, told: ToldMax, *, on: datetime.date) -> ReferenceMax:
    is_estimate = told.source == MaxSource.ESTIMATED
    external_kg = kg_from(told.load, told.unit)
    body_kg, mass_kg = _body_part(client, movement, told.of_what, on=on)
    moved_kg = external_kg + body_kg
    kg = estimated_kg(moved_kg, told) if is_estimate else moved_kg
    if not 0 < kg <= 1000:
        raise NotAMaximum
    return ReferenceMax(
        practice_id=client.practice_id,
        client=client,
        slug=movement.movement.slug,
        movement=movement,
        on=on,
        load_entered=in_unit(kg, told.unit).quantize(Decimal("0.01")),
        load_unit=told.unit,
        load_kg=kg.quantize(THOUSANDTH),
        of_what=told.of_what,
        source=told.source,
        formula=told.formula if is_estimate else "",
        from_load_kg=external_kg.quantize(THOUSANDTH) if is_estimate else None,
        from_repetitions=told.repetitions if is_estimate else None,
        body_mass_kg=mass_kg,
        note=told.note,
    )


def _body_part(
    client: Client, movement: MovementRevision, of_what: str, *, on: datetime.date
) -> tuple[Decimal, Decimal | None]:
    """The body's share of a system load, and the mass it rests on; nothing of a load that leaves the body out."""
    if movement.load_kind not in WITH_A_LOAD:
        raise NotAMaximum(_("This movement has no load to take a percentage of."))
    if of_what == MaxOfWhat.EXTERNAL:
        return Decimal(0), None
    if movement.load_kind != LoadKind.BODY_PLUS or movement.share is None:
        raise NotAMaximum(_("The body counts in only where a movement adds a load to it."))
    mass = BodyMass.objects.of(client).for_day(on)
    if mass is None:
        raise NotAMaximum(_("No body mass is known, so the load with the body cannot be worked out."))
    return mass.mass_kg * movement.share, mass.mass_kg


def estimated_kg(load_kg: Decimal, told: ToldMax) -> Decimal:
    if told.formula not in FORMULAS or not told.repetitions:
        raise NotAMaximum(_("An estimate needs a formula, and the repetitions it is made from."))
    try:
        estimate = one_repetition_maximum_from_set(float(load_kg), told.repetitions, 0, told.formula)
    except ValueError as outside:
        raise NotAMaximum(_("The formula is not made for so many repetitions.")) from outside
    return Decimal(str(estimate))


def take_max_back(reference: ReferenceMax, *, by: User, at: datetime.datetime) -> ReferenceMax:
    """Percentages of this movement have nothing to go by any more; what was published keeps its loads."""
    kept = [f.name for f in ReferenceMax._meta.concrete_fields if f.name not in _OF_A_VERSION]
    version = ReferenceMax(**{name: getattr(reference, name) for name in kept}, by=by, at=at, is_withdrawn=True)
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=reference.client_id)
        return supersede(reference, version)


_OF_A_VERSION = {
    "id", "uuid", "created_at", "replaces", "is_current", "erased_at", "by", "at", "is_withdrawn",
}  # fmt: skip


def current_max(client: Client, slug: str) -> ReferenceMax | None:
    return ReferenceMax.objects.counting().filter(client=client, slug=slug).first()


@dataclass(frozen=True)
class MaxHistory:
    """A movement's maxima, newest first, each with what changed since the one before."""

    current: ReferenceMax
    shown: tuple[tuple[ReferenceMax, str], ...]


def max_histories(client: Client) -> list[MaxHistory]:
    """Of every movement that has one now: its versions, with the tested ones compared."""
    rows = ReferenceMax.objects.of(client).filter(erased_at=None, is_withdrawn=False).select_related("movement", "by")
    found: dict[str, list[ReferenceMax]] = {}
    for row in rows.order_by("pk"):
        found.setdefault(row.slug, []).append(row)
    return [
        MaxHistory(versions[-1], tuple(zip(versions, _changes(versions), strict=True))[::-1])
        for _slug, versions in sorted(found.items())
        if versions[-1].is_current
    ]


def _changes(versions: list[ReferenceMax]) -> list[str]:
    return ["", *(max_change_words(old, new) for old, new in pairwise(versions))]


def max_change_words(old: ReferenceMax, new: ReferenceMax) -> str:
    """Two tested maxima against the published noise of such tests; of other sources only the difference."""
    percent = float(100 * (new.load_kg - old.load_kg) / old.load_kg)
    said = {"percent": f"{percent:+.1f}", "on": date_format(old.on, "DATE_FORMAT")}
    if old.of_what != new.of_what:
        return _("Not compared: one counts the body in, the other does not.")
    if {old.source, new.source} != {MaxSource.TESTED.value}:
        return _("%(percent)s %% since %(on)s. How large the noise of such a figure is, is unknown.") % said
    noise = tested_maximum_noise_grgic()
    said |= {"noise": f"{noise.change:.0f}", "source": noise.source}
    if abs(percent) > noise.change:
        return _("%(percent)s %% since %(on)s: more than the test's own noise (%(noise)s %%; %(source)s).") % said
    return _("%(percent)s %% since %(on)s: within the test's own noise (%(noise)s %%; %(source)s).") % said


def max_words(reference: ReferenceMax) -> str:
    """A maximum in one line: how much, of what, from where."""
    said = {
        "load": f"{plain(reference.load_entered)} {reference.load_unit}",
        "of_what": reference.get_of_what_display(),
        "source": reference.get_source_display().lower(),
    }
    if reference.source == MaxSource.ESTIMATED:
        said["source"] = _("estimated from %(n)s reps with %(load)s kg by %(formula)s") % {
            "n": reference.from_repetitions,
            "load": plain(reference.from_load_kg),
            "formula": reference.formula.capitalize(),
        }
    return _("%(load)s (%(of_what)s), %(source)s") % said


def load_of_percent(reference: ReferenceMax, percent: Decimal, *, body_kg: Decimal, unit: str) -> Decimal:
    """What to lift or add for a percentage, in the client's unit, down to the half. May be nothing or less."""
    kg = reference.load_kg * percent / 100 - (body_kg if reference.of_what == MaxOfWhat.SYSTEM else 0)
    return (in_unit(kg, unit) / STEP).quantize(Decimal(1), rounding=ROUND_DOWN) * STEP


@dataclass(frozen=True)
class KnownMaxima:
    """A client's reference maxima by movement, with the body mass that a system load rests on."""

    by_slug: Mapping[str, ReferenceMax]
    unit: str
    mass_kg: Decimal | None = None

    def load(self, movement: MovementRevision, percent: Decimal) -> Decimal | None:
        """What a percentage comes to, in the client's unit; None without a maximum, or the body mass in it."""
        reference = self.by_slug.get(movement.movement.slug)
        if reference is None:
            return None
        if reference.of_what == MaxOfWhat.EXTERNAL:
            return load_of_percent(reference, percent, body_kg=Decimal(0), unit=self.unit)
        if self.mass_kg is None or movement.load_kind != LoadKind.BODY_PLUS or movement.share is None:
            return None
        return load_of_percent(reference, percent, body_kg=self.mass_kg * movement.share, unit=self.unit)


def known_maxima(client: Client, *, on: datetime.date) -> KnownMaxima:
    return maxima_with(client, BodyMass.objects.of(client).for_day(on))


def maxima_with(client: Client, mass: BodyMass | None) -> KnownMaxima:
    maxima = ReferenceMax.objects.counting().filter(client=client)
    return KnownMaxima({row.slug: row for row in maxima}, client.mass_unit, mass.mass_kg if mass else None)


def freeze_percentages(block: Block, client: Client, *, on: datetime.date) -> None:
    """Turn every percentage of a draft into the load that it comes to now, for good.

    Raises NoReferenceMax with the movements that have no maximum, or whose percentage leaves nothing to lift.
    """
    rows = Prescription.objects.filter(group__section__session__block=block).exclude(percent_of_max=None)
    known = known_maxima(client, on=on)
    missing: list[str] = []
    for prescription in rows.select_related("movement__movement"):
        if not _freeze(prescription, known):
            missing.append(prescription.movement.name)
    if missing:
        raise NoReferenceMax(missing)


def _freeze(prescription: Prescription, known: KnownMaxima) -> bool:
    load = known.load(prescription.movement, cast("Decimal", prescription.percent_of_max))
    if load is None or load <= 0:
        return False
    prescription.reference_max = known.by_slug[prescription.movement.movement.slug]
    prescription.load_entered, prescription.load_unit, prescription.load_kg = (
        load,
        known.unit,
        kg_from(load, known.unit),
    )
    prescription.assistance_kg = None
    prescription.save(update_fields=["reference_max", "load_entered", "load_unit", "load_kg", "assistance_kg"])
    return True
