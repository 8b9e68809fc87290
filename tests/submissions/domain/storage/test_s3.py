"""What clips need of an S3 storage: whole files and parts without memory, and the truth about what is not there."""

import datetime
import os

import pytest
from botocore.exceptions import IncompleteReadError
from django.core.files.base import ContentFile
from django.utils import timezone

from submissions.domain.byte_range import FilePart
from submissions.domain.storage.s3 import MIB, S3Storage
from submissions.errors import StorageUnavailable
from tests.shapes import on_both_storages, on_s3

DAY = datetime.timedelta(days=1)
CONTENT = os.urandom(5000)

# Every question that a clip's path asks.
QUESTIONS = {
    "put": lambda storage, path: storage.put(path, "clips/a"),
    "save": lambda storage, path: storage.save("clips/a", ContentFile(CONTENT)),
    "open": lambda storage, path: storage.open("clips/a"),
    "exists": lambda storage, path: storage.exists("clips/a"),
    "look_up": lambda storage, path: storage.look_up("clips/a"),
    "open_part": lambda storage, path: storage.open_part("clips/a", 0, 10),
    "fetch": lambda storage, path: storage.fetch("clips/a", path),
    "files_below": lambda storage, path: list(storage.files_below("clips")),
    "delete": lambda storage, path: storage.delete("clips/a"),
    "clear_broken_off": lambda storage, path: storage.clear_broken_off(before=timezone.now()),
}
any_question = pytest.mark.parametrize("ask", QUESTIONS.values(), ids=QUESTIONS.keys())


@pytest.fixture
def made(tmp_path):
    path = tmp_path / "made"
    path.write_bytes(CONTENT)
    return path


@pytest.fixture
def fresh(storage) -> S3Storage:
    """One with connections of its own, for a test that listens to them."""
    storage.__dict__.pop("connection")
    return storage


@on_s3
def test_file_comes_back_as_it_was_put(storage, made, tmp_path):
    storage.put(made, "clips/a")
    storage.fetch("clips/a", tmp_path / "back")

    assert (tmp_path / "back").read_bytes() == CONTENT


@on_s3
def test_file_of_many_parts_comes_back_as_it_was_put(storage, made, tmp_path):
    large = os.urandom(MIB) * 33
    made.write_bytes(large)

    storage.put(made, "clips/a")
    storage.fetch("clips/a", tmp_path / "back")

    assert (tmp_path / "back").read_bytes() == large


@on_s3
def test_what_is_known_of_a_file_is_its_size_and_day(storage, made):
    storage.put(made, "clips/a")

    found = storage.look_up("clips/a")

    assert (found.name, found.size) == ("clips/a", len(CONTENT))
    assert abs(found.modified_at - timezone.now()) < DAY


@on_s3
def test_part_is_all_that_is_asked_of_the_server(fresh, made):
    fresh.put(made, "clips/a")
    asked = []
    fresh.client.meta.events.register("before-call.s3.GetObject", lambda params, **_: asked.append(params["headers"]))

    part = fresh.open_part("clips/a", 100, 110)

    assert (part.read(), [headers["Range"] for headers in asked]) == (CONTENT[100:110], ["bytes=100-109"])


@on_s3
def test_file_has_no_address(storage):
    with pytest.raises(ValueError, match="no address"):
        storage.url("clips/a")


@on_s3
def test_file_that_is_there_is_never_overwritten(storage):
    first, second = (storage.save("clips/a.mp4", ContentFile(content)) for content in (b"first", b"second"))

    assert (storage.open(first).read(), storage.open(second).read()) == (b"first", b"second")


@on_s3
def test_list_goes_on_over_all_pages_and_leaves_the_prefix_away(fresh):
    names = {fresh.save(f"clips/{n}/film.mp4", ContentFile(b"x")) for n in range(5)}
    fresh.save("elsewhere/film.mp4", ContentFile(b"x"))
    few = "provide-client-params.s3.ListObjectsV2"
    fresh.client.meta.events.register(few, lambda params, **_: params | {"MaxKeys": 2})

    assert {found.name for found in fresh.files_below("clips")} == names


@on_both_storages
def test_everything_is_listed_under_no_folder(storage):
    names = {storage.save(name, ContentFile(b"x")) for name in ("clips/a/film.mp4", "elsewhere/film.mp4")}

    assert {found.name for found in storage.files_below("")} == names


@on_s3
def test_folder_whose_name_begins_alike_is_not_listed(storage):
    storage.save("clips-of-others/film.mp4", ContentFile(b"x"))

    assert list(storage.files_below("clips")) == []


@on_s3
def test_deleting_what_is_not_there_is_no_error(storage):
    storage.delete("clips/a")


def test_server_that_says_404_when_it_deletes_is_understood(storage_at, answering):
    storage_at(answering(404, only="DELETE", Content_Length="0")).delete("clips/a")


@on_s3
@pytest.mark.parametrize("ask", [QUESTIONS[name] for name in ("open", "look_up", "open_part", "fetch")])
def test_missing_file_is_told_from_a_missing_storage(storage, made, ask):
    with pytest.raises(FileNotFoundError):
        ask(storage, made)


@on_s3
@any_question
def test_missing_bucket_is_no_missing_file(storage_at, s3_variables, storage, made, ask):
    with pytest.raises(StorageUnavailable):
        ask(storage_at(s3_variables.get("PURLIN_S3_ENDPOINT"), bucket="not-there-at-all"), made)


@any_question
def test_server_that_is_down_is_unavailable(storage_at, made, ask):
    with pytest.raises(StorageUnavailable):
        ask(storage_at("http://127.0.0.1:1"), made)


@any_question
@pytest.mark.parametrize("status", [403, 500, 503])
def test_server_that_refuses_is_unavailable(storage_at, answering, made, ask, status):
    with pytest.raises(StorageUnavailable):
        ask(storage_at(answering(status)), made)


def test_file_that_arrives_with_another_size_is_not_kept_for_whole(storage_at, answering, made):
    modified = "Wed, 04 Mar 2026 12:00:00 GMT"
    one_byte_less = answering(200, Content_Length=str(len(CONTENT) - 1), Last_Modified=modified, ETag='"x"')

    with pytest.raises(StorageUnavailable):
        storage_at(one_byte_less).put(made, "clips/a")


def test_server_that_hangs_up_in_the_middle_of_a_part_is_noticed(storage_at, answering):
    part = storage_at(answering(206, CONTENT[:50], Content_Length="100")).open_part("clips/a", 0, 100)

    with pytest.raises(IncompleteReadError):
        list(FilePart(part, 100))


@on_s3
def test_parts_of_an_upload_that_a_crash_broke_off_are_removed_when_they_are_old(storage):
    where = {"Bucket": storage.bucket_name, "Key": f"{storage.location}/clips/a/b"}
    begun = storage.client.create_multipart_upload(**where)["UploadId"]
    storage.client.upload_part(**where, UploadId=begun, PartNumber=1, Body=b"half a clip")

    def left() -> int:
        listed = storage.client.list_multipart_uploads(Bucket=storage.bucket_name, Prefix=storage.location)
        return len(listed.get("Uploads", []))

    # This server says of every upload that it began in November 2010.
    storage.clear_broken_off(before=datetime.datetime(2010, 11, 1, tzinfo=datetime.UTC))
    while_young = left()
    storage.clear_broken_off(before=timezone.now())

    assert (while_young, left()) == (1, 0)


@on_s3
def test_storage_that_works_has_nothing_to_complain_of(storage):
    assert storage.why_unusable() == ""


@on_s3
def test_bucket_that_is_missing_is_named_before_anything_starts(storage_at, s3_variables, storage):
    said = storage_at(s3_variables.get("PURLIN_S3_ENDPOINT"), bucket="not-there-at-all").why_unusable()

    assert "The storage not-there-at-all" in said
    assert "refuses" in said


def test_wrong_key_is_named_without_telling_the_secret(storage_at, answering):
    refusal = b"<Error><Code>SignatureDoesNotMatch</Code><Message>the-secret</Message></Error>"
    said = storage_at(answering(403, refusal)).why_unusable()

    assert ("SignatureDoesNotMatch" in said, "the-secret" in said, "the-key" in said) == (True, False, False)


def test_server_that_is_down_is_named_before_anything_starts(storage_at):
    assert "does not answer (EndpointConnectionError)" in storage_at("http://127.0.0.1:1").why_unusable()
