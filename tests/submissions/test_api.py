"""The tus 1.0.0 protocol, by its refusals and by an independent client (tuspy) against a live server."""

import base64
import hashlib
import http.client
import threading

import pytest
from django.conf import settings as django_settings
from django.test import Client as Browser
from django.urls import reverse
from django.utils import timezone
from tusclient import client as tuspy

from submissions.choices import ClipState
from submissions.domain import files, uploading
from submissions.models import Clip, Upload
from tests import factories as f
from tests.factories import NOON
from tests.shapes import on_both_storages

TUS = {"Tus-Resumable": "1.0.0"}
CHUNK = "application/offset+octet-stream"


def metadata(filming, **changes) -> str:
    scheduled, prescription = filming
    said = {
        "scheduled": str(scheduled.uuid),
        "prescription": str(prescription.uuid),
        "camera_side": "left",
        "question": "Tief genug? ✓",
        "filename": "../../etc/passwd",
    } | changes
    return ",".join(f"{key} {base64.b64encode(value.encode()).decode()}" for key, value in said.items())


@pytest.fixture
def announce(signed_in, cast, filming):
    def post(length: object = 10, user=None, said=None, **headers):
        given = TUS | {"Upload-Length": str(length), "Upload-Metadata": said or metadata(filming)} | headers
        return signed_in(user or cast.client_user).post(reverse("uploads"), headers=given)

    return post


@pytest.fixture
def open_one(begin, client, cast):
    """An upload that is not yet past its time, and its owner signed in."""
    client.force_login(cast.client_user)
    return lambda length=10: begin(length, at=timezone.now())


def patch(browser, upload, content: bytes, offset: object = 0, content_type=CHUNK, **headers):
    given = TUS | {"Upload-Offset": str(offset)} | headers
    return browser.patch(reverse("upload", args=[upload.uuid]), content, content_type=content_type, headers=given)


def test_options_say_what_the_server_can_do(client, db):
    answer = client.options(reverse("uploads"))

    assert (answer.status_code, answer["Tus-Version"], answer["Tus-Extension"], answer["Tus-Max-Size"]) == (
        204,
        "1.0.0",
        "creation,termination,expiration,checksum",
        str(django_settings.CLIP_MAX_BYTES),
    )
    assert answer["Tus-Checksum-Algorithm"] == "sha1,sha256"


def test_creation_answers_with_the_place_and_the_expiry(announce):
    answer = announce()

    upload = Upload.objects.get()
    assert (answer.status_code, answer["Location"]) == (201, reverse("upload", args=[upload.uuid]))
    assert answer["Tus-Resumable"] == "1.0.0"
    assert "Upload-Expires" in answer


def test_creation_keeps_question_and_side_and_ignores_the_file_name(announce):
    announce()

    clip = Clip.objects.get()
    assert (clip.question, clip.camera_side, clip.review_copy) == ("Tief genug? ✓", "left", "")
    assert [path.name for path in django_settings.UPLOAD_ROOT.iterdir()] == [f"{clip.upload.uuid}.part"]


def test_creation_of_a_clip_over_the_limit_is_413(announce, settings):
    settings.CLIP_MAX_BYTES = 9

    assert announce(10).status_code == 413


@pytest.mark.parametrize("length", ["", "-1", "ten", "1e3", "٣", "9" * 40])
def test_creation_with_a_length_that_is_no_number_is_400(announce, length):
    assert announce(length).status_code == 400


def test_creation_of_an_empty_file_says_so(announce):
    answer = announce(0)

    assert (answer.status_code, answer.content.decode()) == (400, "The file is empty. Please choose the clip again.")


@pytest.mark.parametrize(
    "said", ["scheduled !!!", "scheduled /w==", "", "scheduled eA==,prescription eA==", "question"]
)
def test_creation_with_broken_metadata_is_400(announce, said):
    assert announce(said=said or " ").status_code == 400


def test_creation_with_an_unknown_side_is_400(announce, filming):
    assert announce(said=metadata(filming, camera_side="above")).status_code == 400


def test_creation_for_the_session_of_another_is_404(announce, cast):
    assert announce(user=cast.other_client_user).status_code == 404


def test_creation_by_a_coach_of_the_client_is_404(announce, cast):
    assert announce(user=cast.coach).status_code == 404


def test_creation_for_a_prescription_of_another_session_is_404(announce, filming):
    elsewhere = f.PrescriptionFactory()

    assert announce(said=metadata(filming, prescription=str(elsewhere.uuid))).status_code == 404


def test_creation_without_consent_to_video_is_403_in_words(announce, cast):
    cast.client.user.refresh_from_db()
    f.ConsentFactory(client=cast.client, kind="video", action="withdrawn", at=timezone.now())

    answer = announce()

    assert (answer.status_code, "consent" in answer.content.decode()) == (403, True)


def test_too_many_open_uploads_is_429(announce):
    answers = [announce().status_code for _ in range(uploading.OPEN_UPLOADS_PER_CLIENT + 1)]

    assert answers == [201] * uploading.OPEN_UPLOADS_PER_CLIENT + [429]


def test_full_disk_is_507(announce, monkeypatch):
    monkeypatch.setattr(files, "free_bytes", lambda: 0)

    assert announce().status_code == 507


def test_other_version_of_the_protocol_is_412(client, open_one):
    upload = open_one()

    answer = patch(client, upload, b"1", **{"Tus-Resumable": "0.2.2"})

    assert (answer.status_code, answer["Tus-Version"]) == (412, "1.0.0")


def test_signed_out_sender_is_401_and_not_redirected(begin, client):
    upload = begin(at=timezone.now())

    assert patch(client, upload, b"1").status_code == 401


@pytest.mark.parametrize("method", ["head", "patch", "delete"])
@pytest.mark.parametrize("person", ["coach", "other_client_user", "owner", "stranger_coach"])
def test_upload_of_another_is_404(begin, client, cast, method, person):
    upload = begin(at=timezone.now())
    client.force_login(getattr(cast, person))

    answer = getattr(client, method)(reverse("upload", args=[upload.uuid]), headers=TUS | {"Upload-Offset": "0"})

    assert (answer.status_code, Upload.objects.count()) == (404, 1)


def test_head_tells_the_offset_and_may_not_be_cached(client, open_one):
    upload = open_one()
    patch(client, upload, b"1234")

    answer = client.head(reverse("upload", args=[upload.uuid]), headers=TUS)

    assert [answer[name] for name in ("Upload-Offset", "Upload-Length", "Cache-Control")] == ["4", "10", "no-store"]


def test_patch_answers_the_new_offset(client, open_one):
    answer = patch(client, open_one(), b"1234")

    assert (answer.status_code, answer["Upload-Offset"], "Upload-Expires" in answer) == (204, "4", True)


def test_piece_larger_than_any_form_may_be_is_taken_in(client, open_one, settings):
    piece = content_of(settings.DATA_UPLOAD_MAX_MEMORY_SIZE + 1)
    upload = open_one(len(piece) + 1)

    patch(client, upload, piece)

    assert files.part_path(upload.uuid).read_bytes() == piece


def test_patch_from_the_wrong_offset_is_409(client, open_one):
    assert patch(client, open_one(), b"1", offset=3).status_code == 409


def test_patch_of_another_type_is_415(client, open_one):
    assert patch(client, open_one(), b"1", content_type="video/mp4").status_code == 415


def test_patch_without_an_offset_is_400(client, open_one):
    assert patch(client, open_one(), b"1", offset="").status_code == 400


def test_patch_over_the_announced_length_is_413_before_anything_is_read(client, open_one):
    upload = open_one(3)

    assert (patch(client, upload, b"1234").status_code, files.part_size(upload.uuid)) == (413, 0)


def test_patch_with_a_wrong_checksum_is_460_and_leaves_nothing(client, open_one):
    upload = open_one()
    digest = base64.b64encode(hashlib.sha1(b"other").digest()).decode()  # noqa: S324

    answer = patch(client, upload, b"1234", **{"Upload-Checksum": f"sha1 {digest}"})

    assert (answer.status_code, files.part_size(upload.uuid)) == (460, 0)


@pytest.mark.parametrize("said", ["crc32 AAAA", "sha1 not-base64!", "sha1"])
def test_patch_with_a_checksum_nobody_can_check_is_400(client, open_one, said):
    expected = 460 if said == "sha1" else 400

    assert patch(client, open_one(), b"1234", **{"Upload-Checksum": said}).status_code == expected


def test_patch_past_the_expiry_is_410(client, cast, begin):
    upload = begin(at=NOON)
    client.force_login(cast.client_user)

    assert patch(client, upload, b"1").status_code == 410


def test_patch_while_another_is_at_work_is_423(client, open_one):
    upload = open_one()

    with files.locked_part(upload.uuid):
        assert patch(client, upload, b"1").status_code == 423


def test_delete_takes_the_upload_back(client, open_one):
    upload = open_one()
    where = reverse("upload", args=[upload.uuid])

    assert [client.delete(where, headers=TUS).status_code for _ in range(2)] == [204, 404]


@pytest.mark.parametrize(("name", "method"), [("uploads", "get"), ("upload", "get"), ("upload", "post")])
def test_other_methods_are_405(client, open_one, name, method):
    where = reverse(name, args=[open_one().uuid] if name == "upload" else [])

    assert getattr(client, method)(where, headers=TUS).status_code == 405


def test_missing_csrf_header_is_403(cast, begin):
    upload = begin(at=timezone.now())
    browser = Browser(enforce_csrf_checks=True)
    browser.force_login(cast.client_user)

    assert (patch(browser, upload, b"1").status_code, files.part_size(upload.uuid)) == (403, 0)


def test_whole_protocol_leaves_a_received_clip(announce, client):
    where = announce(4)["Location"]

    answer = client.patch(where, b"1234", content_type=CHUNK, headers=TUS | {"Upload-Offset": "0"})

    assert (answer["Upload-Offset"], Clip.objects.get().state) == ("4", ClipState.RECEIVED)


# Against a live server, over real connections.


@pytest.fixture
def live(live_server, cast, filming):
    """Address and headers of the signed-in client, as a browser would send them."""
    browser = Browser()
    browser.force_login(cast.client_user)
    token = "x" * 32
    session = browser.cookies[django_settings.SESSION_COOKIE_NAME].value
    headers = {
        "Cookie": f"{django_settings.SESSION_COOKIE_NAME}={session}; {django_settings.CSRF_COOKIE_NAME}={token}",
        "X-CSRFToken": token,
    }
    return live_server, headers


def arrived(tmp_path) -> bytes:
    """What a worker would find."""
    return files.original_of(Clip.objects.select_related("upload").get(), folder=tmp_path).read_bytes()


def told(filming) -> dict[str, str]:
    scheduled, prescription = filming
    return {
        "scheduled": str(scheduled.uuid),
        "prescription": str(prescription.uuid),
        "camera_side": "left",
        "question": "Tief genug?",
    }


def content_of(size: int) -> bytes:
    return b"".join(hashlib.sha256(str(n).encode()).digest() for n in range(size // 32 + 1))[:size]


@on_both_storages
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("checksum", [False, True])
def test_tuspy_sends_a_whole_file_in_chunks(live, filming, tmp_path, checksum):
    server, headers = live
    sent = content_of(300_000)
    (tmp_path / "set.mp4").write_bytes(sent)

    tus = tuspy.TusClient(f"{server.url}/uploads/", headers=headers)
    tus.uploader(
        str(tmp_path / "set.mp4"), chunk_size=70_000, metadata=told(filming), upload_checksum=checksum
    ).upload()

    assert (Clip.objects.get().state, arrived(tmp_path) == sent) == (ClipState.RECEIVED, True)


@on_both_storages
@pytest.mark.django_db(transaction=True)
def test_upload_resumes_where_the_connection_was_cut(live, filming, tmp_path):
    server, headers = live
    sent = content_of(400_000)
    (tmp_path / "set.mp4").write_bytes(sent)
    uploader = tuspy.TusClient(f"{server.url}/uploads/", headers=headers).uploader(
        str(tmp_path / "set.mp4"), chunk_size=100_000, metadata=told(filming)
    )
    uploader.upload_chunk()
    cut_off(server, headers, uploader.url, offset=100_000, announced=200_000, sent=sent[100_000:160_000])

    resumed = tuspy.TusClient(f"{server.url}/uploads/", headers=headers).uploader(
        str(tmp_path / "set.mp4"), url=uploader.url, chunk_size=100_000
    )
    began_at = resumed.offset
    resumed.upload()

    assert began_at == 160_000
    assert arrived(tmp_path) == sent


def cut_off(server, headers, url, *, offset, announced, sent) -> None:
    """Send less than announced and vanish; wait until the server has noticed."""
    upload = Upload.objects.get()
    connection = http.client.HTTPConnection(server.thread.host, server.thread.port)
    connection.putrequest("PATCH", url.removeprefix(server.url))
    said = headers | TUS | {"Upload-Offset": offset, "Content-Type": CHUNK, "Content-Length": announced}
    for name, value in said.items():
        connection.putheader(name, str(value))
    connection.endheaders()
    connection.send(sent)
    connection.close()
    for _ in range(100):
        upload.refresh_from_db()
        if upload.offset == offset + len(sent):
            return
        threading.Event().wait(0.05)


@on_both_storages
@pytest.mark.django_db(transaction=True)
def test_two_senders_at_once_leave_one_whole_file(live, begin, tmp_path):
    server, headers = live
    sent = content_of(64_000)
    upload = begin(len(sent), at=timezone.now())
    answers = []

    def send() -> None:
        connection = http.client.HTTPConnection(server.thread.host, server.thread.port)
        said = headers | TUS | {"Upload-Offset": "0", "Content-Type": CHUNK}
        connection.request("PATCH", reverse("upload", args=[upload.uuid]), sent, said)
        answers.append(connection.getresponse().status)

    senders = [threading.Thread(target=send) for _ in range(4)]
    [sender.start() for sender in senders]
    [sender.join() for sender in senders]

    assert answers.count(204) == 1
    assert set(answers) <= {204, 409, 423}
    assert arrived(tmp_path) == sent
