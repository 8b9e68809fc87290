"""An S3 server on this machine (moto), for as long as a run lasts. It is not strict: docs/decisions/storage.md."""

import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager

import boto3
from moto.server import ThreadedMotoServer

BUCKET = "purlin-tests"


def given() -> dict[str, str]:
    """The storage that the environment names, if it names one."""
    return {name: value for name, value in os.environ.items() if name.startswith("PURLIN_S3_") and value}


@contextmanager
def serving() -> Iterator[dict[str, str]]:
    """Start a server with an empty bucket, and give the variables that lead to it."""
    logging.getLogger("werkzeug").setLevel(logging.ERROR)
    server = ThreadedMotoServer("127.0.0.1", 0, verbose=False)
    server.start()
    host, port = server.get_host_and_port()
    variables = {
        "PURLIN_S3_BUCKET": BUCKET,
        "PURLIN_S3_ENDPOINT": f"http://{host}:{port}",
        "PURLIN_S3_KEY": "tests",
        "PURLIN_S3_SECRET": "tests-only",
    }
    client_of(variables).create_bucket(Bucket=BUCKET)
    try:
        yield variables
    finally:
        server.stop()


def clear(variables: dict[str, str]) -> None:
    """Take away what runs of the suite left in a storage that stays."""
    client, bucket = client_of(variables), variables["PURLIN_S3_BUCKET"]
    ours = "/".join(filter(None, [variables.get("PURLIN_S3_PREFIX", "").strip("/"), "purlin-test-"]))
    for page in client.get_paginator("list_objects_v2").paginate(Bucket=bucket, Prefix=ours):
        for found in page.get("Contents", []):
            client.delete_object(Bucket=bucket, Key=found["Key"])


def client_of(variables: dict[str, str]):
    session = boto3.Session(variables["PURLIN_S3_KEY"], variables["PURLIN_S3_SECRET"])
    return session.client("s3", endpoint_url=variables.get("PURLIN_S3_ENDPOINT"), region_name="us-east-1")
