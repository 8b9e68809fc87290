import datetime
from decimal import Decimal

import pytest

from clients.choices import MassUnit
from methods.dose import Dose
from programs.domain.drafting import apply_dose, draft_from_block, in_block, new_revision, swap_movement
from programs.errors import NotADraft
from programs.models import Block
from tests import factories as f

pytestmark = pytest.mark.django_db
STATED = Dose(load_kg=20, repetitions=10, sets=4, tempo="3-1-1-0", rir=2, rest_s=120)


@pytest.fixture
def prescription(cast):
    block = f.BlockFactory(client=cast.client, weeks=2, title="Base")
    session = f.BlockSessionFactory(block=block)
    return f.PrescriptionFactory(
        group=f.GroupFactory(section=f.SectionFactory(session=session)), change_reason="Because."
    )


def block_of(prescription):
    return prescription.group.section.session.block


def test_next_block_keeps_lineages_and_names_its_forerunner(cast, prescription):
    was = f.publish(block_of(prescription))

    draft = draft_from_block(was, starts_on=datetime.date(2026, 4, 1), by=cast.coach)

    copy = in_block(draft, prescription.lineage).get()
    assert draft.previous == was
    assert draft.lineage != was.lineage
    assert draft.starts_on == datetime.date(2026, 3, 30)
    assert (copy.sets, copy.movement, copy.change_reason) == (prescription.sets, prescription.movement, "")


def test_revision_has_the_same_lineage_and_is_opened_once(cast, prescription):
    was = f.publish(block_of(prescription))

    first, again = new_revision(was, by=cast.coach), new_revision(was, by=cast.coach)

    assert first == again
    assert (first.lineage, first.revision, Block.objects.count()) == (was.lineage, 2, 2)
    assert in_block(first, prescription.lineage).exists()


def test_dose_is_applied_where_it_is_stated(prescription):
    changed = apply_dose(prescription, STATED, reason="Two sessions over the range.")

    assert (changed.sets, changed.amount_low, changed.amount_high) == (4, 6, 10)
    assert (changed.tempo, changed.rest_s, changed.target_rir) == ("3-1-1-0", 120, Decimal(2))
    assert (changed.load_entered, changed.load_unit, changed.load_kg) == (Decimal(20), "kg", Decimal(20))
    assert changed.change_reason == "Two sessions over the range."


def test_dose_leaves_what_it_does_not_state(prescription):
    changed = apply_dose(prescription, Dose(sets=3))

    assert (changed.amount_low, changed.amount_high, changed.rest_s, changed.load_kg) == (8, 12, 90, None)


def test_load_stays_in_the_unit_it_was_typed_in(prescription):
    prescription.load_unit, prescription.load_entered, prescription.load_kg = (
        MassUnit.LB,
        Decimal(45),
        Decimal("20.412"),
    )

    changed = apply_dose(prescription, Dose(sets=3, load_kg=22.68))

    assert (changed.load_entered, changed.load_kg) == (Decimal("50.00"), Decimal("22.680"))


def test_negative_load_is_help(prescription):
    changed = apply_dose(prescription, Dose(sets=3, load_kg=-15))

    assert (changed.assistance_kg, changed.load_kg, changed.load_unit) == (Decimal(15), None, "")


def test_swapped_movement_starts_at_its_entry_dose(prescription):
    apply_dose(prescription, STATED)
    other = f.MovementFactory().current

    changed = swap_movement(prescription, other, {"sets": 3, "amount_low": 3, "amount_high": 5, "target_rir": 3})

    changed.refresh_from_db()
    assert (changed.movement, changed.load_kg, changed.amount_high, changed.target_rir) == (other, None, 5, 3)


@pytest.mark.parametrize("verb", [lambda p: apply_dose(p, STATED), lambda p: swap_movement(p, p.movement, {})])
def test_published_prescriptions_are_left_alone(prescription, verb):
    f.publish(block_of(prescription))

    with pytest.raises(NotADraft):
        verb(prescription)
