"""What a backup keeps, and that it comes back exactly. In one process, on the database and storage of the run."""

import datetime
import uuid
from decimal import Decimal

import pytest
from django.apps import apps
from django.contrib.sessions.models import Session
from django.db import models
from django.db.models import Value
from django.utils import timezone

from clients.models import BodyMass, Client, IntakeAnswer, SignInLink, User
from coaching.backup import contents, rows
from coaching.backup.errors import BackupRefused
from coaching.models import Suggestion, UnseenChange
from jobs.choices import JobState
from jobs.models import Heartbeat, Job
from submissions.choices import ClipState
from submissions.models import Clip, Upload
from tests import factories as f
from tests.coaching.lost_and_found import backup, empty_storage, lose_everything, restore
from tests.registry import factory_of

pytestmark = pytest.mark.django_db(transaction=True)
ROOMS = {"clients", "programs", "submissions", "coaching"}
OURS = [m for m in apps.get_models() if m._meta.app_label in ROOMS and contents.label(m) not in contents.LEFT_OUT]


@pytest.fixture(autouse=True)
def folders(settings, tmp_path):
    settings.MEDIA_ROOT, settings.UPLOAD_ROOT = tmp_path / "media", tmp_path / "uploads"
    yield
    empty_storage()


def test_every_kind_of_row_comes_back_as_it_was(tmp_path):
    for model in OURS:
        if model is not UnseenChange:  # the others' rows leave some
            factory_of(model)()
    Clip.objects.update(review_copy="", poster="", state=ClipState.FAILED, failure="lost")
    taken = backup(tmp_path)
    lose_everything()

    restore(tmp_path)

    kept = {model: taken.files[f"rows/{model._meta.db_table}.jsonl"].rows for model in OURS}
    assert [model for model, count in kept.items() if not count] == [Upload]  # the factory's is half an upload
    assert backup(tmp_path, "again").files == taken.files


def test_every_table_is_kept_or_left_out_for_a_reason(tmp_path):
    here = {model._meta.db_table for model in apps.get_models(include_auto_created=True)}
    left_out = {apps.get_model(label)._meta.db_table for label in contents.LEFT_OUT}

    kept = {path.split("/")[1].removesuffix(".jsonl") for path in backup(tmp_path).tables()}

    assert kept == here - left_out
    assert all(contents.LEFT_OUT.values())


def test_every_column_is_of_a_kind_that_can_be_kept():
    for model in apps.get_models(include_auto_created=True):
        for field in rows.columns(model):
            rows.kind(field)


def test_column_of_a_kind_nobody_thought_about_is_refused():
    field = models.DurationField()
    field.model, field.name = Client, "patience"

    with pytest.raises(BackupRefused, match=r"clients.Client.patience is a DurationField"):
        rows.kind(field)


def test_values_come_back_exactly(tmp_path):
    f.ClientFactory(name="Ünï ✓ \u2028 'quoted' \\ \n", email="", training_since=None)
    f.BodyMassFactory(entered=Decimal("80.10"), mass_kg=Decimal("80.1"))
    f.SuggestionFactory(numbers={"b": 0.1, "a": [1, 1e-7, None, True, "0.10"], "é": {}}, reasons=[], sources=["\u0001"])
    instant = datetime.datetime(2026, 3, 29, 0, 59, 59, 999999, tzinfo=datetime.UTC)
    f.IntakeAnswerFactory(value=None, answered_at=instant)
    before = _values()
    backup(tmp_path)
    lose_everything()

    restore(tmp_path)

    assert _values() == before


def _values() -> list:
    return [list(model.objects.order_by("pk").values()) for model in (Client, BodyMass, Suggestion, IntakeAnswer, User)]


def test_null_of_json_is_not_null_of_the_database(tmp_path):
    f.IntakeAnswerFactory(value=None, question="one")
    f.IntakeAnswerFactory(value=Value(None, models.JSONField()), question="two")
    backup(tmp_path)
    lose_everything()

    restore(tmp_path)

    assert list(IntakeAnswer.objects.filter(value__isnull=True).values_list("question", flat=True)) == ["one"]


def test_next_row_after_a_restore_has_a_key_of_its_own(tmp_path):
    kept = f.UserFactory()
    backup(tmp_path)
    lose_everything()
    restore(tmp_path)

    assert f.UserFactory().pk > kept.pk


def test_sign_ins_and_signs_of_life_are_not_kept(tmp_path):
    Session.objects.create(session_key="k", session_data="d", expire_date=timezone.now())
    SignInLink.objects.create(user=f.UserFactory(), token_sha256="0" * 64, expires_at=timezone.now())
    Heartbeat.objects.create(kind="worker", seen_at=timezone.now())

    backup(tmp_path)
    lose_everything()
    restore(tmp_path)

    assert not any(model.objects.exists() for model in (Session, SignInLink, Heartbeat))


def test_running_job_comes_back_as_one_that_waits_with_its_try_given_back(tmp_path):
    Job.objects.create(
        name="x", run_at=f.NOON, state=JobState.RUNNING, owner=uuid.uuid4(), lease_until=f.NOON, attempts=5,
        max_attempts=5, hinted_at=f.NOON,
    )  # fmt: skip
    Job.objects.create(name="x", run_at=f.NOON, args=[7], key="once")
    backup(tmp_path)
    lose_everything()

    restore(tmp_path)

    told = Job.objects.order_by("pk").values_list(
        "state", "attempts", "owner", "lease_until", "hinted_at", "args", "key"
    )
    assert list(told) == [("queued", 4, None, None, None, [], None), ("queued", 0, None, None, None, [7], "once")]
