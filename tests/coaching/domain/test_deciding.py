"""Decisions are facts, and no typed reason opens what is not advice."""

from dataclasses import replace

import pytest

from coaching.choices import Decided
from coaching.domain.deciding import decide_suggestion, dose_from
from coaching.domain.next_block import draft_next_block
from coaching.domain.rebuild import rebuild_client
from coaching.errors import HarderThanSuggested, NotHarderHere, Undecided
from coaching.models import Suggestion, SuggestionDecision
from programs.domain.comparing import difference
from programs.models import Prescription
from tests.coaching import scenario as s

pytestmark = pytest.mark.django_db


@pytest.fixture
def suggestion(cast):
    scenario = s.build(cast.client, load_entered=40, load_unit="kg", load_kg=40)
    s.log_all(scenario, [10, 10, 12])
    rebuild_client(cast.client, at=s.AT)
    return Suggestion.objects.get()


def decide(suggestion, cast, decided, **how):
    return decide_suggestion(suggestion, decided=decided, by=cast.coach, at=s.AT, **how)


def test_decision_keeps_what_it_was_decided_on(suggestion, cast):
    decision = decide(suggestion, cast, Decided.ACCEPTED)

    assert decision.suggestion["numbers"] == suggestion.numbers


def test_second_decision_is_a_new_version(suggestion, cast):
    decide(suggestion, cast, Decided.ACCEPTED)
    decide(suggestion, cast, Decided.DECLINED)

    current = SuggestionDecision.objects.current().get()
    assert (current.decided, SuggestionDecision.objects.count()) == (Decided.DECLINED, 2)


def test_harder_than_suggested_needs_a_reason(suggestion, cast):
    heavier = replace(dose_from(suggestion.to_dose), load_kg=44.0)

    with pytest.raises(HarderThanSuggested):
        decide(suggestion, cast, Decided.EDITED, dose=heavier)

    assert decide(suggestion, cast, Decided.EDITED, dose=heavier, reason="She asked, form is solid.")


@pytest.mark.parametrize("rule", ["lock", "pain_refer", "barred", "no_training", "ceiling"])
def test_no_reason_makes_harder_what_is_not_advice(suggestion, cast, rule):
    suggestion.rule, suggestion.action = rule, "stop"
    suggestion.to_dose = suggestion.to_dose | {"sets": 0}
    heavier = replace(dose_from(suggestion.from_dose), load_kg=44.0)

    with pytest.raises(NotHarderHere):
        decide(suggestion, cast, Decided.EDITED, dose=heavier, reason="I insist.")
    with pytest.raises(NotHarderHere):
        decide(suggestion, cast, Decided.DECLINED, reason="I insist.")


def test_next_block_waits_until_everything_is_decided(suggestion, cast):
    with pytest.raises(Undecided):
        draft_next_block(cast.client, by=cast.coach, today=s.TODAY)


def test_next_block_carries_the_accepted_step_in_every_week(suggestion, cast):
    decide(suggestion, cast, Decided.ACCEPTED)

    draft = draft_next_block(cast.client, by=cast.coach, today=s.TODAY)

    rows = Prescription.objects.filter(group__section__session__block=draft)
    assert {(row.lineage, float(row.load_kg)) for row in rows} == {(suggestion.lineage, 42.0)}
    assert difference(draft.previous, draft).changed[0].reason


def test_declined_step_leaves_the_dose(suggestion, cast):
    decide(suggestion, cast, Decided.DECLINED)

    draft = draft_next_block(cast.client, by=cast.coach, today=s.TODAY)

    assert not difference(draft.previous, draft)


def test_next_block_asked_twice_is_one_draft(suggestion, cast):
    decide(suggestion, cast, Decided.ACCEPTED)

    first = draft_next_block(cast.client, by=cast.coach, today=s.TODAY)

    assert draft_next_block(cast.client, by=cast.owner, today=s.TODAY) == first


def test_stopped_movement_is_left_out_of_the_next_block(suggestion, cast):
    Suggestion.objects.update(action="stop", rule="pain_stop", to_dose=suggestion.to_dose | {"sets": 0})
    suggestion.refresh_from_db()
    decide(suggestion, cast, Decided.ACCEPTED)

    draft = draft_next_block(cast.client, by=cast.coach, today=s.TODAY)

    assert not Prescription.objects.filter(group__section__session__block=draft).exists()
