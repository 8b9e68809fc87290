"""A public session for visitors: what they may be shown is checked against the library itself."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clients.choices import Area, Ceiling, ItemKind
from clients.domain.safety import is_within
from programs.choices import IN_ROUNDS, Strength
from programs.domain.adapting import adapt, all_things, own_things, planned_in
from programs.domain.graph import shipped_graph
from programs.domain.intensity import needed_ceiling
from programs.domain.timing import too_long_for_its_interval
from programs.domain.visitor import MOST_VALUES, Visitor, thing_ticks, visitor_of

GRAPH = shipped_graph()
SLUGS = sorted(GRAPH.movements)
ALWAYS = {"floor", "wall"}
EVERYTHING = frozenset(ItemKind.values)
A_VISITOR = st.builds(
    Visitor,
    st.frozensets(st.sampled_from(ItemKind.values)),
    st.sampled_from(Strength.values),
    st.frozensets(st.sampled_from(Area.values), max_size=4),
)
DOSES = st.fixed_dictionaries(
    {
        "movement": st.sampled_from(SLUGS),
        "sets": st.integers(1, 6),
        "amount_low": st.integers(1, 30),
        "kind": st.sampled_from(["work", "warm_up", "top", "back_off", "max_reps"]),
    },
    optional={
        "target_rir": st.integers(0, 10),
        "percent_of_max": st.integers(1, 100),
        "cluster": st.integers(1, 30),
        "tempo": st.sampled_from(["5-1-1-0", "3-1-X-0"]),
    },
)


def told(slug, **dose):
    movement = GRAPH.movements.get(slug)
    if reps := dose.pop("cluster", None):
        dose |= {"kind": "cluster", "cluster_reps": reps, "rest_within_s": 15}
    facts = {"movement": slug, "movement_name": slug, "measure": movement.measure if movement else "reps"}
    return facts | {"sets": 3, "amount_low": 8, "amount_high": 12} | dose


def document(*doses, section="strength", kind=None, **times):
    groups = [{"kind": "single", "prescriptions": [dose]} for dose in doses]
    if kind:
        groups = [{"kind": kind, "prescriptions": list(doses), **times}]
    return {"sessions": [{"sections": [{"kind": section, "groups": groups}]}]}


def adapted(visitor, *doses, **how):
    return adapt(planned_in(document(*doses, **how), GRAPH), GRAPH, visitor)


def shown_slugs(result):
    return [one.dose.movement.slug for one in result.shown]


@settings(max_examples=300)
@given(
    visitor=A_VISITOR,
    doses=st.lists(DOSES, min_size=1, max_size=5),
    section=st.sampled_from(["strength", "ramp"]),
    group=st.sampled_from(
        [{}, {"kind": "circuit"}, {"kind": "rounds", "minutes": 9}, {"kind": "every", "interval_s": 60}]
    ),
)
def test_nobody_is_shown_what_is_barred_missing_too_hard_or_harder_than_asked(visitor, doses, section, group):
    written = (told(d["movement"], **d | {"amount_high": d["amount_low"] + 2}) for d in doses)
    plan = document(*written, section=section, **group)

    result = adapt(planned_in(plan, GRAPH), GRAPH, visitor)

    assert len(result.shown) + len(result.left_out) == len(doses)
    assert all(one.why for one in result.left_out)
    assert all(too_long_for_its_interval(group.doses) == [] for section in result.sections for group in section.groups)
    for part in (group for each in result.sections for group in each.groups if group.doses.kind in IN_ROUNDS):
        assert len({dose.sets for dose in part.doses}) == 1
    for one in result.shown:
        dose, source = one.dose, one.planned.asked.movement
        assert visitor.protected.isdisjoint(dose.movement.areas)
        assert not dose.movement.ways or any(way <= visitor.things | ALWAYS for way in dose.movement.ways)
        needed = needed_ceiling(dose.movement, dose.kind, target_rir=dose.target_rir, target_rpe=dose.target_rpe)
        assert is_within(needed, Ceiling.MODERATE)
        assert dose.target_rir >= 3
        assert (dose.load_kg, dose.percent_of_max) == (None, None)
        assert dose.cluster_reps is None or dose.cluster_reps <= dose.amount_low
        not_harder = {source.slug} | {option.movement.slug for option in GRAPH.easier_than(source.slug)}
        one_step = {option.movement.slug for option in GRAPH.harder_than(source.slug)}
        may = not_harder | one_step if (visitor.strength, section) == ("trained", "strength") else not_harder
        assert dose.movement.slug in may


@settings(max_examples=100)
@given(visitor=A_VISITOR, dose=DOSES)
def test_things_to_tick_hold_all_that_a_shown_movement_needs(visitor, dose):
    planned = planned_in(document(told(dose["movement"], **dose | {"amount_high": 30})), GRAPH)

    ticks = {tick.code for group in thing_ticks(all_things(planned, GRAPH), visitor) for tick in group.ticks}

    for one in adapt(planned, GRAPH, visitor).shown:
        assert not one.dose.movement.ways or any(way <= ticks | ALWAYS for way in one.dose.movement.ways)


def test_every_thing_of_the_vocabulary_has_a_group():
    visitor = Visitor(frozenset())

    assert {tick.code for group in thing_ticks(EVERYTHING, visitor) for tick in group.ticks} == EVERYTHING - ALWAYS


def test_session_as_written_is_shown_to_whoever_has_its_things():
    planned = planned_in(document(told("push-up"), told("pull-up", target_rir=4)), GRAPH)

    result = adapt(planned, GRAPH, visitor_of({}, own_things=own_things(planned)))

    assert shown_slugs(result) == ["push-up", "pull-up"]
    assert [one.note for one in result.shown] == ["", ""]
    assert [one.dose.target_rir for one in result.shown] == [Decimal(3), Decimal(4)]


def test_visitor_new_to_it_gets_something_easier_and_less_of_it():
    as_written = adapted(Visitor(EVERYTHING), told("pull-up")).shown[0].dose

    first = adapted(Visitor(EVERYTHING, Strength.NEW), told("pull-up")).shown[0].dose

    assert first.movement.slug in {option.movement.slug for option in GRAPH.easier_than("pull-up")}
    assert first.sets < as_written.sets


def test_trained_visitor_gets_one_step_harder_in_work_and_none_in_a_warm_up():
    trained = Visitor(EVERYTHING, Strength.TRAINED)
    harder = [option.movement for option in GRAPH.harder_than("push-up") if not option.movement.vigorous]

    assert shown_slugs(adapted(trained, told("push-up")))[0] in {movement.slug for movement in harder}
    assert shown_slugs(adapted(trained, told("push-up"), section="ramp")) == ["push-up"]
    assert shown_slugs(adapted(trained, told("push-up", kind="warm_up"))) == ["push-up"]


def test_trained_visitor_without_a_harder_step_gets_what_is_written():
    alone = next(slug for slug in SLUGS if not GRAPH.harder_than(slug) and not GRAPH.movements[slug].vigorous)

    assert shown_slugs(adapted(Visitor(EVERYTHING, Strength.TRAINED), told(alone))) == [alone]


def test_loads_are_words_without_numbers():
    dose = told("goblet-squat", load_entered=24, load_unit="kg", load_kg=24, target_rir=1)

    words = adapted(Visitor(EVERYTHING), dose).shown[0].words

    assert "a load with 3 reps left" in words
    assert "24" not in words


def test_set_to_the_limit_becomes_one_that_stops_before_it():
    one = adapted(Visitor(EVERYTHING), told("push-up", kind="max_reps", target_rir=0)).shown[0]

    assert (one.dose.kind, one.dose.target_rir) == ("work", 3)


@pytest.mark.parametrize("gone", [told("no-such-movement"), told("push-up", measure="seconds")])
def test_movement_that_the_library_has_no_more_is_left_out(gone):
    result = adapted(Visitor(EVERYTHING), gone)

    assert [one.why for one in result.left_out] == ["This movement is no longer in the library."]


def test_pair_without_its_second_half_is_a_movement_alone():
    protected = frozenset(GRAPH.movements["pull-up"].areas) - GRAPH.movements["glute-bridge"].areas
    visitor = Visitor(EVERYTHING, protected=protected)

    result = adapted(visitor, told("glute-bridge"), told("pull-up"), kind="pair")

    assert [group.words for section in result.sections for group in section.groups] == [""]
    assert [one.name for one in result.left_out] == [GRAPH.movements["pull-up"].name]


def test_what_is_left_of_a_pair_has_the_rest_of_the_pair():
    squat, pull = told("bodyweight-squat", rest_s=0), told("pull-up", rest_s=120)

    (one,) = adapted(Visitor(frozenset()), squat, pull, kind="pair").shown

    assert (one.dose.movement.slug, one.rest_s, one.dose.rest_s) == ("bodyweight-squat", 120, 120)
    assert "rest" in one.words


@pytest.mark.parametrize("kind", ["circuit", "every"])
def test_rounds_are_as_many_for_every_movement_of_them(kind):
    doses = [told("foot-assisted-pull-up"), told("bodyweight-squat", sets=4), told("dead-bug", sets=2)]

    result = adapted(Visitor(EVERYTHING, Strength.TRAINED), *doses, kind=kind, interval_s=60)

    assert {one.dose.sets for one in result.shown} == {2}
    assert all(one.words.startswith("2 sets") for one in result.shown)


def test_interval_is_wide_enough_for_what_stands_in():
    # 8 slider curls become 8 bridges on each side: 2 x 8 x 4 s, and 10 s between the sides.
    curls = told("hamstring-slider-curl", amount_low=8, amount_high=8)

    (section,) = adapted(Visitor(frozenset()), curls, kind="every", interval_s=45).sections

    assert section.groups[0].doses.interval_s == 75
    assert "A set begins every 75 s" in section.groups[0].words


def test_somebody_new_warms_up_with_what_is_no_harder_than_the_work():
    sets = [told("push-up", kind="warm_up"), told("push-up")]

    warm_up, work = adapted(Visitor(EVERYTHING, Strength.NEW), *sets).shown

    assert warm_up.dose.movement.slug == work.dose.movement.slug != "push-up"


@pytest.mark.parametrize(("rpe", "reserve"), [(2, 5), (5, 5), (6, 4), (9, 3)])
def test_low_rating_names_no_more_than_five_in_reserve(rpe, reserve):
    (one,) = adapted(Visitor(EVERYTHING), told("bodyweight-squat", target_rpe=rpe)).shown

    assert one.dose.target_rir == reserve


@pytest.mark.parametrize("slug", ["bear-hold", "bird-dog", "hip-switch", "quadruped-rotation"])
def test_weight_on_straight_arms_is_kept_from_a_shoulder(slug):
    assert slug not in shown_slugs(adapted(Visitor(EVERYTHING, protected=frozenset({"shoulder"})), told(slug)))


def test_what_is_counted_in_seconds_and_is_no_hold_is_timed():
    march, plank = adapted(Visitor(EVERYTHING), told("march-in-place", amount_high=120), told("forearm-plank")).shown

    assert (march.timed_s, march.hold_s, plank.timed_s, plank.hold_s) == (120, 0, 0, 8)


def test_rounds_in_a_time_keep_their_clock_and_name_no_rest():
    result = adapted(Visitor(EVERYTHING), told("push-up"), told("glute-bridge"), kind="rounds", minutes=12)

    assert "12 minutes" in result.sections[0].groups[0].words
    assert all("rest" not in one.words and one.rest_s == 0 for one in result.shown)


def test_words_about_what_is_left_out_speak_of_no_screening():
    vigorous = next(slug for slug in SLUGS if GRAPH.movements[slug].vigorous)
    bare = Visitor(frozenset(), protected=frozenset(Area.values))

    why = [one.why for one in adapted(bare, told(vigorous), told("pull-up")).left_out]

    assert len(why) == 2
    assert not any("creening" in words or "set-up check" in words for words in why)


def test_query_passes_over_what_it_does_not_know():
    visitor = visitor_of(
        {"thing": ["bar", "sofa", "\0"], "strength": ["mighty"], "protect": ["knee", "heart"]}, own_things=EVERYTHING
    )

    assert visitor == Visitor(frozenset({"bar"}), Strength.SOME, frozenset({"knee"}))


def test_query_with_far_too_many_values_is_cut():
    visitor = visitor_of({"thing": ["sofa"] * MOST_VALUES + ["bar"]}, own_things=EVERYTHING)

    assert visitor.things == frozenset()


def test_address_without_a_word_has_all_that_the_session_needs():
    assert visitor_of({"utm": ["x"]}, own_things=frozenset({"bar"})).things == {"bar"}
