"""PURLIN_S3_*: what turns it on, what it becomes, and what is refused in words."""

import pytest

from coaching.settings.storage import FOLDER, clip_storage, storage_problems

WHOLE = {"PURLIN_S3_BUCKET": "clips", "PURLIN_S3_KEY": "key", "PURLIN_S3_SECRET": "secret"}


def test_nothing_given_keeps_clips_in_a_folder():
    assert clip_storage({"PURLIN_S3_BUCKET": " ", "PURLIN_HOSTS": "coach.example"}) == FOLDER


def test_bucket_key_and_secret_are_enough():
    chosen = clip_storage(WHOLE)

    assert chosen["BACKEND"].endswith("S3Storage")
    assert (chosen["OPTIONS"]["bucket_name"], chosen["OPTIONS"]["region_name"]) == ("clips", "us-east-1")
    assert storage_problems(WHOLE) == []


@pytest.mark.parametrize("name", [*WHOLE, "PURLIN_S3_ENDPOINT", "PURLIN_S3_REGION", "PURLIN_S3_PREFIX"])
def test_half_a_configuration_never_falls_back_to_a_folder(name):
    assert clip_storage({name: "https://storage.example"}) != FOLDER


@pytest.mark.parametrize(
    ("given", "missing"),
    [
        ({"PURLIN_S3_BUCKET": "clips"}, "PURLIN_S3_KEY and PURLIN_S3_SECRET"),
        ({"PURLIN_S3_KEY": "k", "PURLIN_S3_SECRET": "s"}, "PURLIN_S3_BUCKET"),
        ({"PURLIN_S3_PREFIX": "p"}, "PURLIN_S3_BUCKET, PURLIN_S3_KEY and PURLIN_S3_SECRET"),
    ],
)
def test_half_a_configuration_is_named_in_one_sentence(given, missing):
    assert [f"without {missing}: set what is missing" in problem for problem in storage_problems(given)] == [True]


@pytest.mark.parametrize(
    "endpoint",
    ["storage.example", "ftp://storage.example", "https://", "https://a.example/clips", "https://a:b", "https://[a"],
)
def test_endpoint_that_is_no_address_is_named(endpoint):
    assert ["PURLIN_S3_ENDPOINT" in said for said in storage_problems(WHOLE | {"PURLIN_S3_ENDPOINT": endpoint})] == [
        True
    ]


@pytest.mark.parametrize(
    ("prefix", "below", "place"),
    [("", "", ""), ("/a/", "", "a"), ("", "demo", "demo"), ("a/b", "demo", "a/b/demo")],
)
def test_demo_and_tests_lie_below_the_prefix(prefix, below, place):
    assert clip_storage(WHOLE | {"PURLIN_S3_PREFIX": prefix}, below=below)["OPTIONS"]["location"] == place
