"""The bucket is made once, and why it cannot be made is said in words."""

import pytest
from django.core.management import CommandError, call_command
from django.test import override_settings

from coaching.settings import storage
from tests.shapes import s3

WHOLE = {"PURLIN_S3_BUCKET": "clips", "PURLIN_S3_KEY": "key", "PURLIN_S3_SECRET": "secret"}


def keeping_clips_at(settings, given: dict[str, str]):
    return override_settings(STORAGES=settings.STORAGES | {"default": storage.clip_storage(given)})


def test_bucket_is_made_once(settings):
    with s3.serving() as served:
        given = served | {"PURLIN_S3_BUCKET": "another"}
        with keeping_clips_at(settings, given):
            call_command("make_bucket")
            call_command("make_bucket")
        buckets = [bucket["Name"] for bucket in s3.client_of(given).list_buckets()["Buckets"]]

    assert sorted(buckets) == sorted(["another", s3.BUCKET])


def test_bucket_is_made_in_its_region(settings):
    with s3.serving() as served:
        given = served | {"PURLIN_S3_BUCKET": "elsewhere", "PURLIN_S3_REGION": "eu-central-1"}
        with keeping_clips_at(settings, given):
            call_command("make_bucket")
        place = s3.client_of(given).get_bucket_location(Bucket="elsewhere")["LocationConstraint"]

    assert place == "eu-central-1"


def test_storage_that_does_not_answer_is_said_in_words(settings):
    given = WHOLE | {"PURLIN_S3_ENDPOINT": "http://127.0.0.1:9"}

    with keeping_clips_at(settings, given), pytest.raises(CommandError, match="does not answer"):
        call_command("make_bucket")


def test_folder_needs_no_bucket(settings):
    with keeping_clips_at(settings, {}), pytest.raises(CommandError, match="PURLIN_S3_BUCKET is not set"):
        call_command("make_bucket")
