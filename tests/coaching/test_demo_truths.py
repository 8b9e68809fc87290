"""Each person of the demo is what their written truth says: asked of the derived rows that the real rules made."""

import datetime

import pytest
from django.db.models import Count

from clients.choices import ITEMS_WANTING_A_SET_UP_CHECK, AssignmentKind, EnquiryState, PainQuestion
from clients.domain.equipment import counts_on
from clients.domain.safety import current_screening, require_start
from clients.domain.telling_pain import next_question
from clients.errors import ClientsError
from clients.models import (
    Absence,
    AccessRecord,
    Assignment,
    Clearance,
    Client,
    Enquiry,
    EquipmentItem,
    GuardianRequest,
    Note,
    PainReport,
    PinnedLine,
    Practice,
    RedFlagReport,
)
from coaching.choices import Decided
from coaching.demo.cast import COACHES, PEOPLE
from coaching.demo.person import Person
from coaching.models import AttentionItem, Observation, Suggestion, SuggestionDecision, WeeklyRow
from programs.choices import BlockState
from programs.domain.comparing import difference
from programs.models import Block, Prescription, TrainingLog
from submissions.models import Clip, Review, Submission
from tests.coaching.demo_house import loaded
from tests.coaching.demo_weeks import WEEKS, mondays_follow

__all__ = ["loaded"]
pytestmark = [pytest.mark.slow, pytest.mark.django_db]
EVERYBODY = pytest.mark.parametrize("person", PEOPLE, ids=lambda person: person.email.partition("@")[0])
TRAINING = [person for person in PEOPLE if person.plan is not None]
ALARMS = {"STALLED", "DECLINING", "MAINTAINING"}


def client_of(person: Person) -> Client:
    return Client.objects.select_related("practice").get(email=person.email)


def leave_to_train(client: Client, at: datetime.datetime) -> str:
    try:
        return str(require_start(client, on=at.astimezone(client.zone).date()).ceiling)
    except ClientsError as error:
        return type(error).__name__


def verdicts(client: Client) -> dict[str, str]:
    """What the rules saw, by the movement that is trained now."""
    rows = Observation.objects.of(client)
    trained = Prescription.objects.filter(lineage__in=rows.values("lineage")).order_by(
        "group__section__session__block__starts_on"
    )
    slugs = dict(trained.values_list("lineage", "movement__movement__slug"))
    return {slugs[row.lineage]: row.verdict for row in rows}


def test_one_practice_has_three_coaches_and_one_of_them_few_clients(loaded):
    leads = Assignment.objects.filter(kind=AssignmentKind.LEAD).values("coach__user__name").annotate(n=Count("pk"))

    assert Practice.objects.count() == 1
    assert {row["coach__user__name"] for row in leads} == {coach.name for coach in COACHES.values()}
    assert min(row["n"] for row in leads) <= 4 < 12 <= max(row["n"] for row in leads)


def test_at_least_24_people_have_each_their_own_truth(loaded):
    assert Client.objects.count() == len(PEOPLE) >= 24
    assert len({person.truth.sentence for person in PEOPLE}) == len(PEOPLE)


@pytest.mark.parametrize("person", TRAINING, ids=lambda person: person.email.partition("@")[0])
def test_weeks_reach_back_fourteen_weeks_without_a_gap(loaded, person):
    client = client_of(person)
    rows = list(WeeklyRow.objects.of(client))
    today = loaded.astimezone(client.zone).date()

    assert mondays_follow([row for row in rows if row.planned])
    if person.truth.weeks != "over":
        assert rows[0].monday <= today - datetime.timedelta(weeks=13)
        assert rows[-1].monday >= today - datetime.timedelta(days=13)


def test_logs_end_yesterday_or_today(loaded):
    newest = TrainingLog.objects.order_by("-training_day").values_list("training_day", flat=True)[0]

    assert abs((loaded.date() - newest).days) <= 1


@EVERYBODY
def test_state_outcome_and_leave_to_train_are_as_written(loaded, person):
    client = client_of(person)
    screening = current_screening(client)
    code = screening.code if screening else ""

    seen = (client.state, code, leave_to_train(client, loaded))

    assert seen == (person.truth.state, person.truth.code, person.truth.start)


@EVERYBODY
def test_attention_names_just_the_written_reasons(loaded, person):
    kinds = set(AttentionItem.objects.of(client_of(person)).values_list("kind", flat=True))

    assert kinds == set(person.truth.attention)


@EVERYBODY
def test_trends_are_as_written_and_nobody_else_raises_an_alarm(loaded, person):
    seen = verdicts(client_of(person))

    assert {slug: seen.get(slug) for slug, fits in person.truth.trends.items() if seen.get(slug) not in fits} == {}
    assert {slug for slug, said in seen.items() if said in ALARMS} <= set(person.truth.trends)


@EVERYBODY
def test_suggestions_come_from_the_written_rules(loaded, person):
    rows = list(Suggestion.objects.of(client_of(person)))

    assert person.truth.rules <= {row.rule for row in rows}
    if person.truth.harder is not None:
        assert any(row.action == "harder" for row in rows) == person.truth.harder


@EVERYBODY
def test_weekly_rows_look_as_written(loaded, person):
    client = client_of(person)
    rows = list(WeeklyRow.objects.of(client))

    assert WEEKS[person.truth.weeks](client, rows, loaded.astimezone(client.zone).date())


@pytest.mark.parametrize("person", TRAINING, ids=lambda person: person.email.partition("@")[0])
def test_second_block_differs_by_what_was_decided(loaded, person):
    client = client_of(person)
    first, second = Block.objects.of(client).filter(state=BlockState.PUBLISHED).order_by("starts_on")
    decisions = {row.lineage: row for row in SuggestionDecision.objects.of(client)}
    changed = {
        row.lineage
        for row in Prescription.objects.filter(group__section__session__block=second).exclude(change_reason="")
    }

    assert second.previous_id == first.pk
    assert second.starts_on == first.ends_on + datetime.timedelta(days=1)
    assert changed == {lineage for lineage, row in decisions.items() if row.decided != Decided.DECLINED}
    assert bool(difference(first, second)) == bool(changed)


def test_decisions_are_of_every_kind_and_carry_words_where_they_differ(loaded):
    decided = SuggestionDecision.objects.all()

    assert {row.decided for row in decided} == set(Decided.values)
    assert all(row.reason for row in decided if row.decided != Decided.ACCEPTED)


def test_answers_are_late_in_time_corrected_and_still_owed(loaded):
    sent = Review.objects.filter(replaces=None).select_related("submission")

    assert any(review.sent_at > review.submission.due_at for review in sent)
    assert any(review.sent_at <= review.submission.due_at for review in sent)
    assert Review.objects.exclude(replaces=None).count() == 1
    assert Submission.objects.waiting().filter(due_at__lt=loaded).exists()
    assert Submission.objects.waiting().filter(due_at__gte=loaded).exists()
    assert {kind for (kind,) in Submission.objects.waiting().values_list("kind")} == {"clip", "question", "check_in"}


def test_a_warning_sign_stands_first_in_the_queue(loaded):
    assert Submission.objects.waiting().in_queue_order()[0].client.email == "ingrith@client.example"


def test_clips_are_portrait_and_landscape_at_30_and_60_frames_a_second(loaded):
    clips = Clip.objects.filter(state="ready")
    shapes = {
        (clip.height > clip.width, round((len(clip.frame_times) - 1) * 90_000 / clip.frame_times[-1])) for clip in clips
    }

    assert {(True, 60), (True, 30), (False, 30)} <= shapes
    assert Clip.objects.filter(state="erased").count() == 1


def test_units_zones_and_scripts_vary(loaded):
    clients = Client.objects.all()

    assert {client.mass_unit for client in clients} == {"kg", "lb"}
    assert {client.length_unit for client in clients} == {"cm", "in"}
    assert len({client.time_zone for client in clients}) >= 12
    assert sum(not client.name.isascii() for client in clients) >= 6


def test_enquiries_are_new_answered_and_declined(loaded):
    states = set(Enquiry.objects.values_list("state", flat=True))

    assert states == {EnquiryState.OPEN, EnquiryState.ANSWERED, EnquiryState.DECLINED}


def test_a_guardian_is_asked_and_has_not_answered(loaded):
    asked = GuardianRequest.objects.get()

    assert (asked.client.email, asked.client.needs_guardian) == ("lio@client.example", True)


def test_a_coach_is_away_and_covered_just_for_those_days(loaded):
    away = Absence.objects.get()
    covers = Assignment.objects.filter(kind=AssignmentKind.COVER)

    assert away.from_at < loaded < away.until_at
    assert away.cover is not None
    assert away.message
    assert covers.exists()
    assert {(row.coach_id, row.until_at) for row in covers} == {(away.cover_id, away.until_at)}


def test_set_up_checks_are_done_run_out_and_missing(loaded):
    things = EquipmentItem.objects.filter(kind__in=ITEMS_WANTING_A_SET_UP_CHECK)
    counted = {(item.set_up_checked_on is None, counts_on(item, loaded.date())) for item in things}

    assert counted == {(False, True), (False, False), (True, False)}


def test_coaches_keep_notes_and_lines_in_mind_and_who_looked_is_on_record(loaded):
    looked = AccessRecord.objects.all()

    assert set(Note.objects.values_list("kind", flat=True)) == {"call", "note"}
    assert PinnedLine.objects.exists()
    assert {row.reader.name for row in looked} == {coach.name for key, coach in COACHES.items() if key != "oda"}
    assert all(row.reader_id != row.client.user_id and row.at <= loaded for row in looked)


def test_each_clearance_has_limits_and_an_end(loaded):
    for clearance in Clearance.objects.all():
        assert clearance.limits
        assert clearance.given_on < loaded.date() < clearance.expires_on


def name_of(report):
    return report.client.email.partition("@")[0]


def test_warning_signs_stand_locked_lifted_and_without_a_lock(loaded):
    reports = RedFlagReport.objects.select_related("client")
    told = {
        name_of(report): (report.locks, report.lifted_by is not None, report.seen_at is not None) for report in reports
    }

    assert told == {
        "ingrith": (True, False, False),
        "desta": (True, True, True),
        "meerav": (False, False, True),
    }


def test_one_morning_is_untold_one_soreness_is_none_and_one_report_is_half_told(loaded):
    told = {name_of(report): report for report in PainReport.objects.current().select_related("client")}

    assert (told["viktor"].owes_morning, told["yusuf"].is_soreness) == (True, True)
    assert next_question(told["galini"]) == PainQuestion.SORENESS
