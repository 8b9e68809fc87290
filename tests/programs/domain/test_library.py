import dataclasses

import pytest

from clients.choices import ItemKind
from programs.domain.library import at_hand, current_movements, easier_and_harder, load_library, why_not
from programs.library import LINES, MOVEMENTS
from programs.models import Movement, MovementRevision, ProgressionEdge
from tests import factories as f

pytestmark = pytest.mark.django_db


def _with_other_cue(entry):
    return dataclasses.replace(entry, cues=("Another cue.", "And one more."))


def test_library_loads_every_entry():
    loaded = load_library()

    assert loaded.added == len(MOVEMENTS) == Movement.objects.count()
    assert ProgressionEdge.objects.count() == sum(len(line.edges) for line in LINES)


def test_library_loaded_twice_changes_nothing():
    load_library()

    assert load_library().unchanged == len(MOVEMENTS)
    assert MovementRevision.objects.count() == len(MOVEMENTS)


def test_changed_entry_becomes_a_new_revision_and_keeps_the_old_one():
    load_library(MOVEMENTS, ())
    old = Movement.objects.get(slug=MOVEMENTS[0].slug).current

    loaded = load_library((_with_other_cue(MOVEMENTS[0]), *MOVEMENTS[1:]), ())

    new = Movement.objects.get(slug=MOVEMENTS[0].slug).current
    old.refresh_from_db()
    assert (loaded.revised, new.number, new.cues) == (1, 2, ["Another cue.", "And one more."])
    assert old.cues == list(MOVEMENTS[0].cues)


def test_edge_that_left_the_library_is_dropped():
    load_library()
    shorter = dataclasses.replace(LINES[0], edges=LINES[0].edges[:1])

    load_library(MOVEMENTS, (shorter,))

    assert ProgressionEdge.objects.filter(line__slug=LINES[0].slug).count() == 1


def test_neighbours_of_the_pull_up_are_one_step_away():
    load_library()

    neighbours = easier_and_harder(Movement.objects.get(slug="pull-up"), f.PracticeFactory())

    assert {step.movement.slug for step in neighbours.easier} == {"chin-up"}
    assert {step.movement.slug for step in neighbours.harder} == {"pull-up-paused-top", "weighted-pull-up"}
    assert neighbours.harder[0].entry_dose["sets"] == 3


def test_lines_of_another_practice_stay_there():
    easier, harder = f.MovementFactory(), f.MovementFactory()
    theirs = f.PracticeFactory()
    line = ProgressionEdge._meta.get_field("line").related_model.objects.create(practice=theirs, slug="x", name="X")
    ProgressionEdge.objects.create(line=line, easier=easier, harder=harder)

    assert easier_and_harder(easier, f.PracticeFactory()).harder == []
    assert len(easier_and_harder(easier, theirs).harder) == 1


def test_a_bar_without_a_set_up_check_does_not_carry_anyone(cast):
    place = f.PlaceFactory(client=cast.client)
    f.EquipmentItemFactory(place=place, kind=ItemKind.BAR, set_up_checked_on=None)
    revision = f.MovementRevisionFactory(movement=f.MovementFactory(), number=2, equipment=[["bar"], ["rings"]])

    assert "set-up check" in why_not(revision, at_hand(cast.client, on=f.MONDAY))


def test_a_checked_bar_makes_the_movement_possible(cast):
    place = f.PlaceFactory(client=cast.client)
    f.EquipmentItemFactory(place=place, kind=ItemKind.BAR)
    revision = f.MovementRevisionFactory(movement=f.MovementFactory(), number=2, equipment=[["bar", "chair"], ["bar"]])

    assert why_not(revision, at_hand(cast.client, on=f.MONDAY)) == ""


def test_what_is_missing_is_named_by_the_nearest_set(cast):
    revision = f.MovementRevisionFactory(
        movement=f.MovementFactory(), number=2, equipment=[["bar", "chair"], ["rings"]]
    )

    assert why_not(revision, at_hand(cast.client, on=f.MONDAY)) == "Not at this place: Rings."


def test_removed_items_and_other_places_do_not_count(cast):
    home = f.PlaceFactory(client=cast.client)
    f.EquipmentItemFactory(place=home, kind=ItemKind.BAR, removed_at=f.NOON)
    f.EquipmentItemFactory(place=f.PlaceFactory(client=cast.client, name="Park", is_default=False), kind=ItemKind.RINGS)

    assert at_hand(cast.client, on=f.MONDAY).present == {"floor", "wall"}


def test_practice_movement_wins_over_the_shared_one_of_the_same_name(cast):
    f.MovementFactory(slug="push-up")
    own = f.MovementFactory(slug="push-up", practice=cast.practice)

    assert current_movements(cast.practice)["push up"] == own.current
    assert current_movements(cast.other_practice)["push up"] != own.current
