import pytest

from programs.choices import GroupKind, Measure
from programs.domain.rows import Row, Together, together, wider_interval_s
from programs.domain.wording import option_words, together_words
from programs.models import MovementRevision

ROW = Row(movement=MovementRevision(name="Ring row", measure=Measure.REPETITIONS), sets=4)


@pytest.mark.parametrize(
    ("group", "words"),
    [
        (Together([ROW]), ""),
        (Together([ROW, ROW], GroupKind.PAIR), "Pair: one set of each, then rest"),
        (Together([ROW, ROW], GroupKind.CIRCUIT), "Circuit, 4 rounds: one set of each in turn"),
        (
            Together([ROW, ROW], GroupKind.ROUNDS, minutes=10),
            "Rounds for 10 minutes: about 4 rounds, none of them hurried; rest as you need",
        ),
        (
            Together([ROW], GroupKind.EVERY_MINUTE, interval_s=60),
            "A set begins every 60 s, for 4 minutes; what is left is rest",
        ),
        (
            Together([ROW, ROW], GroupKind.EVERY_MINUTE, interval_s=90),  # 8 x 90 s
            "Every 90 s the next movement begins, for 12 minutes; what is left is rest",
        ),
    ],
)
def test_what_is_done_together_is_told_in_a_line(group, words):
    assert together_words(group) == words


def test_rows_alone_a_pair_and_a_circuit_are_told_by_their_number():
    joined = Row(movement=ROW.movement, joined=True)

    groups = together([ROW, joined, ROW, joined, joined, ROW])

    assert [(group.kind, len(group)) for group in groups] == [("single", 1), ("pair", 2), ("circuit", 3)]


def test_what_is_done_together_ends_with_its_section():
    joined = Row(movement=ROW.movement, joined=True)
    core = Row(movement=ROW.movement, section="core")

    assert [len(group) for group in together([joined, core])] == [1, 1]


def test_options_are_told_with_their_limits():
    easier = MovementRevision(name="Incline push-up")
    harder = MovementRevision(name="Ring push-up")
    row = Row(movement=ROW.movement, easier=easier, easier_below=5, harder=harder, harder_from=12)

    assert option_words(row) == [
        "Below 5 reps: Incline push-up instead.",
        "From 12 reps on in every set: Ring push-up next time.",
    ]


def test_limit_of_one_is_told_as_one():
    row = Row(movement=ROW.movement, easier=MovementRevision(name="Incline push-up"), easier_below=1)

    assert option_words(row) == ["Below 1 rep: Incline push-up instead."]


def test_option_that_loads_a_barred_area_is_not_told():
    row = Row(movement=ROW.movement, harder=MovementRevision(name="Dip", areas=["shoulder"]), harder_from=12)

    assert option_words(row, barred={"shoulder"}) == []


@pytest.mark.parametrize(
    ("planned", "left", "seconds"), [(2, 2, 60), (2, 1, 120), (3, 2, 90), (40, 1, 1200), (2, 0, None)]
)
def test_who_is_left_in_an_every_minute_group_begins_as_seldom_as_before(planned, left, seconds):
    assert wider_interval_s(60, planned, left) == seconds
