"""What a practice makes of the library: its own movements and lines, its own version of ours, and what it hides."""

import datetime
from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.utils.text import slugify

from clients.choices import Area, ItemKind
from clients.models import Practice, User
from methods.bodyweight import Basis, Share
from programs.choices import Grip, LoadKind, Measure, Muscle, Pattern
from programs.errors import MovementEditedMeanwhile, MovementRefused
from programs.library.checks import entry_flaws
from programs.library.schema import Entry
from programs.models import HiddenMovement, Movement, MovementRevision


def add_movement(practice: Practice, *, facts: Mapping[str, Any], like: Movement | None = None) -> Movement:
    """A movement of the practice's own. One made from a shared one takes its place for this practice.

    Raises MovementRefused, MovementEditedMeanwhile.
    """
    _require_sound(facts)
    slug = like.slug if like is not None and like.practice_id is None else _free_slug(practice, str(facts["name"]))
    with transaction.atomic():
        Practice.objects.select_for_update().get(pk=practice.pk)
        standing = Movement.objects.filter(practice=practice, slug=slug).first()
        if standing is not None and standing.current is not None:
            raise MovementEditedMeanwhile(standing.current.number)
        movement = Movement.objects.create(practice=practice, slug=slug)
        _new_revision(movement, 1, facts)
    return movement


def _free_slug(practice: Practice, name: str) -> str:
    """Never the slug of a shared movement: that would put the new one in its place."""
    base = (slugify(name) or "movement")[:70]
    taken = set(Movement.objects.of(practice).filter(slug__startswith=base).values_list("slug", flat=True))
    return next(slug for slug in (base, *(f"{base}-{n}" for n in range(2, len(taken) + 3))) if slug not in taken)


def revise_movement(movement: Movement, *, facts: Mapping[str, Any], seen: int) -> MovementRevision:
    """Say it anew; what was planned and logged keeps what it said. Raises MovementRefused, MovementEditedMeanwhile."""
    _require_sound(facts)
    with transaction.atomic():
        locked = Movement.objects.select_for_update(of=("self",)).select_related("current").get(pk=movement.pk)
        number = locked.current.number if locked.current else 0
        if number != seen:
            raise MovementEditedMeanwhile(number)
        return _new_revision(locked, number + 1, facts)


def _require_sound(facts: Mapping[str, Any]) -> None:
    """The rules of the shipped movements hold for a practice's own (programs.library.checks)."""
    name = str(facts["name"])
    share = None if facts["share"] is None else Share(float(facts["share"]), "own", Basis(facts["share_basis"]))
    entry = Entry(
        name,
        name,
        Pattern(facts["pattern"]),
        LoadKind(facts["load_kind"]),
        tuple(tuple(ItemKind(kind) for kind in way) for way in facts["equipment"]),
        {Muscle(muscle): part for muscle, part in facts["muscles"].items()},
        tuple(Area(area) for area in facts["areas"]),
        tuple(facts["cues"]),
        facts["set_up"],
        facts["film_from"],
        measure=Measure(facts["measure"]),
        share=share,
        cautions=tuple(facts["cautions"]),
        lowering=facts["lowering"],
        grips=tuple(Grip(grip) for grip in facts["grips"]),
        details={ItemKind(kind): _least_of(wanted) for kind, wanted in facts["details"].items()},
        more_codes=tuple(facts["caution_codes"]),
    )
    if flaws := [flaw.removeprefix(f"{name}: ") for flaw in entry_flaws(entry)]:
        raise MovementRefused(flaws)


def _least_of(wanted: Mapping[str, Any]) -> dict[str, float | tuple[str, ...]]:
    return {code: tuple(least) if isinstance(least, list) else least for code, least in wanted.items()}


def _new_revision(movement: Movement, number: int, facts: Mapping[str, Any]) -> MovementRevision:
    movement.current = MovementRevision.objects.create(movement=movement, number=number, **facts)
    movement.save(update_fields=["current"])
    return movement.current


def carried_over(before: MovementRevision, facts: Mapping[str, Any]) -> dict[str, Any]:
    """What the form does not ask stays as it was: the order of cautions and grips, the source of a share."""
    kept: dict[str, Any] = {
        name: getattr(before, name)
        for name in ("cautions", "grips")
        if sorted(facts[name]) == sorted(getattr(before, name))
    }
    if facts["share"] is not None and facts["share"] == before.share:
        kept |= {"share_basis": before.share_basis, "share_source": before.share_source}
    return {**facts, **kept}


def hide_movement(movement: Movement, *, practice: Practice, by: User, at: datetime.datetime) -> None:
    """No longer offered in this practice. Doing it twice changes nothing."""
    HiddenMovement.objects.get_or_create(practice=practice, movement=movement, defaults={"by": by, "at": at})


def show_movement(movement: Movement, *, practice: Practice) -> None:
    HiddenMovement.objects.filter(practice=practice, movement=movement).delete()
