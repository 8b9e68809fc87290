"""The contract of the log's JSON door."""

import itertools
import uuid

import pytest
from django.db import IntegrityError
from django.test import Client as Browser
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from clients.models import PainReport
from programs.domain.logging import log_entries
from programs.models import SetLog, TrainingLog
from tests import factories as f
from tests.programs.at_once import at_once
from tests.programs.log import pain_entry, session_entry, session_with, set_entry

URL = "/api/log/"


@pytest.fixture
def phone(cast, signed_in):
    return signed_in(cast.client_user)


def post(phone, *entries):
    return phone.post(URL, {"entries": list(entries)}, content_type="application/json")


def answers(phone, *entries):
    return post(phone, *entries).json()["answers"]


def statuses(phone, *entries):
    return [answer["status"] for answer in answers(phone, *entries)]


def test_address_is_the_one_phones_know():
    assert reverse("api-log") == URL


def test_batch_of_all_kinds_is_stored_and_answered_in_order(cast, phone):
    scheduled, dose = session_with(cast)
    batch = [set_entry(scheduled, dose), session_entry(scheduled), pain_entry(scheduled)]

    assert answers(phone, *batch) == [{"uuid": e["uuid"], "status": "stored", "errors": {}} for e in batch]


def test_same_entry_again_is_already_stored_once(cast, phone):
    scheduled, dose = session_with(cast)
    entry = set_entry(scheduled, dose)
    post(phone, entry)

    assert statuses(phone, entry) == ["already_stored"]
    assert SetLog.objects.count() == 1


def test_same_entry_with_its_numbers_as_text_is_the_same_entry(cast, phone):
    scheduled, dose = session_with(cast)
    entry = set_entry(scheduled, dose, repetitions=8, load=10, load_unit="kg", rir=2)
    post(phone, entry)

    assert statuses(phone, entry | {"repetitions": "8", "load": "10.0", "rir": "2"}) == ["already_stored"]


def test_same_id_with_other_numbers_is_a_conflict_and_changes_nothing(cast, phone):
    scheduled, dose = session_with(cast)
    entry = set_entry(scheduled, dose, repetitions=8)
    post(phone, entry)

    answer = answers(phone, entry | {"repetitions": 9})[0]

    assert (answer["status"], answer["current"]) == ("conflict", entry["uuid"])
    assert SetLog.objects.get().repetitions == 8


def test_same_id_for_another_kind_is_a_conflict(cast, phone):
    scheduled, dose = session_with(cast)
    entry = set_entry(scheduled, dose)

    assert statuses(phone, entry, session_entry(scheduled, uuid=entry["uuid"])) == ["stored", "conflict"]


def test_bad_entry_between_good_ones_is_refused_alone(cast, phone):
    scheduled, dose = session_with(cast)
    batch = [set_entry(scheduled, dose), set_entry(scheduled, dose, number=0), set_entry(scheduled, dose, number=2)]

    response = post(phone, *batch)

    assert response.status_code == 200
    assert [answer["status"] for answer in response.json()["answers"]] == ["stored", "refused", "stored"]


def test_refused_by_the_database_alone_leaves_the_others(cast, phone, monkeypatch):
    scheduled, dose = session_with(cast)
    monkeypatch.setattr("programs.domain.logging._refuse_second_set", lambda *told: None)

    assert statuses(phone, *(set_entry(scheduled, dose, number=n) for n in (1, 1, 2))) == [
        "stored",
        "refused",
        "stored",
    ]


def test_nothing_of_a_refused_entry_stays(cast, phone, monkeypatch):
    scheduled, dose = session_with(cast)

    def store_and_fail(current, version):
        version.save()
        raise IntegrityError

    monkeypatch.setattr("programs.domain.logging.supersede", store_and_fail)

    assert statuses(phone, set_entry(scheduled, dose)) == ["refused"]
    assert not SetLog.objects.exists()


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"kind": "song"}, "kind"),
        ({"kind": ["set"]}, "kind"),
        ({"uuid": "not-an-id"}, "uuid"),
        ({"uuid": 5}, "uuid"),
        ({"uuid": "\ud800"}, "uuid"),
        ({"scheduled": None}, "scheduled"),
        ({"scheduled": str(uuid.uuid4())}, "scheduled"),
        ({"prescription": ""}, "prescription"),
        ({"prescription": str(uuid.uuid4())}, "prescription"),
        ({"movement": str(uuid.uuid4())}, "movement"),
        ({"place": str(uuid.uuid4())}, "place"),
        ({"device_at": "2026-03-04T18:30:00"}, "device_at"),
        ({"device_at": "yesterday"}, "device_at"),
        ({"device_at": "2026-13-45T18:30:00+01:00"}, "device_at"),
        ({"device_at": "0001-01-01T00:00:00+14:00"}, "device_at"),
        ({"device_at": "2199-01-01T00:00:00+00:00"}, "device_at"),
        ({"device_at": 1772645400}, "device_at"),
        ({"time_zone": "Mars/Base"}, "time_zone"),
        ({"time_zone": "../../etc/passwd"}, "time_zone"),
        ({"time_zone": ["UTC"]}, "time_zone"),
        ({"number": 0}, "number"),
        ({"number": None}, "number"),
        ({"repetitions": -1}, "repetitions"),
        ({"repetitions": "many"}, "repetitions"),
        ({"repetitions": 8.5}, "repetitions"),
        ({"repetitions": 10**30}, "repetitions"),
        ({"repetitions": None}, "repetitions"),
        ({"repetitions": {"a": 1}}, "repetitions"),
        ({"load": -1, "load_unit": "kg"}, "load"),
        ({"load": "NaN", "load_unit": "kg"}, "load"),
        ({"load": "1e9", "load_unit": "kg"}, "load"),
        ({"load": 10}, "load_unit"),
        ({"load": 10, "load_unit": "stone"}, "load_unit"),
        ({"load_unit": "\ud800"}, "load_unit"),
        ({"assistance": 10, "assistance_kg": 10, "load_unit": "kg"}, "assistance"),
        ({"rir": 11}, "rir"),
        ({"side": "middle"}, "side"),
        ({"grip": "hook"}, "grip"),
        ({"withdrawn": "perhaps"}, "withdrawn"),
        ({"replaces": str(uuid.uuid4())}, "replaces"),
    ],
)
def test_set_with_something_wrong_is_refused_at_its_field(cast, phone, wrong, field):
    scheduled, dose = session_with(cast)

    answer = answers(phone, set_entry(scheduled, dose) | wrong)[0]

    assert (answer["status"], list(answer["errors"])) == ("refused", [field])
    assert not SetLog.objects.exists()


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"outcome": None}, "outcome"),
        ({"outcome": "great"}, "outcome"),
        ({"outcome": "skipped"}, "skip_reason"),
        ({"session_rpe": 11}, "session_rpe"),
        ({"minutes": 0}, "minutes"),
        ({"minutes": 601}, "minutes"),
        ({"note": "x" * 1001}, "note"),
        ({"note": ["a"]}, "note"),
        ({"note": "nul \x00 byte"}, "note"),
        ({"note": "\ud800"}, "note"),
    ],
)
def test_session_with_something_wrong_is_refused_at_its_field(cast, phone, wrong, field):
    scheduled, _dose = session_with(cast)

    assert list(answers(phone, session_entry(scheduled, **wrong))[0]["errors"]) == [field]


@pytest.mark.parametrize(
    ("wrong", "field"), [({"area": "soul"}, "area"), ({"side": None}, "side"), ({"during": 11}, "during")]
)
def test_pain_with_something_wrong_is_refused_at_its_field(cast, phone, wrong, field):
    scheduled, _dose = session_with(cast)

    assert list(answers(phone, pain_entry(scheduled, **wrong))[0]["errors"]) == [field]


@pytest.mark.parametrize("not_an_entry", [None, 7, "set", [], [{}]])
def test_what_is_no_entry_is_refused_and_the_rest_is_kept(cast, phone, not_an_entry):
    scheduled, dose = session_with(cast)

    assert statuses(phone, not_an_entry, set_entry(scheduled, dose)) == ["refused", "stored"]


def test_fields_of_a_newer_phone_are_left_alone(cast, phone):
    scheduled, dose = session_with(cast)

    assert statuses(phone, set_entry(scheduled, dose, heart_rate=140)) == ["stored"]


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"nonsense",
        b"[]",
        b"7",
        b"null",
        b"{}",
        b'{"entries": null}',
        b'{"entries": {}}',
        b'{"entries": [NaN]}',
        b'{"entries": ' + b"[" * 100_000 + b"]" * 100_000 + b"}",
        b"\xff\xfe",
    ],
)
def test_unreadable_envelope_is_a_bad_request(phone, body):
    assert phone.post(URL, body, content_type="application/json").status_code == 400


def test_envelope_of_more_than_a_megabyte_is_a_bad_request(phone):
    body = b'{"entries": [], "x": "' + b"x" * 1024 * 1024 + b'"}'

    assert phone.post(URL, body, content_type="application/json").status_code == 400


@pytest.mark.parametrize(("count", "status"), [(0, 200), (200, 200), (201, 400)])
def test_batch_has_up_to_two_hundred_entries(phone, count, status):
    assert post(phone, *[{}] * count).status_code == status


def test_two_hundred_entries_are_all_stored(cast, phone):
    scheduled, dose = session_with(cast)
    numbers = itertools.product(range(1, 51), ("left", "right"), ("work", "warm_up"))
    batch = [set_entry(scheduled, dose, number=n, side=side, set_kind=kind) for n, side, kind in numbers]

    assert set(statuses(phone, *batch)) == {"stored"}
    assert SetLog.objects.count() == 200


# Who may


def test_visitor_is_refused(client):
    assert post(client).status_code == 403


def test_coach_who_is_no_client_finds_nothing(cast, signed_in):
    assert post(signed_in(cast.coach)).status_code == 404


def test_request_without_a_token_is_refused(cast):
    browser = Browser(enforce_csrf_checks=True)
    browser.force_login(cast.client_user)

    assert post(browser).status_code == 403


@pytest.mark.parametrize("method", ["get", "put", "delete"])
def test_only_post_is_answered(phone, method):
    assert getattr(phone, method)(URL).status_code == 405


def test_what_belongs_to_another_client_answers_like_what_is_not_there(cast, phone):
    mine, _dose = session_with(cast)
    theirs, their_dose = session_with(cast, client=cast.other_client)
    log_entries(cast.other_client, [set_entry(theirs, their_dose)], at=f.NOON)
    stored = str(SetLog.objects.get().uuid)
    nothing = str(uuid.uuid4())

    def told(scheduled, prescription, replaces):
        ids = {"scheduled": scheduled, "prescription": prescription, "replaces": replaces}
        answer = answers(phone, set_entry(mine, _dose) | ids)[0]
        return answer | {"uuid": None}

    me, dose = str(mine.uuid), str(_dose.uuid)
    assert told(str(theirs.uuid), dose, None) == told(nothing, dose, None)
    assert told(me, str(their_dose.uuid), None) == told(me, nothing, None)
    assert told(me, dose, stored) == told(me, dose, nothing)


@pytest.mark.parametrize("make", [set_entry, lambda s, _d, **kw: session_entry(s, **kw)])
def test_id_of_another_clients_entry_is_refused_without_telling_what_it_is(cast, phone, make):
    theirs, their_dose = session_with(cast, client=cast.other_client)
    taken = make(theirs, their_dose)
    log_entries(cast.other_client, [taken], at=f.NOON)
    mine, dose = session_with(cast)

    answer = answers(phone, make(mine, dose, uuid=taken["uuid"]))[0]

    assert answer == {
        "uuid": taken["uuid"],
        "status": "refused",
        "errors": {"uuid": ["This is not known here."]},
    }


def test_id_of_another_clients_pain_report_is_refused(cast, phone):
    theirs, _dose = session_with(cast, client=cast.other_client)
    taken = pain_entry(theirs)
    log_entries(cast.other_client, [taken], at=f.NOON)

    mine, _dose = session_with(cast)
    assert answers(phone, pain_entry(mine, uuid=taken["uuid"]))[0]["errors"] == {"uuid": ["This is not known here."]}


def test_place_of_another_client_is_unknown(cast, phone):
    scheduled, dose = session_with(cast)
    place = f.PlaceFactory(client=cast.other_client)

    assert list(answers(phone, set_entry(scheduled, dose, place=str(place.uuid)))[0]["errors"]) == ["place"]


# A bad connection


@pytest.mark.django_db(transaction=True)
def test_same_batch_from_two_connections_at_once_is_stored_once(cast):
    scheduled, dose = session_with(cast)
    batch = [set_entry(scheduled, dose, number=n) for n in (1, 2, 3)] + [session_entry(scheduled)]

    def deliver():
        return [answer.status for answer in log_entries(cast.client, batch, at=f.NOON)]

    assert sorted(at_once(deliver, deliver)) == [["already_stored"] * 4, ["stored"] * 4]
    assert (SetLog.objects.count(), TrainingLog.objects.count()) == (3, 1)


def _story(scheduled, dose):
    """A set with two edits, a set taken back, a set left alone, a session told twice over, and pain."""
    one, two, three = (set_entry(scheduled, dose, number=n) for n in (1, 2, 3))
    edit = set_entry(scheduled, dose, number=1, repetitions=9, replaces=one["uuid"])
    edit_again = set_entry(scheduled, dose, number=1, repetitions=7, replaces=edit["uuid"])
    back = set_entry(scheduled, dose, number=2, replaces=two["uuid"], withdrawn=True)
    told = session_entry(scheduled, session_rpe=6, minutes=40)
    told_again = session_entry(scheduled, outcome="partly", session_rpe=8, minutes=30, replaces=told["uuid"])
    return [one, two, three, edit, edit_again, back, told, told_again, pain_entry(scheduled)]


def _rows(scheduled, story):
    """What is stored of a story, with the place in the story instead of the id."""
    place = {uuid.UUID(entry["uuid"]): index for index, entry in enumerate(story)} | {None: None}
    columns = ("uuid", "replaces__uuid", "is_current")
    sets = SetLog.objects.filter(scheduled=scheduled)
    logs = TrainingLog.objects.filter(scheduled=scheduled)
    pains = PainReport.objects.filter(told_in=scheduled.uuid)
    found = [
        *sets.values_list(*columns, "repetitions", "is_withdrawn", "hard_set", "training_day"),
        *logs.values_list(*columns, "outcome", "session_load_au"),
        *pains.values_list(*columns, "during"),
    ]
    scheduled.refresh_from_db()
    return scheduled.state, {place[row[0]]: (place[row[1]], *row[2:]) for row in found}


@pytest.mark.slow
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_any_order_and_repetition_of_batches_ends_in_the_same_rows(cast, data):
    """A phone sends until everything is stored: in whatever order and however often its batches arrive before."""
    scheduled, dose = session_with(cast)
    calm, calm_dose = session_with(cast)
    story, calm_story = _story(scheduled, dose), _story(calm, calm_dose)
    batches = st.lists(st.lists(st.sampled_from(story), min_size=1, max_size=6), max_size=6)

    for batch in [*data.draw(batches), data.draw(st.permutations(story))]:
        log_entries(cast.client, batch, at=f.NOON)
    log_entries(cast.client, calm_story, at=f.NOON)

    assert _rows(scheduled, story) == _rows(calm, calm_story)
