"""Which baseline tests are offered: over every ceiling, group, area and set of things."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clients.choices import Area, Ceiling, ItemKind
from methods.referral import ReferFirst
from programs.domain import baseline_rule as rule
from programs.domain.baseline_rule import Situation, Target, offer_of, offers
from programs.domain.graph import shipped_graph
from programs.domain.resolving import Day
from programs.library.battery import BATTERY, BY_CODE

SHIPPED = shipped_graph().movements
ALWAYS = frozenset({"floor", "wall"})
EVERYTHING = frozenset(kind.value for kind in ItemKind)
WHOLE = Day(present=EVERYTHING, usable=EVERYTHING)
CODES = sorted(BY_CODE)
CEILINGS = [ceiling.value for ceiling in Ceiling]


def kinds():
    return st.frozensets(st.sampled_from(sorted(EVERYTHING))).map(lambda found: found | ALWAYS)


@st.composite
def situations(draw):
    present = draw(kinds())
    day = Day(
        present=present,
        usable=draw(st.sampled_from([present, present & draw(kinds())])) | ALWAYS,
        barred=draw(st.frozensets(st.sampled_from([area.value for area in Area]), max_size=4)),
        ceiling=draw(st.sampled_from(CEILINGS)),
        no_start=draw(st.sampled_from(["", "", "", "Locked."])),
        chairs_carry=draw(st.booleans()),
    )
    return Situation(
        day,
        is_minor=draw(st.booleans()),
        groups=draw(st.frozensets(st.sampled_from(list(ReferFirst)), max_size=2)),
        protected=draw(st.frozensets(st.sampled_from([area.value for area in Area]), max_size=3)),
        hurt=draw(st.frozensets(st.sampled_from(CODES), max_size=2)),
        none_of=draw(st.frozensets(st.sampled_from(CODES), max_size=2)),
        is_halted=draw(st.booleans()),
    )


def stressed(test, way):
    return {area.value for area in test.areas} | SHIPPED[way.movement if way else test.movement].areas


def ways_of(offer):
    return offer.ways or (None,)


@settings(max_examples=150)
@given(situations())
def test_no_offer_breaks_a_rule(situation):
    day = situation.day
    for offer in offers(situation):
        if not offer.is_offered:
            assert offer.why_not.strip().endswith(".")
            continue
        assert (day.no_start, day.ceiling == Ceiling.NONE, situation.is_halted) == ("", False, False)
        for way in ways_of(offer):
            assert day.barred.isdisjoint(stressed(offer.test, way))
            movement = SHIPPED[way.movement if way else offer.test.movement]
            assert not movement.ways or any(way_up <= day.usable for way_up in movement.ways)
        for code in situation.hurt:
            assert not {a.value for a in BY_CODE[code].areas} & {a.value for a in offer.test.areas}
        # By numbers of its own: 2 left or 8 of 10 is vigorous, 3 left or 6 of 10 moderate.
        hard = offer.target in {Target(rir=2), Target(effort=8)}
        allowed = {Ceiling.VIGOROUS} if hard else {Ceiling.VIGOROUS, Ceiling.MODERATE}
        assert day.ceiling in allowed or (offer.test.is_measured and offer.target == Target())


@settings(max_examples=150)
@given(situations())
def test_to_the_limit_only_with_a_vigorous_outcome_and_never_for_minors_or_whoever_asks_first(situation):
    for offer in offers(situation):
        if offer.may_be_maximal:
            assert situation.day.ceiling == Ceiling.VIGOROUS
            assert not situation.is_minor
            assert not situation.groups
            assert not situation.protected & stressed(offer.test, None)
            assert offer.test.maximal
        elif offer.is_offered:
            assert offer.why_not_maximal.strip().endswith(".")


@settings(max_examples=100)
@given(situations(), st.sampled_from([area.value for area in Area]), st.sampled_from(list(ReferFirst)))
def test_one_reason_more_never_offers_more(situation, area, group):
    fewer = [
        replace(situation, day=replace(situation.day, barred=situation.day.barred | {area})),
        replace(situation, protected=situation.protected | {area}),
        replace(situation, groups=situation.groups | {group}),
        replace(situation, is_minor=True),
        replace(situation, is_halted=True),
        replace(situation, day=replace(situation.day, usable=ALWAYS)),
    ]
    before = {offer.test.code: offer for offer in offers(situation) if not offer.test.below}
    for less in fewer:
        for offer in offers(less):
            was = before.get(offer.test.code)
            if was is not None:
                assert was.is_offered or not offer.is_offered
                assert was.may_be_maximal or not offer.may_be_maximal


@pytest.mark.parametrize("ceiling", [Ceiling.NONE, Ceiling.LIGHT, Ceiling.MODERATE, Ceiling.VIGOROUS])
@pytest.mark.parametrize("group", [None, *ReferFirst])
@pytest.mark.parametrize("minor", [False, True])
def test_maximal_over_every_ceiling_and_group(ceiling, group, minor):
    situation = Situation(
        replace(WHOLE, ceiling=ceiling.value), is_minor=minor, groups=frozenset({group} if group else ())
    )

    maximal = [offer.test.code for offer in offers(situation) if offer.may_be_maximal]

    allowed = ceiling == Ceiling.VIGOROUS and group is None and not minor
    assert bool(maximal) is allowed


@pytest.mark.parametrize("test", BATTERY, ids=lambda test: test.code)
def test_with_everything_there_and_a_vigorous_outcome_each_test_is_offered(test):
    offer = offer_of(test, Situation(WHOLE, none_of=frozenset({test.below} if test.below else ())))

    assert offer.why_not == ""
    assert offer.target in {Target(rir=2), Target(effort=8), Target()}


@pytest.mark.parametrize("test", BATTERY, ids=lambda test: test.code)
@pytest.mark.parametrize("area", Area)
def test_barred_area_is_never_loaded(test, area):
    barred = replace(WHOLE, barred=frozenset({area.value}))

    offer = offer_of(test, Situation(barred, none_of=frozenset({test.below} if test.below else ())))

    assert not (offer.is_offered and area in test.areas)


@pytest.mark.parametrize("test", BATTERY, ids=lambda test: test.code)
def test_around_an_area_to_protect_nothing_goes_to_the_limit(test):
    protected = Situation(WHOLE, protected=frozenset({test.areas[0].value}))

    offer = offer_of(test, protected)

    assert not offer.may_be_maximal
    assert offer.around == (test.areas[0].value,)


def test_moderate_ceiling_ends_earlier():
    moderate = Situation(replace(WHOLE, ceiling=Ceiling.MODERATE.value))

    targets = {offer.test.code: offer.target for offer in offers(moderate)}

    assert (targets["push-ups"], targets["dead-hang"]) == (Target(rir=3), Target(effort=6))


def test_light_ceiling_leaves_what_takes_no_effort():
    light = Situation(replace(WHOLE, ceiling=Ceiling.LIGHT.value))

    assert [offer.test.code for offer in offers(light) if offer.is_offered] == ["overhead-reach"]


def test_sore_knee_leaves_push_ups_on_the_toes():
    knee = Situation(replace(WHOLE, barred=frozenset({"knee"})))

    offer = offer_of(BY_CODE["push-ups"], knee)

    assert [way.code for way in offer.ways] == ["toes"]


def test_step_below_waits_for_the_step_above():
    situation = Situation(WHOLE)
    tried = replace(situation, none_of=frozenset({"pull-ups"}))

    assert "come first" in offer_of(BY_CODE["top-hold"], situation).why_not
    assert offer_of(BY_CODE["top-hold"], tried).is_offered


def test_what_is_there_but_not_checked_bears_nobody():
    unchecked = Situation(Day(present=EVERYTHING, usable=ALWAYS))

    assert "set-up check is missing" in offer_of(BY_CODE["dead-hang"], unchecked).why_not


def test_bar_that_is_too_low_carries_no_strict_pull_up():
    low = replace(WHOLE, usable=ALWAYS | {"bar"}, present=ALWAYS | {"bar"}, things={"bar": [{"height_cm": 60}]})

    assert "Not as it has to be" in offer_of(BY_CODE["pull-ups"], Situation(low)).why_not


def test_where_something_hurt_the_same_parts_are_left_alone():
    hurt = Situation(WHOLE, hurt=frozenset({"dead-hang"}))

    answer = {offer.test.code: offer.is_offered for offer in offers(hurt)}

    assert (answer["pull-ups"], answer["push-ups"], answer["sit-to-stand"]) == (False, False, True)


def test_words_say_when_to_stop():
    assert "2 more clean ones" in rule.end_words(BY_CODE["push-ups"], Target(rir=2))
    assert "steady pace" in rule.end_words(BY_CODE["sit-to-stand"], Target(effort=6))
