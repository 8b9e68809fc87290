import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods.red_flags import (
    GROUP_BY_CODE,
    GROUPS,
    ITEM_BY_CODE,
    Lane,
    UnlockedBy,
    areas_opening_red_flags,
    evaluate,
    lane_after,
)
from tests.methods.registry import Checks, Tag

CHECKS = Checks("red_flags")
# A sign that a published list names, and how soon we send for help with it. Single signs are poor tests: the lists say
# what to ask about, not what it means. Which lane is ours is a house rule everywhere.
CAUDA_EQUINA = "Cauda equina syndrome, leaflet of an NHS trust (Royal Free)"
CONCUSSION = "Echemendia et al. 2023, Br J Sports Med 57:689 (CRT6, list on a national federation's page)"
SPINE = "Finucane et al. 2020, J Orthop Sports Phys Ther 50:350 (abstract)"
BREAKDOWN = "Nye et al. 2021, Curr Sports Med Rep 20:169 (abstract)"
for tag, source, group, lane, codes in [
    (Tag.READ, CAUDA_EQUINA, "ces", "EMERGENCY", ["saddle", "wiping", "urine", "bowel", "sexual", "legs"]),
    (
        Tag.SECONDARY,
        CONCUSSION,
        "head",
        "EMERGENCY",
        ["out", "vomit", "headache", "neck", "vision", "limbs", "confused"],
    ),
    (Tag.SECONDARY, SPINE, "syst", "URGENT", ["fever", "weight", "cancer", "night"]),
    (Tag.SECONDARY, BREAKDOWN, "rhabdo", "EMERGENCY", ["urine", "muscle"]),
    (
        Tag.MEMORY,
        "symptoms of the screening algorithm (ACSM)",
        "card",
        "EMERGENCY",
        ["chest", "spread", "faint", "breath"],
    ),
    (Tag.MEMORY, "first aid: one-sided swelling, warmth, tenderness", "vte", "URGENT", ["calf"]),
    (Tag.MEMORY, "first aid: the same with breathlessness or chest pain", "vte", "EMERGENCY", ["breath"]),
    (Tag.MEMORY, "first aid: fractures and dislocations", "trauma", "URGENT", ["shape", "weight", "snap", "joint"]),
    (Tag.MEMORY, "first aid: signs of a stroke", "neuro", "EMERGENCY", ["stroke"]),
    (Tag.MEMORY, "bone stress: one point, worse with impact, at rest", "bone", "SOON", ["point", "rest"]),
    (
        Tag.MEMORY,
        "pregnancy: reasons to stop training (ACOG)",
        "preg",
        "EMERGENCY",
        ["bleeding", "contractions", "faint"],
    ),
    (Tag.PRACTICE, "crisis help at once", "mind", "EMERGENCY", ["harm"]),
]:
    for code in codes:
        CHECKS.add(tag, source, "evaluate", f"{group}.{code}", (lane, True),
                   lambda c=f"{group}.{code}": (evaluate([c]).lane.name, evaluate([c]).stops))  # fmt: skip


def test_red_flags_agree_with_the_outside():
    assert CHECKS.wrong() == []


item_codes = st.sampled_from(sorted(ITEM_BY_CODE))
some_items = st.sets(item_codes, max_size=4)


def test_codes_are_unique():
    assert len(ITEM_BY_CODE) == sum(len(group.items) for group in GROUPS)


def test_any_tick_stops_alerts_and_shows_a_fixed_text():
    decisions = [evaluate([code]) for code in ITEM_BY_CODE]

    assert {(d.stops, d.alerts_coach, len(d.text_keys)) for d in decisions} == {(True, True, 1)}


def test_physical_signs_lock_until_a_clinician_spoke():
    decisions = [evaluate([code]) for code in ITEM_BY_CODE if not code.startswith("mind.")]

    assert all(decision.locks for decision in decisions)
    assert {GROUP_BY_CODE[d.groups[0]].unlocked_by for d in decisions} == {UnlockedBy.CLINICIAN}


def test_mental_health_shows_crisis_help_and_demands_no_clearance():
    decision = evaluate(["mind.harm"])

    assert (decision.locks, decision.lane, decision.text_keys) == (False, Lane.EMERGENCY, ("red_flag.crisis",))
    assert GROUP_BY_CODE["MIND"].unlocked_by is UnlockedBy.NOBODY_NEEDED


def test_a_physical_sign_locks_beside_a_mental_one():
    assert evaluate(["mind.harm", "bone.point"]).locks


@given(some_items, item_codes)
def test_one_more_tick_never_lowers_a_lane_or_opens_a_lock(ticked, more):
    before, after = evaluate(ticked), evaluate(ticked | {more})

    assert after.lane >= before.lane
    assert after.locks >= before.locks
    assert after.stops >= before.stops


@given(st.lists(item_codes, max_size=4))
def test_order_and_repetition_change_nothing(ticked):
    assert evaluate(ticked) == evaluate(list(reversed(ticked)) * 2)


def test_nothing_ticked_and_all_answered_is_clear():
    assert evaluate([]).is_clear


@given(item_codes)
def test_an_open_question_is_not_clear(code):
    assert not evaluate([], unanswered_items=[code]).is_clear


def test_unknown_code_is_refused():
    with pytest.raises(ValueError, match="unknown"):
        evaluate(["card.hiccup"])


@pytest.mark.parametrize(
    ("code", "lane"),
    [
        ("card.chest", Lane.EMERGENCY),
        ("ces.saddle", Lane.EMERGENCY),
        ("neuro.stroke", Lane.EMERGENCY),
        ("neuro.weaker", Lane.URGENT),
        ("head.vomit", Lane.EMERGENCY),
        ("rhabdo.urine", Lane.EMERGENCY),
        ("vte.calf", Lane.URGENT),
        ("vte.breath", Lane.EMERGENCY),
        ("trauma.snap", Lane.URGENT),
        ("syst.fever", Lane.URGENT),
        ("bone.point", Lane.SOON),
        ("preg.bleeding", Lane.EMERGENCY),
    ],
)
def test_item_has_its_lane(code, lane):
    assert evaluate([code]).lane is lane


@pytest.mark.parametrize(
    ("area", "group"),
    [
        ("chest", "CARD"), ("jaw", "CARD"), ("upper_arm", "CARD"), ("head", "HEAD"), ("groin", "CES"), ("calf", "VTE"),
        ("low_back", "CES"),
    ],
)  # fmt: skip
def test_area_opens_its_questions_first(area, group):
    assert group in areas_opening_red_flags(area)


@pytest.mark.parametrize(
    ("circumstance", "group"), [("pin_point", "BONE"), ("after_blow", "TRAUMA"), ("pregnant", "PREG")]
)
def test_circumstance_opens_questions_for_any_area(circumstance, group):
    assert group in areas_opening_red_flags("knee", **{circumstance: True})


@pytest.mark.parametrize("area", ["head", "jaw", "neck"])
def test_a_blow_up_there_opens_the_head_questions(area):
    assert "HEAD" in areas_opening_red_flags(area, after_blow=True)


def test_an_ordinary_area_opens_nothing():
    assert areas_opening_red_flags("knee") == ()


def test_a_lane_is_raised_and_never_lowered():
    assert (lane_after(Lane.SOON, Lane.URGENT), lane_after(Lane.URGENT, Lane.SOON)) == (Lane.URGENT, Lane.URGENT)
