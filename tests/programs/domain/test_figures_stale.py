"""Which sets rest on a body mass that no longer holds for their day."""

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from clients.domain.body import record_body_mass
from clients.models import BodyMass
from programs.choices import LoadKind
from programs.domain.figures import figures_are_stale, mass_history, recompute_sets
from tests import factories as f

DAY = f.NOON.date()
days = st.integers(-5, 5).map(lambda n: DAY + datetime.timedelta(days=n))


class TestHistory(TestCase):
    @given(told=st.lists(days, max_size=5), day=days)
    def test_mass_that_holds_for_a_day_is_the_one_the_database_names(self, told, day):
        client = f.ClientFactory()
        for n, on in enumerate(told):
            f.BodyMassFactory(client=client, on=on, mass_kg=60 + n)

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
