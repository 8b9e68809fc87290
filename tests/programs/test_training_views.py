"""What a client sees and does on the pages they train from."""

import datetime
import re
import uuid
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from clients.choices import Area, ConsentAction, Side
from clients.models import PainReport, ProtectedArea, RedFlagReport
from programs.choices import GroupKind, LoadKind, Measure, SessionState
from programs.domain.logging import log_entries
from programs.models import ScheduledSession, SetLog, TrainingLog
from tests import factories as f
from tests.programs.log import movement, session_entry, session_with, set_entry


@pytest.fixture
def now():
    return timezone.now()


@pytest.fixture
def ready(cast):
    """The client has consented and may train."""
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    return cast


@pytest.fixture
def page(ready, signed_in):
    return signed_in(ready.client_user)


def today_session(cast, now, *, days=0, **dose):
    scheduled, prescription = session_with(cast, **dose)
    scheduled.on = (now + datetime.timedelta(days=days)).date()
    scheduled.save(update_fields=["on"])
    return scheduled, prescription


def url(scheduled, name="train"):
    return reverse(name, args=[scheduled.uuid])


def shown(response):
    return " ".join(response.content.decode().split())


def form_of(prescription, **fields):
    return {
        "kind": "set",
        "uuid": str(uuid.uuid4()),
        "prescription": str(prescription.uuid),
        "number": "1",
        "side": "both",
        "repetitions": "8",
    } | fields


def field_value(html, name):
    found = re.search(rf'<input[^>]*name="{name}"[^>]*value="([^"]*)"', html)
    return found and found.group(1)


# Today


def test_today_offers_the_session_of_the_day(ready, page, now):
    scheduled, _dose = today_session(ready, now)

    assert f'href="{url(scheduled)}"' in shown(page.get(reverse("today")))


def test_today_without_a_session_says_what_comes_next(ready, page, now):
    scheduled, _dose = today_session(ready, now, days=3)

    response = page.get(reverse("today"))

    assert response.context["next"] == scheduled
    assert "Nothing is planned for today" in shown(response)


@pytest.mark.parametrize(
    ("state", "days", "words"),
    [
        (SessionState.WITH_NUMBERS, -1, "Done, with numbers"),
        (SessionState.PARTLY, -1, "Partly done"),
        (SessionState.SKIPPED, -1, "Skipped: No time"),
        (SessionState.PLANNED, -1, "Not recorded"),
        (SessionState.PLANNED, 1, "Planned"),
    ],
)
def test_list_of_days_says_in_words_what_became_of_each(ready, page, now, state, days, words):
    scheduled, _dose = today_session(ready, now, days=days)
    reason = "time" if state == SessionState.SKIPPED else ""
    ScheduledSession.objects.filter(pk=scheduled.pk).update(state=state, reason=reason)

    assert [row.words for row in page.get(reverse("today")).context["rows"]] == [words]


def test_today_is_the_day_of_the_clients_zone(ready, page, monkeypatch):
    ready.client.time_zone = "Pacific/Auckland"
    ready.client.save()
    late = datetime.datetime(2026, 3, 4, 13, 0, tzinfo=datetime.UTC)
    monkeypatch.setattr(timezone, "now", lambda: late)

    assert page.get(reverse("today")).context["today"] == datetime.date(2026, 3, 5)


def test_today_of_someone_who_is_no_client_is_not_found(cast, signed_in):
    assert signed_in(cast.coach).get(reverse("today")).status_code == 404


def test_today_shows_nothing_of_another_client(ready, page, now):
    theirs, _dose = session_with(ready, client=ready.other_client)
    ScheduledSession.objects.filter(pk=theirs.pk).update(on=now.date())

    assert str(theirs.uuid) not in shown(page.get(reverse("today")))


# The session


@pytest.mark.parametrize("who", ["other_client_user", "coach", "other_coach", "owner", "stranger_coach"])
@pytest.mark.parametrize(
    ("name", "method"),
    [("train", "get"), ("train-log", "post"), ("train-pain", "post"), ("move-session", "post")],
)
def test_session_is_the_clients_alone(ready, signed_in, now, who, name, method):
    scheduled, _dose = today_session(ready, now)

    assert getattr(signed_in(getattr(ready, who)), method)(url(scheduled, name)).status_code == 404


def test_session_shows_dose_cue_and_why_it_changed(ready, page, now):
    scheduled, _dose = today_session(ready, now, cue="Ribs down.", change_reason="You reached 12 twice.")

    text = shown(page.get(url(scheduled)))

    assert all(words in text for words in ("3 sets of 8–12 reps", "Ribs down.", "You reached 12 twice."))


def test_session_brackets_a_pair(ready, page, now):
    scheduled, dose = today_session(ready, now)
    pair = f.GroupFactory(section=dose.group.section, kind=GroupKind.PAIR, position=1)
    f.PrescriptionFactory(group=pair)
    f.PrescriptionFactory(group=pair, position=1)

    groups = page.get(url(scheduled)).context["page"].sections[0].groups

    assert [(bool(group.words), len(group.cards)) for group in groups] == [(False, 1), (True, 2)]


@pytest.mark.parametrize(
    ("group", "rests", "told"),
    [
        ({"kind": GroupKind.PAIR}, [0, 90], True),
        ({"kind": GroupKind.CIRCUIT}, [15, 90], True),
        ({"kind": GroupKind.EVERY_MINUTE, "interval_s": 90}, [0, 0], False),
        ({"kind": GroupKind.ROUNDS, "minutes": 8}, [0, 0], False),
    ],
)
def test_rest_begins_as_the_minutes_count_it_and_never_against_the_clock(ready, page, now, group, rests, told):
    scheduled, dose = today_session(ready, now)
    together = f.GroupFactory(section=dose.group.section, position=1, **group)
    f.PrescriptionFactory(group=together, rest_s=15)
    f.PrescriptionFactory(group=together, position=1, rest_s=90)

    answer = page.get(url(scheduled))

    cards = answer.context["page"].sections[0].groups[1].cards
    assert [card.rows[0].rest_s for card in cards] == rests
    assert [rest_in(shown(answer), card.rows[0].key) for card in cards] == [
        str(rest) if rest else None for rest in rests
    ]
    assert ["rest " in card.dose for card in cards] == [told, told]


def rest_in(html, key):
    """What the row's form says of rest; nothing where none begins."""
    form = re.search(rf'<form[^>]*data-row="{key}"[^>]*>', html)
    rest = re.search(r'data-rest="([^"]*)"', form.group())
    return rest and rest.group(1)


def test_who_has_more_sets_than_the_other_of_a_pair_goes_on_with_own_rest(ready, page, now):
    scheduled, dose = today_session(ready, now)
    pair = f.GroupFactory(section=dose.group.section, kind=GroupKind.PAIR, position=1)
    f.PrescriptionFactory(group=pair, sets=4, rest_s=60)
    f.PrescriptionFactory(group=pair, position=1, sets=2, rest_s=90)

    cards = page.get(url(scheduled)).context["page"].sections[0].groups[1].cards

    assert [[row.rest_s for row in card.rows] for card in cards] == [[0, 0, 60, 60], [90, 60]]


@pytest.mark.parametrize(
    ("group", "clock"),
    [
        ({"kind": GroupKind.EVERY_MINUTE, "interval_s": 90}, (90, 6)),  # two movements, three sets each
        ({"kind": GroupKind.ROUNDS, "minutes": 8}, (480, 1)),
        ({"kind": GroupKind.CIRCUIT}, (None, 1)),
    ],
)
def test_what_goes_by_the_clock_has_one(ready, page, now, group, clock):
    scheduled, dose = today_session(ready, now)
    together = f.GroupFactory(section=dose.group.section, position=1, **group)
    f.PrescriptionFactory(group=together)
    f.PrescriptionFactory(group=together, position=1)

    shown_group = page.get(url(scheduled)).context["page"].sections[0].groups[1]

    assert (shown_group.clock_s, shown_group.clock_rounds) == clock


def test_grips_take_turns_set_by_set(ready, page, now):
    scheduled, _dose = today_session(ready, now, sets=3, grip="pronated,neutral")

    rows = page.get(url(scheduled)).context["page"].sections[0].groups[0].cards[0].rows

    assert [row.grip for row in rows] == ["pronated", "neutral", "pronated"]
    assert rows[1].grip_words == "neutral grip"


def test_option_that_is_barred_today_is_not_shown(ready, page, now):
    knee = f.MovementFactory(revision__name="Lunge", revision__areas=["knee"]).current
    scheduled, _dose = today_session(ready, now, easier=knee, easier_below=5, and_or="Or a walk.")
    assert "Below 5 reps: Lunge instead." in shown(page.get(url(scheduled)))

    ProtectedArea.objects.create(
        practice=ready.client.practice,
        client=ready.client,
        area=Area.KNEE,
        side=Side.LEFT,
        from_on=scheduled.on,
        barred=True,
    )

    text = shown(page.get(url(scheduled)))
    assert "Lunge" not in text
    assert "Or a walk." in text


def test_reserve_is_asked_on_the_last_set_only(ready, page, now):
    scheduled, _dose = today_session(ready, now, sets=3)

    assert shown(page.get(url(scheduled))).count('name="rir" value="2"') == 1


def test_rows_are_filled_with_the_plan_when_nothing_was_done_before(ready, page, now):
    scheduled, _dose = today_session(ready, now)

    assert field_value(page.get(url(scheduled)).content.decode(), "repetitions") == "8"


def test_rows_are_filled_with_last_times_numbers_in_the_range(ready, page, now):
    scheduled, dose = today_session(ready, now)
    before = f.ScheduledSessionFactory(client=ready.client, on=scheduled.on - datetime.timedelta(days=7))
    numbers = {"lineage": dose.lineage, "movement": dose.movement, "repetitions": 11}
    f.SetLogFactory(client=ready.client, scheduled=before, **numbers)

    response = page.get(url(scheduled))

    assert field_value(response.content.decode(), "repetitions") == "11"
    assert "Last time: 11 reps" in shown(response)


@pytest.mark.parametrize(("done", "words"), [([1], "Last time: 1 rep<"), ([1, 1], "Last time: 1, 1 reps<")])
def test_one_repetition_of_last_time_is_told_as_one(ready, page, now, done, words):
    scheduled, dose = today_session(ready, now)
    before = f.ScheduledSessionFactory(client=ready.client, on=scheduled.on - datetime.timedelta(days=7))
    for number, repetitions in enumerate(done, start=1):
        numbers = {"lineage": dose.lineage, "movement": dose.movement, "repetitions": repetitions, "number": number}
        f.SetLogFactory(client=ready.client, scheduled=before, **numbers)

    assert words in shown(page.get(url(scheduled)))


def test_planned_load_is_shown_in_the_clients_unit(ready, page, now):
    ready.client.mass_unit = "lb"
    ready.client.save()
    plus = movement(load_kind=LoadKind.BODY_PLUS, share=1)
    kg = {"load_entered": 10, "load_unit": "kg", "load_kg": 10}
    scheduled, _dose = today_session(ready, now, movement=plus, **kg)

    html = page.get(url(scheduled)).content.decode()

    assert (field_value(html, "load"), field_value(html, "load_unit")) == ("22.05", "lb")


def test_hold_has_a_timer_that_fills_its_seconds(ready, page, now):
    scheduled, _dose = today_session(ready, now, movement=movement(measure=Measure.SECONDS), sets=1)

    html = shown(page.get(url(scheduled)))

    target = re.search(r'<hold-timer target="8" for="([^"]+)"', html).group(1)
    assert f'id="{target}" name="seconds"' in html


def test_session_that_moved_leads_to_its_new_day(ready, page, now):
    scheduled, _dose = today_session(ready, now)
    page.post(url(scheduled, "move-session"), {"to": (now + datetime.timedelta(days=1)).date()})

    response = page.get(url(scheduled))

    assert response["Location"] == url(ScheduledSession.objects.get(moved_from=scheduled))


def test_withdrawn_session_is_not_found(ready, page, now):
    scheduled, _dose = today_session(ready, now)
    ScheduledSession.objects.filter(pk=scheduled.pk).update(state=SessionState.WITHDRAWN)

    assert page.get(url(scheduled)).status_code == 404


def test_page_asks_the_database_no_more_for_a_longer_session(ready, page, now, django_assert_num_queries):
    scheduled, _dose = today_session(ready, now, sets=1)
    page.get(url(scheduled))
    with CaptureQueriesContext(connection) as short:
        page.get(url(scheduled))
    for _unused in range(3):
        section = f.SectionFactory(session=scheduled.session, position=2)
        more = f.PrescriptionFactory(group=f.GroupFactory(section=section), sets=4, per_side=True)
        log_entries(ready.client, [set_entry(scheduled, more, number=n) for n in (1, 2)], at=now)

    with django_assert_num_queries(len(short)):
        page.get(url(scheduled))


# Safety


@pytest.fixture
def locked(ready):
    RedFlagReport.objects.create(
        practice=ready.practice,
        client=ready.client,
        groups=["X"],
        items=["x"],
        lane="urgent",
        locks=True,
        source="pain",
        reported_at=timezone.now(),
    )


def test_locked_client_cannot_open_a_session_and_reads_why(ready, page, now, locked):
    scheduled, _dose = today_session(ready, now)

    response = page.get(url(scheduled))

    assert "Training is locked after a warning sign" in shown(response)
    assert "set-logger" not in shown(response)


def test_session_does_not_open_past_the_screenings_expiry(cast, signed_in, now):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client, expires_on=now.date() - datetime.timedelta(days=1))
    scheduled, _dose = today_session(cast, now)

    assert "The screening has run out" in shown(signed_in(cast.client_user).get(url(scheduled)))


def test_session_does_not_open_without_consent(ready, page, now):
    f.ConsentFactory(client=ready.client, action=ConsentAction.WITHDRAWN, at=now)
    scheduled, _dose = today_session(ready, now)

    assert "set-logger" not in shown(page.get(url(scheduled)))


def test_locked_client_can_still_tell_what_was_done(ready, page, now, locked):
    scheduled, _dose = today_session(ready, now)

    page.post(url(scheduled, "train-log"), {"kind": "session", "uuid": str(uuid.uuid4()), "outcome": "as_planned"})

    assert TrainingLog.objects.get().outcome == "as_planned"


# Logging without a script


def test_done_stores_the_set_and_goes_back_to_its_row(ready, page, now):
    scheduled, dose = today_session(ready, now)

    response = page.post(url(scheduled, "train-log"), form_of(dose))

    assert response["Location"] == f"{url(scheduled)}#set-{dose.uuid}-1-both"
    assert SetLog.objects.get().repetitions == 8


def test_form_of_the_page_stores_what_it_shows(ready, page, now):
    """Every input of the first row, as a browser without a script would send it."""
    plus = movement(load_kind=LoadKind.BODY_PLUS, share=1)
    kg = {"load_entered": 10, "load_unit": "kg", "load_kg": 10, "grip": "neutral"}
    scheduled, _dose = today_session(ready, now, movement=plus, sets=1, **kg)
    html = page.get(url(scheduled)).content.decode()
    form = re.search(r'<form class="set-row".*?</form>', html, re.DOTALL).group()
    inputs = re.findall(r'<input[^>]*name="(\w+)"[^>]*?(?:type="(\w+)")?[^>]*value="([^"]*)"', form)
    sent = {name: value for name, _type, value in inputs if name not in {"csrfmiddlewaretoken", "rir"}}

    page.post(url(scheduled, "train-log"), sent | {"rir": "2"})

    stored = SetLog.objects.get()
    assert (stored.repetitions, stored.load_kg, stored.grip, stored.rir) == (8, Decimal(10), "neutral", Decimal(2))


def test_form_sent_twice_stores_once(ready, page, now):
    scheduled, dose = today_session(ready, now)
    sent = form_of(dose)

    responses = [page.post(url(scheduled, "train-log"), sent) for _unused in range(2)]

    assert [response.status_code for response in responses] == [302, 302]
    assert SetLog.objects.count() == 1


def test_saved_set_can_be_changed(ready, page, now):
    scheduled, dose = today_session(ready, now, sets=1)
    page.post(url(scheduled, "train-log"), form_of(dose))
    html = page.get(url(scheduled)).content.decode()

    replaces = field_value(html, "replaces")
    page.post(url(scheduled, "train-log"), form_of(dose, repetitions="9", replaces=replaces))

    assert SetLog.objects.counting().get().repetitions == 9


def test_saved_set_can_be_taken_back(ready, page, now):
    scheduled, dose = today_session(ready, now, sets=1)
    first = form_of(dose)
    page.post(url(scheduled, "train-log"), first)

    back = form_of(dose, withdrawn="true", replaces=first["uuid"], repetitions="")
    page.post(url(scheduled, "train-log"), back)

    assert not SetLog.objects.counting().exists()


def test_refused_set_keeps_what_was_typed_and_says_why(ready, page, now):
    scheduled, dose = today_session(ready, now, sets=1)

    response = page.post(url(scheduled, "train-log"), form_of(dose, repetitions="5000"))

    html = response.content.decode()
    assert (response.status_code, field_value(html, "repetitions")) == (422, "5000")
    assert "less than or equal to 1000" in html


def test_set_logged_meanwhile_on_another_device_is_shown_as_a_conflict(ready, page, now):
    scheduled, dose = today_session(ready, now, sets=1)
    log_entries(ready.client, [set_entry(scheduled, dose, repetitions=10)], at=now)

    response = page.post(url(scheduled, "train-log"), form_of(dose, repetitions="7"))

    assert response.status_code == 409
    assert "Other numbers were saved here before." in shown(response)


def test_sides_that_differed_are_stored_as_two(ready, page, now):
    scheduled, dose = today_session(ready, now, per_side=True)

    for side, done in (("left", "8"), ("right", "6")):
        page.post(url(scheduled, "train-log"), form_of(dose, side=side, repetitions=done))

    rows = page.get(url(scheduled)).context["page"].sections[0].groups[0].cards[0].rows
    assert [(row.number, row.side, row.amount) for row in rows[:2]] == [(1, "left", "8"), (1, "right", "6")]


def test_session_told_as_done_goes_back_to_today(ready, page, now):
    scheduled, _dose = today_session(ready, now)
    told = {"kind": "session", "uuid": str(uuid.uuid4()), "outcome": "partly", "session_rpe": "7", "minutes": "40"}

    response = page.post(url(scheduled, "train-log"), told)

    assert response["Location"] == reverse("today")
    assert TrainingLog.objects.get().session_load_au == 280


def test_session_without_an_outcome_is_refused_at_its_field(ready, page, now):
    scheduled, _dose = today_session(ready, now)

    response = page.post(url(scheduled, "train-log"), {"kind": "session", "uuid": str(uuid.uuid4()), "note": "Hot."})

    assert (response.status_code, list(response.context["finish"].errors)) == (422, ["outcome"])
    assert "Hot." in shown(response)


def test_session_is_skipped_with_a_reason(ready, page, now):
    scheduled, _dose = today_session(ready, now)
    told = {"kind": "session", "uuid": str(uuid.uuid4()), "outcome": "skipped", "skip_reason": "travel"}

    page.post(url(scheduled, "train-log"), told)

    scheduled.refresh_from_db()
    assert scheduled.state == SessionState.EXCUSED


def test_skipping_without_a_reason_is_refused_where_it_was_asked(ready, page, now):
    scheduled, _dose = today_session(ready, now)

    response = page.post(
        url(scheduled, "train-log"), {"kind": "session", "uuid": str(uuid.uuid4()), "outcome": "skipped"}
    )

    assert (response.status_code, list(response.context["skip"].errors)) == (422, ["skip_reason"])


def test_finish_form_remembers_what_was_told(ready, page, now):
    scheduled, _dose = today_session(ready, now)
    log_entries(ready.client, [session_entry(scheduled, outcome="partly", session_rpe=6, minutes=33)], at=now)

    initial = page.get(url(scheduled)).context["finish"].initial

    assert (initial["outcome"], initial["session_rpe"], initial["minutes"]) == ("partly", 6, 33)


def test_minutes_are_filled_from_the_first_set(ready, page, now):
    scheduled, dose = today_session(ready, now)
    started = (now - datetime.timedelta(minutes=42)).isoformat()
    log_entries(ready.client, [set_entry(scheduled, dose, device_at=started)], at=now)

    assert page.get(url(scheduled)).context["finish"].initial["minutes"] in {42, 43}


@pytest.mark.parametrize("name", ["train-log", "move-session"])
def test_what_changes_things_is_not_done_by_looking(ready, page, now, name):
    scheduled, _dose = today_session(ready, now)

    assert page.get(url(scheduled, name)).status_code == 405


# Pain


def pain_form(**fields):
    told = {"area": "elbow", "side": "left", "since": "today", "after_blow": "no", "pin_point": "no"}
    return {"uuid": str(uuid.uuid4())} | told | fields


def test_pain_from_the_session_is_kept_with_its_movement_and_asks_on(ready, page, now):
    scheduled, dose = today_session(ready, now)

    response = page.post(url(scheduled, "train-pain"), pain_form(prescription=str(dose.uuid)))

    report = PainReport.objects.get()
    assert response["Location"] == reverse("pain-soreness", args=[report.uuid])
    assert (report.told_in, report.movement_slug) == (scheduled.uuid, dose.movement.movement.slug)


def test_pain_sent_twice_from_the_session_is_kept_once(ready, page, now):
    scheduled, _dose = today_session(ready, now)
    told = pain_form()

    answers = {page.post(url(scheduled, "train-pain"), told)["Location"] for _again in range(2)}

    assert (len(answers), PainReport.objects.count()) == (1, 1)


def test_pain_in_the_chest_asks_for_warning_signs_first(ready, page, now):
    scheduled, _dose = today_session(ready, now)

    response = page.post(url(scheduled, "train-pain"), pain_form(area="chest"))

    assert response["Location"] == reverse("pain-warning-signs", args=[PainReport.objects.get().uuid])


def test_movement_of_another_session_is_none_of_this_one(ready, page, now):
    scheduled, _dose = today_session(ready, now)

    response = page.post(url(scheduled, "train-pain"), pain_form(prescription=str(uuid.uuid4())))

    assert (response.status_code, list(response.context["form"].errors)) == (422, ["prescription"])


def test_incomplete_pain_is_asked_again_with_what_was_chosen(ready, page, now):
    scheduled, _dose = today_session(ready, now)

    response = page.post(url(scheduled, "train-pain"), pain_form(since=""))

    assert (response.status_code, list(response.context["form"].errors)) == (422, ["since"])
    assert not PainReport.objects.exists()


def session_form(**fields):
    return {"kind": "session", "uuid": str(uuid.uuid4()), "outcome": "as_planned"} | fields


def test_something_hurt_asks_where_at_once_and_on_the_own_page_until_it_is_told(ready, page, now):
    scheduled, _dose = today_session(ready, now)

    response = page.post(url(scheduled, "train-log"), session_form(anything_hurt="yes"))
    assert response["Location"] == url(scheduled, "train-pain")
    assert [log.scheduled for log in page.get(reverse("my-home")).context["hurt"]] == [scheduled]

    page.post(url(scheduled, "train-pain"), pain_form())
    assert page.get(reverse("my-home")).context["hurt"] == []


def test_nothing_hurt_is_kept_and_erases_no_earlier_report(ready, page, now):
    scheduled, _dose = today_session(ready, now)
    page.post(url(scheduled, "train-pain"), pain_form())

    page.post(url(scheduled, "train-log"), session_form(anything_hurt="no"))

    assert TrainingLog.objects.counting().get().anything_hurt is False
    assert PainReport.objects.pains().count() == 1


# Moving


def test_session_moves_to_another_day_and_the_list_says_where(ready, page, now):
    scheduled, _dose = today_session(ready, now)
    to = (now + datetime.timedelta(days=2)).date()

    page.post(url(scheduled, "move-session"), {"to": to.isoformat()})

    rows = page.get(reverse("today")).context["rows"]
    assert [row.words for row in rows] == [f"Moved to {to:%A} {to.day} {to:%B}", "Planned"]


@pytest.mark.parametrize("to", ["", "soon", "2020-01-01", "2199-01-01"])
def test_session_does_not_move_out_of_reach(ready, page, now, to):
    scheduled, _dose = today_session(ready, now)

    page.post(url(scheduled, "move-session"), {"to": to})

    assert ScheduledSession.objects.get().state == SessionState.PLANNED
