"""Which sets rest on a body mass that no longer holds for their day."""

import datetime

import pytest
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

import jobs
from clients.domain.body import record_body_mass, take_back_body_mass
from clients.models import BodyMass
from methods.bodyweight import system_load_kg
from programs.choices import LoadKind
from programs.domain.figures import figures_are_stale, mass_history, recompute_sets, request_recomputing
from programs.models import SetLog
from tests import factories as f

DAY = f.NOON.date()
days = st.integers(-5, 5).map(lambda n: DAY + datetime.timedelta(days=n))


class TestHistory(TestCase):
    @given(told=st.lists(st.tuples(days, st.booleans()), max_size=5), day=days)
    def test_mass_that_holds_for_a_day_is_the_one_the_database_names(self, told, day):
        client = f.ClientFactory()
        for n, (on, taken_back) in enumerate(told):
            f.BodyMassFactory(client=client, on=on, mass_kg=60 + n, is_withdrawn=taken_back)

        assert mass_history(client)(day) == BodyMass.objects.filter(client=client).for_day(day)


@pytest.fixture
def trained(cast):
    """Figures are up to date on a body mass of two days before."""
    f.SetLogFactory(client=cast.client, movement=f.MovementFactory().current, repetitions=8, training_day=DAY)
    record_body_mass(cast.client, entered=80, unit="kg", on=DAY - datetime.timedelta(days=2))
    recompute_sets(cast.client)
    return cast.client


def test_recomputed_figures_are_not_stale(trained):
    assert not figures_are_stale(trained)


@pytest.mark.parametrize(("days_later", "stale"), [(-3, False), (-2, True), (-1, True), (0, True), (1, False)])
def test_figures_are_stale_after_a_mass_that_holds_for_their_day(trained, days_later, stale):
    record_body_mass(trained, entered=70, unit="kg", on=DAY + datetime.timedelta(days=days_later))

    assert figures_are_stale(trained) is stale


def test_figures_are_stale_when_their_mass_was_erased(trained):
    BodyMass.objects.update(erased_at=f.NOON, entered=0, unit="", mass_kg=0)

    assert figures_are_stale(trained)


def test_work_against_outer_loads_rests_on_no_body_mass(cast):
    movement = f.MovementFactory(revision__load_kind=LoadKind.EXTERNAL).current
    f.SetLogFactory(client=cast.client, movement=movement, repetitions=8)
    f.BodyMassFactory(client=cast.client)

    assert not figures_are_stale(cast.client)


def test_figures_rest_on_the_next_older_mass_once_theirs_was_taken_back(trained):
    record_body_mass(trained, entered=70, unit="kg", on=DAY)
    recompute_sets(trained)
    take_back_body_mass(BodyMass.objects.counting().get(on=DAY))

    assert figures_are_stale(trained)
    recompute_sets(trained)

    stored = SetLog.objects.get()
    assert (stored.body_mass_on, stored.body_mass_kg) == (DAY - datetime.timedelta(days=2), 80)
    assert float(stored.system_load_kg) == system_load_kg(80, float(stored.share))


def test_without_any_mass_left_the_load_is_unknown_with_its_reason_until_it_is_told_again(trained):
    before = SetLog.objects.get().system_load_kg
    mass = BodyMass.objects.get()
    take_back_body_mass(mass)
    recompute_sets(trained)

    stored = SetLog.objects.get()
    assert (stored.body_mass_on, stored.system_load_kg, stored.volume_load_kg) == (None, None, None)
    assert stored.system_load_unknown == system_load_kg(None, float(stored.share)).reason

    record_body_mass(trained, entered=mass.entered, unit=mass.unit, on=mass.on)
    recompute_sets(trained)
    assert SetLog.objects.get().system_load_kg == before


def test_a_mass_taken_back_is_followed_by_recomputing_without_anybody_asking(trained):
    take_back_body_mass(BodyMass.objects.get())

    request_recomputing(at=timezone.now())
    jobs.run_waiting()

    assert not figures_are_stale(trained)
    assert SetLog.objects.get().system_load_kg is None
