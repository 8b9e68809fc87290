"""No change of what the derived rows rest on is missed, whenever its transaction began and ended."""

import datetime
import re
import threading

import pytest
from django.apps import apps
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from clients.choices import ClientState
from clients.domain.body import record_body_mass
from clients.models import Client, Place
from coaching.domain.rebuild import clients_to_rebuild, rebuild_client, request_rebuilds
from coaching.models import AttentionItem, DeskState, Observation, Suggestion, UnseenChange, WeeklyRow
from jobs.models import Job
from programs.models import SetLog
from tests import factories as f
from tests.coaching import scenario as s

DERIVED = (WeeklyRow, Observation, AttentionItem, Suggestion, DeskState)
needs_two_writers = pytest.mark.skipif(
    connection.vendor != "postgresql", reason="writers come one after the other on SQLite"
)


def settled(client: Client) -> datetime.datetime:
    """The moment of a rebuild after which nothing is left to do."""
    now = timezone.now()
    rebuild_client(client, at=now)
    assert client not in clients_to_rebuild(at=now)
    return now


CHANGES = {
    "review": lambda client: f.ReviewFactory(client=client, submission=f.SubmissionFactory(client=client)),
    "screening": lambda client: f.ScreeningFactory(client=client),
    "red flag": lambda client: f.RedFlagReportFactory(client=client),
    "pain": lambda client: f.PainReportFactory(client=client),
    "body mass": lambda client: f.BodyMassFactory(client=client),
    "check-in": lambda client: f.CheckInFactory(client=client),
    "excuse": lambda client: f.ExcuseFactory(client=client),
    "consent": lambda client: f.ConsentFactory(client=client),
    "equipment": lambda client: f.EquipmentItemFactory(place=f.PlaceFactory(client=client)),
    "state": lambda client: Client.objects.filter(pk=client.pk).update(state=ClientState.PAUSED),
    "block": lambda client: f.publish(f.BlockFactory(client=client)),
}


@needs_two_writers
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("name", ["review", "screening", "red flag"])
def test_change_that_commits_after_a_rebuild_is_found_by_the_next(name):
    """None of these locks the client, so that a rebuild does not wait for them."""
    client, change = f.ClientFactory(), CHANGES[name]
    written, rebuilt = threading.Event(), threading.Event()

    def write() -> None:
        try:
            with transaction.atomic():
                change(client)
                written.set()
                assert rebuilt.wait(20)
        finally:
            written.set()
            connection.close()

    writer = threading.Thread(target=write)
    writer.start()
    written.wait(20)
    now = timezone.now()
    rebuild_client(client, at=now)
    found_before = client in clients_to_rebuild(at=now)
    rebuilt.set()
    writer.join()

    assert not found_before
    assert client in clients_to_rebuild(at=now)


@needs_two_writers
@pytest.mark.django_db(transaction=True)
def test_change_seen_by_a_rebuild_is_not_found_again():
    client = f.ClientFactory()
    CHANGES["pain"](client)

    settled(client)

    assert not UnseenChange.objects.filter(client=client).exists()


@pytest.mark.django_db
@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES.keys())
def test_every_kind_of_change_asks_for_a_rebuild(change):
    client = f.ClientFactory()
    now = settled(client)

    change(client)

    assert clients_to_rebuild(at=now) == [client]


@pytest.mark.django_db
def test_everything_that_a_rebuild_reads_about_a_client_leaves_marks(cast):
    scenario = s.build(cast.client, load_entered=40, load_unit="kg", load_kg=40)
    s.log_all(scenario, [10, 10, 12])
    with CaptureQueriesContext(connection) as captured:
        rebuild_client(cast.client, at=s.AT)

    read = {table for query in captured for table in re.findall(r'(?:FROM|JOIN) "(\w+)"', query["sql"])}
    about_clients = {
        model._meta.label
        for model in apps.get_models()
        if model._meta.db_table in read and any(field.name == "client" for field in model._meta.fields)
    }
    known = {*UnseenChange.left_by_changes_of, UnseenChange._meta.label, *(model._meta.label for model in DERIVED)}
    assert len(about_clients & set(UnseenChange.left_by_changes_of)) > 10
    # A review is reached through its submission and clip, which are there before it.
    assert about_clients - known == {"submissions.Submission", "submissions.Clip"}


@pytest.mark.django_db
def test_rebuild_that_changed_figures_settles_at_the_second_run(cast):
    movement = f.MovementFactory().current
    f.SetLogFactory(client=cast.client, movement=movement, repetitions=8, share=movement.share)
    record_body_mass(cast.client, entered=80, unit="kg", on=f.NOON.date())
    now = timezone.now()
    rebuild_client(cast.client, at=now)
    once_more = cast.client in clients_to_rebuild(at=now)

    rebuild_client(cast.client, at=now)

    assert once_more
    assert SetLog.objects.get().body_mass_kg == 80
    assert cast.client not in clients_to_rebuild(at=now)


@pytest.mark.django_db
def test_client_is_rebuilt_when_their_own_day_turns(cast):
    Client.objects.filter(pk=cast.client.pk).update(time_zone="Pacific/Kiritimati")
    client = Client.objects.get(pk=cast.client.pk)
    noon = datetime.datetime(2026, 3, 4, 9, tzinfo=datetime.UTC)
    for person in Client.objects.all():
        rebuild_client(person, at=noon)

    # It is midnight fourteen hours east of here, and afternoon elsewhere.
    assert clients_to_rebuild(at=noon + datetime.timedelta(hours=1)) == [client]


@pytest.mark.django_db
def test_marks_about_an_erased_client_are_dropped_and_ask_for_nothing(cast):
    Client.objects.filter(pk=cast.client.pk).update(erased_at=f.NOON, state=ClientState.INVITED, user=None)

    request_rebuilds(at=timezone.now())

    assert not UnseenChange.objects.filter(client=cast.client).exists()
    assert [cast.client.pk] not in Job.objects.values_list("args", flat=True)


@pytest.mark.django_db
def test_change_that_is_rolled_back_leaves_no_mark(cast):
    now = settled(cast.client)

    with transaction.atomic():
        Place.objects.create(practice=cast.practice, client=cast.client, name="Garage")
        transaction.set_rollback(True)

    assert cast.client not in clients_to_rebuild(at=now)


@pytest.mark.django_db
def test_one_statement_about_several_clients_marks_each(cast):
    for client in (cast.client, cast.other_client):
        f.PlaceFactory(client=client)
    UnseenChange.objects.all().delete()

    Place.objects.update(name="Park")

    assert set(UnseenChange.objects.values_list("client", flat=True)) == {cast.client.pk, cast.other_client.pk}
