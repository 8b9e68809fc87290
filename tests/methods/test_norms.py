import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import norms
from tests.methods.registry import Checks, Tag

CHECKS = Checks("norms")
CSEP = "ACSM and CSEP push-up table (college page)"
CSEP_2 = "CSEP push-up table (physiotherapy page)"
for reps, age, sex, expected, source, tag in [
    (39, 18, "male", "excellent", CSEP, Tag.READ), (23, 18, "male", "good", CSEP, Tag.READ),
    (17, 19, "male", "needs improvement", CSEP, Tag.READ), (36, 25, "male", "excellent", CSEP, Tag.READ),
    (29, 25, "male", "very good", CSEP, Tag.READ), (21, 29, "male", "fair", CSEP, Tag.READ),
    (30, 25, "female", "excellent", CSEP_2, Tag.SECONDARY), (13, 35, "female", "good", CSEP_2, Tag.SECONDARY),
    (21, 55, "male", "excellent", CSEP_2, Tag.SECONDARY), (12, 62, "female", "very good", CSEP_2, Tag.SECONDARY),
]:  # fmt: skip
    CHECKS.add(tag, source, "push_up_class", f"{sex} {age}, {reps}", expected,
               lambda a=(reps, age, sex): norms.push_up_class(*a, "csep").value)  # fmt: skip
YMCA = "Golding et al. 1986, The Y's Way to Physical Fitness (page with the table)"
for reps, age, sex, expected in [
    (48, 25, "male", "excellent"), (47, 25, "male", "good"), (24, 33, "male", "average"), (3, 18, "male", "very poor"),
    (17, 45, "female", "average"), (36, 18, "female", "excellent"), (1, 62, "female", "poor"),
    (25, 41, "female", "good"),
]:  # fmt: skip
    CHECKS.add(Tag.READ, YMCA, "push_up_class", f"{sex} {age}, {reps}", expected,
               lambda a=(reps, age, sex): norms.push_up_class(*a, "ymca").value)  # fmt: skip
MARINES = "US Marine Corps fitness test 2017 (page with the charts)"
for reps, age, expected in [(23, 33, "maximum"), (4, 22, "below minimum"), (5, 22, "between"), (20, 18, "maximum"),
                            (18, 55, "maximum"), (3, 47, "below minimum")]:  # fmt: skip
    CHECKS.add(Tag.SECONDARY, MARINES, "pull_up_service_standard", f"{age} years, {reps}", expected,
               lambda a=(reps, age): norms.pull_up_service_standard(*a).value)  # fmt: skip
for sample, source, rows in [
    ("students", "Brigham & Chase 2014 (plank abstract)", {"female": (63, 90, 121), "male": (77, 106, 128.5)}),
    ("athletes", "Chase et al. (plank abstract, athletes)", {"female": (73.5, 95, 122.5), "male": (84, 110, 135)}),
]:
    for sex, (low, middle, high) in rows.items():
        for seconds, expected in [(low, "second quarter"), (middle, "median"), (high, "highest quarter")]:
            CHECKS.add(Tag.READ, source, "plank_quartile", f"{sex}, {seconds} s", expected,
                       lambda a=(seconds, sex, sample): norms.plank_quartile(*a).value)  # fmt: skip
STRAND = "Strand et al. 2014, J Hum Kinet (471 students)"
for sex, expected in [("female", (83, 63)), ("male", (124, 72))]:
    CHECKS.add(Tag.READ, STRAND, "PLANK_MEAN_SD_STRAND", sex, expected, lambda s=sex: norms.PLANK_MEAN_SD_STRAND[s])
MCGILL = "McGill, Childs, Liebenson 1999, Arch Phys Med Rehabil 80:941 (abstract)"
for sex, side, flexor in [("male", 65, 99), ("female", 39, 79)]:
    holds = norms.TRUNK_HOLDS_MCGILL[sex]
    CHECKS.add(Tag.READ, MCGILL, "mean_side_to_extensor_mcgill", f"{sex}, %", side,
               lambda s=sex: round(100 * norms.mean_side_to_extensor_mcgill(s)))  # fmt: skip
    CHECKS.add(Tag.READ, MCGILL, "trunk_balance_mcgill", f"{sex}, flexor to extensor, %", flexor,
               lambda h=holds: round(100 * norms.trunk_balance_mcgill(h["extensor"][0], h["flexor"][0], 1, 1)
                                     .flexor_to_extensor))  # fmt: skip
EVANS = "Evans et al. 2007, athletes (secondary page)"
CHECKS.add(Tag.SECONDARY, EVANS, "TRUNK_HOLDS_EVANS_S", "sides even within 5 %", True,
           lambda: "sides" not in norms.trunk_balance_mcgill(163, 224, 104, 103).outside)  # fmt: skip
CHECKS.add(Tag.SECONDARY, EVANS, "trunk_balance_mcgill", "flexor above extensor lies outside", True,
           lambda: "flexor" in norms.trunk_balance_mcgill(163, 224, 104, 103).outside)  # fmt: skip
DODDS = "Dodds et al. 2014, PLoS One 9(12):e113637"
for sex, expected in [("male", 51), ("female", 31)]:
    CHECKS.add(Tag.READ, DODDS, "GRIP_PEAK_MEDIAN_KG", sex, expected, lambda s=sex: norms.GRIP_PEAK_MEDIAN_KG[s])
JOHNSON = "Johnson et al. 2009, J Strength Cond Res 23(3):1022 (one-rep max of the pull-up)"
for sex, expected in [("male", (1.16, 0.15)), ("female", (0.73, 0.09))]:
    CHECKS.add(Tag.READ, JOHNSON, "PULL_UP_MAXIMUM_PER_BODY_MASS", sex, expected,
               lambda sex=sex: norms.PULL_UP_MAXIMUM_PER_BODY_MASS[sex])  # fmt: skip
CHECKS.add(Tag.ARITHMETIC, JOHNSON + ": mean", "pull_up_help_kg", "woman of 60 kg", 16.2,
           lambda: norms.pull_up_help_kg(60, "female"), 1e-9)  # fmt: skip
COYNE = "Coyne et al. 2015, J Aust Strength Cond 23(4):21"
CHECKS.add(
    Tag.READ,
    COYNE,
    "PULL_UP_MAXIMUM_SYSTEM_COYNE",
    "dip over pull-up",
    1.11,
    lambda: norms.PULL_UP_MAXIMUM_SYSTEM_COYNE["dip"] / norms.PULL_UP_MAXIMUM_SYSTEM_COYNE["pull_up"],
    0.005,
)
for reps, expected in [(7, "maximum"), (0, "below minimum")]:
    CHECKS.add(Tag.SECONDARY, MARINES, "pull_up_service_standard", f"women of 18, {reps}", expected,
               lambda reps=reps: norms.pull_up_service_standard(reps, 18, "female").value)  # fmt: skip
CHECKS.add(Tag.MEMORY, "US Marine Corps 2017, women", "pull_up_service_standard", "28 years, 12", "maximum",
           lambda: norms.pull_up_service_standard(12, 28, "female").value)  # fmt: skip


def test_norms_agree_with_the_outside():
    assert CHECKS.wrong() == []


ORDER = {
    "csep": norms._CSEP_CLASSES,
    "ymca": norms._YMCA_CLASSES,
}


@given(
    st.integers(0, 80),
    st.integers(0, 20),
    st.integers(17, 65),
    st.sampled_from(["male", "female"]),
    st.sampled_from(["csep", "ymca"]),
)
def test_more_push_ups_never_grade_lower(reps, more, age, sex, publisher):
    place = ORDER[publisher].index

    fewer, better = (norms.push_up_class(count, age, sex, publisher).value for count in (reps, reps + more))
    assert place(better) <= place(fewer)


def test_the_publishers_disagree_and_say_so():
    csep, ymca = (norms.push_up_class(36, 25, "male", publisher) for publisher in ("csep", "ymca"))

    assert (csep.value, ymca.value, bool(csep.doubt and ymca.doubt)) == ("excellent", "above average", True)


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: norms.push_up_class(10, 14, "male", "csep"), "15 to 69"),
        (lambda: norms.push_up_class(10, 66, "male", "ymca"), "17 to 65"),
        (lambda: norms.push_up_class(-1, 30, "male", "csep"), "negative"),
        (lambda: norms.push_up_class(10, 30, "x", "csep"), "male and female"),
        (lambda: norms.push_up_class(10, 30, "male", "z"), "publisher"),
        (lambda: norms.pull_up_service_standard(5, 16), "17 years"),
        (lambda: norms.pull_up_service_standard(5, 20, "x"), "male and female"),
        (lambda: norms.pull_up_help_kg(60, "x"), "male and female"),
        (lambda: norms.plank_quartile(-1, "male"), "negative"),
        (lambda: norms.plank_quartile(10, "male", "giants"), "no table"),
        (lambda: norms.trunk_balance_mcgill(0, 1, 1, 1), "positive"),
    ],
)
def test_norms_refuse_what_no_table_covers(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()
