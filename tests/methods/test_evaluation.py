import numpy as np
import pytest

from methods.evaluation import desk, drops, progress, stalls
from methods.evaluation.stalls import FIRST_LOOK, LAST_WEEK, Life
from methods.evaluation.trainees import HIGH, make_trainee, train_week

LOOKS = LAST_WEEK - FIRST_LOOK + 1


def life(scores, stop_week=None, stopped=(False,)):
    return Life(5.0, 4, 2, stop_week, stopped, {"it": np.array(scores, dtype=float).reshape(LOOKS, len(stopped))})


def alarmed(*weeks):
    return [1.0 if FIRST_LOOK + i in weeks else 0.0 for i in range(LOOKS)]


def test_an_alarm_while_growing_is_counted_once_per_onset():
    figures = stalls.figures([life(alarmed(10, 11, 12, 30))], "it", 0.5)

    assert (figures.false_alarms, figures.plateaus) == (2, 0)


def test_an_alarm_back_within_four_weeks_is_the_same_one():
    assert stalls.figures([life(alarmed(10, 14))], "it", 0.5).false_alarms == 1


@pytest.mark.parametrize(("week", "found"), [(20, (0, 0)), (21, (1, 1)), (28, (1, 1)), (29, (0, 1)), (37, (0, 0))])
def test_a_plateau_is_found_in_its_weeks(week, found):
    figures = stalls.figures([life(alarmed(week), stop_week=20.0, stopped=(True,))], "it", 0.5)

    assert (figures.found_8, figures.found_16) == found


def test_alarms_are_counted_per_client_and_sixteen_weeks():
    figures = stalls.figures([life(alarmed(10))] * 2, "it", 0.5)

    assert figures.alarms_per_client == pytest.approx(16 * 2 / (2 * LOOKS))


def test_a_threshold_keeps_to_its_alarms():
    rng = np.random.default_rng(1)
    people = [life(rng.normal(size=LOOKS)) for _ in range(40)]

    assert stalls.figures(people, "it", stalls.threshold_for(people, "it", 0.25)).alarms_per_client <= 0.25


def test_the_same_seed_lives_the_same_life():
    names = ("ours, movements joined",)

    first, second = stalls.live(5, names), stalls.live(5, names)
    assert np.array_equal(first.scores[names[0]], second.scores[names[0]])


def test_every_detector_scores_every_movement():
    rng = np.random.default_rng(3)
    trainee = make_trainee(rng, cv_pct=2.5, training_weeks=4, sessions_a_week=2, stop_week=None)
    for week in range(12):
        train_week(rng, trainee, week)

    assert [len(detector(trainee, 12.0)) for detector in stalls.DETECTORS.values()] == [3] * len(stalls.DETECTORS)


def test_trainees_stop_at_the_prescribed_repetitions():
    rng = np.random.default_rng(4)
    trainee = make_trainee(rng, cv_pct=2.5, training_weeks=4, sessions_a_week=3, stop_week=None)
    for week in range(8):
        train_week(rng, trainee, week)

    done = [amount for movement in trainee.movements for session in movement.sessions for amount in session.amounts]
    assert max(done) <= HIGH


def test_a_growing_trainee_is_asked_for_more_by_the_real_arbiter():
    rng = np.random.default_rng(4)
    trainee = make_trainee(rng, cv_pct=2.5, training_weeks=0, sessions_a_week=3, stop_week=None)
    for week in range(20):
        train_week(rng, trainee, week)

    first, last = trainee.movements[0].asked_kg[0][1], trainee.movements[0].asked_kg[-1][1]
    assert last > first


def test_a_drop_is_lived_through():
    assert drops.live(0).judged <= 3


def test_pushing_every_session_overloads_and_ours_does_not():
    pushed, ours = progress.live(0, "+2.5 kg every session"), progress.live(0, "ours")

    assert pushed.overloads > ours.overloads
    assert progress.live(0, "never progress").gain_pct < ours.gain_pct


def test_every_item_of_the_desk_is_answered_whatever_the_order():
    assert {desk.run(0, 0.85, name).answered for name in desk.ORDERS} == {desk.run(0, 0.85, "ours").answered}


def test_our_order_breaks_fewer_promises_than_first_come():
    assert desk.run(1, 0.95, "ours").late <= desk.run(1, 0.95, "first come, first served").late
