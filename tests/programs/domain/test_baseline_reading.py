import datetime

import pytest

from programs.choices import BaselineEnd, BaselineState, NormSex
from programs.domain import baseline_reading as reading
from programs.domain.baseline_reading import Person, histories, norms_of, person_of
from programs.library.battery import BATTERY
from programs.models import BaselineTest
from tests import factories as f

MAN = Person(NormSex.MALE, datetime.date(2001, 1, 1))
WOMAN = Person(NormSex.FEMALE, datetime.date(1986, 1, 1))
MONDAY = f.MONDAY


def result(**given):
    facts = {
        "test": "push-ups",
        "edition": 1,
        "side": "both",
        "state": BaselineState.DONE,
        "planned_end": BaselineEnd.MAXIMUM,
        "ended_by": BaselineEnd.MAXIMUM,
        "way": "toes",
        "on": MONDAY,
    }
    return BaselineTest(**(facts | given))


def bridge(seconds, **given):
    return result(**{"test": "side-bridge", "side": "left", "way": "", "seconds": seconds} | given)


# Norms


def test_both_publishers_are_shown_apart_and_contradict_each_other():
    said = norms_of(result(repetitions=36), MAN).said

    assert [words for words, _norm in said] == ["excellent", "above average"]
    assert len({norm.source for _words, norm in said}) == 2
    assert all(norm.doubt for _words, norm in said)


def test_age_is_that_of_the_day_of_the_test():
    young = Person(NormSex.MALE, MONDAY.replace(year=MONDAY.year - 30) + datetime.timedelta(days=1))

    day_before, birthday = (norms_of(result(repetitions=30, on=on), young).norms[0].value for on in
                            (MONDAY, MONDAY + datetime.timedelta(days=1)))  # fmt: skip

    assert (day_before, birthday) == ("very good", "excellent")


@pytest.mark.parametrize(
    ("given", "person", "words"),
    [
        ({"planned_end": BaselineEnd.RESERVE, "ended_by": BaselineEnd.RESERVE}, MAN, "to the limit"),
        ({"ended_by": BaselineEnd.RESERVE}, MAN, "to the limit"),
        ({"ended_by": BaselineEnd.STOPPED}, MAN, "to the limit"),
        ({"hurt": True}, MAN, "to the limit"),
        ({}, Person("", MAN.born), "divide by sex"),
        ({}, Person(NormSex.MALE, None), "divide by age"),
        ({"way": "knees"}, MAN, "men on their toes"),
        ({"way": "toes"}, WOMAN, "women on their knees"),
        ({}, Person(NormSex.MALE, datetime.date(1940, 1, 1)), "outside the ages"),
        ({"test": "dead-hang", "way": "", "repetitions": None, "seconds": 60}, MAN, "no table was found"),
    ],
)
def test_no_norm_where_its_protocol_was_not_met(given, person, words):
    answer = norms_of(result(**{"repetitions": 30} | given), person)

    assert answer.norms == ()
    assert words in answer.why_none


def test_between_the_tables_ages_only_one_speaks():
    old = Person(NormSex.MALE, datetime.date(MONDAY.year - 67, 1, 1))

    assert len(norms_of(result(repetitions=12), old).norms) == 1


def test_pull_ups_are_read_against_a_service_standard_that_says_so():
    norm = norms_of(result(test="pull-ups", way="", repetitions=12), MAN).norms[0]

    assert "no norm of a population" in norm.doubt


def test_every_norm_of_the_battery_is_known_here_and_has_words():
    assert {test.norm for test in BATTERY if test.norm} == reading.NORMS


# Change and noise


@pytest.mark.parametrize(("seconds", "words"), [(61, "more than the test's own noise"), (59, "within the test's own")])
def test_change_is_told_from_published_noise(seconds, words):
    # 16.8 s for the left side where no sex was told.
    later = bridge(seconds + 16, on=MONDAY + datetime.timedelta(weeks=8))

    assert words in reading.change_words([bridge(60)], later, Person())


def test_where_nobody_published_noise_it_is_unknown():
    later = result(repetitions=40, on=MONDAY + datetime.timedelta(weeks=8))

    words = reading.change_words([result(repetitions=20)], later, MAN)

    assert words.startswith("+20 reps since")
    assert "unknown" in words


def test_noise_of_holds_to_the_end_says_nothing_about_holds_with_some_left():
    held = [bridge(seconds, planned_end="reserve", ended_by="reserve") for seconds in (60, 100)]

    assert "unknown" in reading.change_words(held[:1], held[1], MAN)


@pytest.mark.parametrize(
    "other",
    [
        {"way": "knees"},
        {"planned_end": BaselineEnd.RESERVE},
        {"ended_by": BaselineEnd.RESERVE, "rir": 3},
        {"edition": 2},
        {"angle_deg": 45},
        {"height_cm": 40},
    ],
)
def test_what_was_set_up_or_ended_otherwise_is_not_compared(other):
    later = result(repetitions=20, on=MONDAY + datetime.timedelta(weeks=8))

    assert "Not compared" in reading.change_words([result(repetitions=10, **other)], later, MAN)


def test_at_the_limit_it_does_not_matter_how_the_last_one_went():
    later = result(repetitions=20, ended_by=BaselineEnd.FORM)

    assert reading.change_words([result(repetitions=18, rir=0)], later, MAN).startswith("+2 reps")


def test_with_some_left_and_form_gone_are_two_ends():
    reserve = {"planned_end": BaselineEnd.RESERVE, "test": "dead-hang", "way": "", "seconds": 30}
    earlier = [result(**reserve, ended_by=BaselineEnd.RESERVE)]

    assert "Not compared" in reading.change_words(earlier, result(**reserve, ended_by=BaselineEnd.FORM), MAN)


def test_stopped_early_is_not_compared():
    stopped = result(repetitions=5, ended_by=BaselineEnd.STOPPED)

    assert "Not compared" in reading.change_words([stopped], stopped, MAN)


def test_newest_alike_result_is_what_counts():
    earlier = [result(repetitions=20), result(repetitions=24), result(repetitions=5, way="knees")]

    assert reading.change_words(earlier, result(repetitions=25), MAN).startswith("+1 rep since")


def test_first_result_has_nothing_to_compare():
    assert reading.change_words([], result(repetitions=20), MAN) == ""


# From the database


@pytest.mark.django_db
def test_histories_are_newest_first_without_what_was_left_out_or_replaced():
    client = f.ClientFactory()
    runs = [f.BaselineRunFactory(client=client, finished_at=f.NOON) for _ in range(2)]
    old = f.BaselineTestFactory(client=client, run=runs[0], repetitions=8, is_current=False)
    for run, repetitions, weeks in [(runs[0], 9, 0), (runs[1], 12, 6)]:
        replaces = old if run is runs[0] else None
        on = MONDAY + datetime.timedelta(weeks=weeks)
        f.BaselineTestFactory(client=client, run=run, repetitions=repetitions, on=on, replaces=replaces)
    f.BaselineTestFactory(
        client=client, run=runs[1], test="dead-hang", state="skipped", skip_reason="tired", repetitions=None, rir=None
    )
    f.BaselineTestFactory()

    found = histories(client, Person())

    assert [(h.code, [s.amount for s in h.shown]) for h in found] == [("push-ups", ["12 reps", "9 reps"])]


@pytest.mark.django_db
def test_date_of_birth_comes_from_the_last_finished_intake():
    client = f.ClientFactory()
    intake = f.IntakeFactory(client=client, finished_at=f.NOON)
    f.IntakeAnswerFactory(client=client, intake=intake, question="born_on", value="1990-05-06")

    assert person_of(client, "female") == Person("female", datetime.date(1990, 5, 6))
    assert person_of(f.ClientFactory(), "").born is None
