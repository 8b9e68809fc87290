"""That a run of `python -m tests.shapes` is what it says."""

import pytest
import redis
from django.conf import settings
from django.core.files.storage import storages
from django.db import connection, transaction

import jobs
from jobs.models import Job
from submissions.domain.storage.s3 import S3Storage
from tests.shapes import is_scaled

pytestmark = pytest.mark.skipif(not is_scaled(), reason="the scaled shape needs PostgreSQL and Redis: DEVELOPERS.md")


@pytest.fixture
def broker():
    server = redis.Redis.from_url(settings.CELERY_BROKER_URL)
    server.delete(settings.CELERY_TASK_DEFAULT_QUEUE)
    yield server
    server.delete(settings.CELERY_TASK_DEFAULT_QUEUE)


def test_database_is_postgresql():
    assert connection.vendor == "postgresql"


def test_storage_is_s3():
    assert isinstance(storages["default"], S3Storage)


@pytest.mark.django_db(transaction=True)
def test_hint_of_a_job_waits_in_redis(broker):
    with transaction.atomic():
        jobs.request("jobs.remove_old")

    assert (Job.objects.count(), broker.llen(settings.CELERY_TASK_DEFAULT_QUEUE)) == (1, 1)
