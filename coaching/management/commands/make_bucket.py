from typing import Any

from botocore.exceptions import BotoCoreError, ClientError
from django.core.files.storage import storages
from django.core.management.base import BaseCommand, CommandError

from submissions.domain.storage.s3 import S3Storage

THERE_ALREADY = {"BucketAlreadyOwnedByYou", "BucketAlreadyExists"}
# The one region that may not be named.
UNNAMED = "us-east-1"


class Command(BaseCommand):
    help = "Make the private bucket that PURLIN_S3_BUCKET names, if it is not there yet."
    requires_system_checks = []

    def handle(self, **_: Any) -> None:
        storage = storages["default"]
        if not isinstance(storage, S3Storage):
            raise CommandError("Clips are kept in a folder here: PURLIN_S3_BUCKET is not set.")
        region = storage.region_name
        place = {} if region == UNNAMED else {"CreateBucketConfiguration": {"LocationConstraint": region}}
        try:
            storage.client.create_bucket(Bucket=storage.bucket_name, **place)
        except ClientError as error:
            if error.response["Error"]["Code"] not in THERE_ALREADY:
                raise CommandError(f"The storage refuses ({error.response['Error']['Code']}).") from error
        except BotoCoreError as error:
            raise CommandError(f"The storage does not answer ({type(error).__name__}).") from error
        if why := storage.why_unusable():
            raise CommandError(why)
