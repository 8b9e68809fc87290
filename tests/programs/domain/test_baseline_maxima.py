import datetime
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from clients.choices import MassUnit
from methods.dose import Dose
from programs.choices import LoadKind, MaxOfWhat, MaxSource, ShareBasis
from programs.domain import building
from programs.domain.baseline_maxima import (
    ToldMax,
    current_max,
    load_of_percent,
    max_change_words,
    max_histories,
    max_words,
    set_reference_max,
    take_max_back,
)
from programs.domain.checking import check_block, limits_of
from programs.domain.dosing import load_words
from programs.domain.drafting import apply_dose, new_revision
from programs.domain.publishing import publish_block
from programs.domain.rows import Row, with_contents
from programs.errors import NoReferenceMax, NotAMaximum
from programs.models import Prescription
from tests import factories as f

pytestmark = pytest.mark.django_db
FUTURE = f.MONDAY.replace(year=2099)
NOON = f.NOON


@pytest.fixture
def ready(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    return cast.client


@pytest.fixture
def press():
    facts = {"load_kind": LoadKind.EXTERNAL, "share": None, "share_basis": "", "share_source": ""}
    return f.MovementFactory(slug="dumbbell-floor-press", **{f"revision__{k}": v for k, v in facts.items()}).current


@pytest.fixture
def pull_up():
    facts = {"load_kind": LoadKind.BODY_PLUS, "share": 1, "share_basis": ShareBasis.CONVENTION}
    return f.MovementFactory(slug="weighted-pull-up", **{f"revision__{k}": v for k, v in facts.items()}).current


def a_test(load=60, of_what=MaxOfWhat.EXTERNAL, **said):
    return ToldMax(of_what, MaxSource.TESTED, Decimal(load), MassUnit.KG, **said)


def keep(client, cast, movement, told, on=f.MONDAY):
    return set_reference_max(client, movement, told, on=on, by=cast.coach, at=NOON)


def draft(client, cast, movement, percent=80, **row):
    block = building.create_block(client, by=cast.coach, title="Spring", starts_on=FUTURE, weeks=2)
    session = building.add_session(block, version=0, name="Push day", week=1, weekday=1)
    rows = [Row(movement=movement, percent_of_max=Decimal(percent), **row)]
    building.save_session(session, rows, version=1, name="Push day", weekday=1)
    block.refresh_from_db()
    return block


def publish(block, cast):
    return publish_block(block, by=cast.coach, at=NOON, first_day=FUTURE)


def dose_of(block):
    return Prescription.objects.get(group__section__session__block=block)


# Percentages


def test_percentage_becomes_a_load_when_the_block_is_published(ready, cast, press):
    reference = keep(ready, cast, press, a_test(61))
    block = draft(ready, cast, press)
    assert load_words(dose_of(block)) == "80 % of the reference max"

    publish(block, cast)

    dose = dose_of(block)
    assert (dose.load_kg, dose.percent_of_max, dose.reference_max) == (Decimal("48.500"), Decimal("80.0"), reference)
    assert load_words(dose) == "48.5 kg"


def test_later_maximum_changes_no_published_block(ready, cast, press):
    keep(ready, cast, press, a_test(60))
    block = draft(ready, cast, press)
    publish(block, cast)

    newer = keep(ready, cast, press, a_test(100))

    assert (dose_of(block).load_kg, current_max(ready, newer.slug)) == (Decimal(48), newer)
    with pytest.raises(IntegrityError, match="frozen"), transaction.atomic():
        Prescription.objects.filter(pk=dose_of(block).pk).update(load_kg=80, load_entered=80)


def test_next_revision_goes_by_the_newer_maximum(ready, cast, press):
    keep(ready, cast, press, a_test(60))
    block = draft(ready, cast, press)
    publish(block, cast)
    keep(ready, cast, press, a_test(70))
    revision = new_revision(block, by=cast.coach)

    publish(revision, cast)

    assert dose_of(revision).load_kg == Decimal(56)


def test_percentage_without_a_maximum_keeps_the_block_from_being_published(ready, cast, press):
    block = draft(ready, cast, press)

    with pytest.raises(NoReferenceMax, match=press.name):
        publish(block, cast)

    block.refresh_from_db()
    assert (block.is_draft, dose_of(block).load_kg) == (True, None)


def test_maximum_that_was_taken_back_is_none(ready, cast, press):
    take_max_back(keep(ready, cast, press, a_test()), by=cast.coach, at=NOON)
    block = draft(ready, cast, press)

    with pytest.raises(NoReferenceMax):
        publish(block, cast)


def test_maximum_of_somebody_else_does_not_count(ready, cast, press):
    keep(cast.other_client, cast, press, a_test())
    block = draft(ready, cast, press)

    with pytest.raises(NoReferenceMax):
        publish(block, cast)


def test_with_the_body_counted_in_the_body_is_taken_off_again(ready, cast, pull_up):
    f.BodyMassFactory(client=ready, mass_kg=80, entered=80)
    reference = keep(ready, cast, pull_up, a_test(40, MaxOfWhat.SYSTEM))
    block = draft(ready, cast, pull_up, percent=90)

    publish(block, cast)

    # 90 % of 120 kg less 80 kg.
    assert (reference.load_kg, dose_of(block).load_kg) == (Decimal(120), Decimal(28))


def test_percentage_that_leaves_nothing_to_add_is_refused(ready, cast, pull_up):
    f.BodyMassFactory(client=ready, mass_kg=80, entered=80)
    keep(ready, cast, pull_up, a_test(10, MaxOfWhat.SYSTEM))
    block = draft(ready, cast, pull_up, percent=80)

    with pytest.raises(NoReferenceMax):
        publish(block, cast)


def test_load_of_its_own_takes_the_place_of_a_percentage(ready, cast, press):
    dose = dose_of(draft(ready, cast, press))

    apply_dose(dose, Dose(load_kg=50.0, repetitions=8, sets=3))

    assert (dose.percent_of_max, load_words(dose)) == (None, "50 kg")


@pytest.mark.parametrize(("unit", "expected"), [(MassUnit.KG, "45"), (MassUnit.LB, "99")])
def test_load_comes_out_in_the_clients_unit_down_to_the_half(unit, expected):
    reference = f.ReferenceMaxFactory.build(load_kg=Decimal(60), of_what=MaxOfWhat.EXTERNAL, client=None, practice=None,
                                            movement=None, slug="x", by=None)  # fmt: skip

    assert load_of_percent(reference, Decimal(75), body_kg=Decimal(0), unit=unit) == Decimal(expected)


def test_publishing_page_says_beforehand_that_a_maximum_is_missing(ready, cast, press):
    block = draft(ready, cast, press)

    def stops():
        remarks = check_block(with_contents(block.sessions.all()), limits_of(ready, on=FUTURE))
        return [remark.text for remark in remarks if remark.stops]

    assert stops() == ["A percentage, and no reference max yet."]
    keep(ready, cast, press, a_test(60))
    assert stops() == []


@pytest.mark.parametrize(
    ("percent", "mass", "said"),
    [
        (90, 70, []),
        (60, 70, ["60 % of the reference max leaves nothing to lift."]),
        (90, None, ["A percentage of a load with the body in it, and no body mass is known."]),
    ],
)
def test_percentage_that_leaves_nothing_is_told_before_publishing(ready, cast, pull_up, percent, mass, said):
    if mass is not None:
        f.BodyMassFactory(client=ready, mass_kg=mass)
    f.ReferenceMaxFactory(
        client=ready, movement=pull_up, slug="weighted-pull-up", load_kg=90, of_what=MaxOfWhat.SYSTEM, body_mass_kg=70
    )
    block = draft(ready, cast, pull_up, percent)

    remarks = check_block(with_contents(block.sessions.all()), limits_of(ready, on=FUTURE))

    assert [remark.text for remark in remarks if remark.stops] == said


# Maxima


def test_estimate_keeps_the_set_and_the_formula_it_comes_from(ready, cast, press):
    told = ToldMax(MaxOfWhat.EXTERNAL, MaxSource.ESTIMATED, Decimal(50), MassUnit.KG, repetitions=5, formula="brzycki")

    reference = keep(ready, cast, press, told)

    # Brzycki by hand: 50 x 36 / 32.
    assert reference.load_kg == Decimal("56.250")
    assert (reference.from_load_kg, reference.from_repetitions, reference.formula) == (Decimal(50), 5, "brzycki")
    assert "estimated from 5 reps with 50 kg by Brzycki" in max_words(reference)


@pytest.mark.parametrize("wrong", [{"formula": "hearsay"}, {"repetitions": None}, {"repetitions": 40}])
def test_estimate_from_nothing_known_is_refused(ready, cast, press, wrong):
    said = {"repetitions": 5, "formula": "epley"} | wrong

    with pytest.raises(NotAMaximum):
        keep(ready, cast, press, ToldMax(MaxOfWhat.EXTERNAL, MaxSource.ESTIMATED, Decimal(50), MassUnit.KG, **said))


def test_movement_without_a_load_has_no_maximum(ready, cast):
    with pytest.raises(NotAMaximum, match="no load"):
        keep(ready, cast, f.MovementFactory().current, a_test())


def test_body_counts_in_only_with_a_known_mass(ready, cast, pull_up):
    with pytest.raises(NotAMaximum, match="No body mass"):
        keep(ready, cast, pull_up, a_test(20, MaxOfWhat.SYSTEM))


def test_body_counts_in_only_where_load_is_added_to_it(ready, cast, press):
    with pytest.raises(NotAMaximum, match="only where"):
        keep(ready, cast, press, a_test(20, MaxOfWhat.SYSTEM))


def test_pounds_are_kept_as_typed_and_in_kg(ready, cast, press):
    reference = keep(ready, cast, press, ToldMax(MaxOfWhat.EXTERNAL, MaxSource.TOLD, Decimal(100), MassUnit.LB))

    assert (reference.load_entered, reference.load_kg) == (Decimal("100.00"), Decimal("45.359"))


def test_new_maximum_is_the_next_version(ready, cast, press):
    first = keep(ready, cast, press, a_test(60))
    second = keep(ready, cast, press, a_test(64))

    histories = max_histories(ready)

    first.refresh_from_db()
    assert (first.is_current, second.replaces) == (False, first)
    assert [[reference for reference, _words in history.shown] for history in histories] == [[second, first]]


@pytest.mark.parametrize(("kg", "words"), [(68, "more than the test's own noise (12 %"), (67, "within")])
def test_tested_maxima_are_read_against_published_noise(ready, cast, press, kg, words):
    first = keep(ready, cast, press, a_test(60))
    second = keep(ready, cast, press, a_test(kg), on=f.MONDAY + datetime.timedelta(weeks=6))

    assert words in max_change_words(first, second)


def test_noise_of_an_estimate_is_unknown(ready, cast, press):
    first = keep(ready, cast, press, a_test(60))
    second = keep(ready, cast, press, ToldMax(MaxOfWhat.EXTERNAL, MaxSource.TOLD, Decimal(80), MassUnit.KG))

    assert "unknown" in max_change_words(first, second)


def test_maxima_with_and_without_the_body_are_not_compared(ready, cast, pull_up):
    f.BodyMassFactory(client=ready, mass_kg=80, entered=80)
    first = keep(ready, cast, pull_up, a_test(20))
    second = keep(ready, cast, pull_up, a_test(22, MaxOfWhat.SYSTEM))

    assert "Not compared" in max_change_words(first, second)
