"""What the tests of clips and reviews share: somebody who may film, something to film, somewhere to put it."""

import io
import subprocess
import uuid
from contextlib import nullcontext

import imageio_ffmpeg
import pytest
from django.core.files.storage import storages

from clients.choices import ConsentKind
from coaching.settings.storage import clip_storage as storage_settings
from submissions.choices import CameraSide
from submissions.domain import uploading
from submissions.domain.storage.s3 import S3Storage
from submissions.models import Clip
from tests import factories as f
from tests.factories import NOON
from tests.shapes import s3


@pytest.fixture(scope="session")
def s3_variables():
    """An S3 storage: what the environment names, or a server of our own."""
    with nullcontext(s3.given()) if s3.given() else s3.serving() as variables:
        yield variables


@pytest.fixture(scope="session")
def s3_connection(s3_variables):
    """One for all tests: it takes longer to make than most of them last."""
    return S3Storage(**storage_settings(s3_variables)["OPTIONS"]).connection


@pytest.fixture
def storage(request, settings, tmp_path):
    """Where finished bytes lie: as this run's shape has it, or as tests.shapes.on_both_storages asks."""
    settings.MEDIA_ROOT = tmp_path / "media"
    if kind := getattr(request, "param", None):
        variables = request.getfixturevalue("s3_variables") if kind == "s3" else {}
        chosen = storage_settings(variables, below=f"purlin-test-{uuid.uuid4()}")
        settings.STORAGES = settings.STORAGES | {"default": chosen}
    if kind == "s3":
        storages["default"].connection = request.getfixturevalue("s3_connection")
    return storages["default"]


@pytest.fixture
def folders(storage, settings, tmp_path):
    settings.UPLOAD_ROOT = tmp_path / "uploads"
    return tmp_path


@pytest.fixture
def filming(cast, folders):
    """The client, with consent to video, and one prescription of a published block to film."""
    f.ConsentFactory(client=cast.client, kind=ConsentKind.VIDEO)
    scheduled = f.ScheduledSessionFactory(client=cast.client)
    section = f.SectionFactory(session=scheduled.session)
    movement = f.MovementFactory(revision__film_from="From the side, at hip height.").current
    prescription = f.PrescriptionFactory(group=f.GroupFactory(section=section), movement=movement)
    f.publish(scheduled.session.block)
    return scheduled, prescription


@pytest.fixture
def begin(cast, filming):
    """Open an upload of the client's."""

    def open_upload(length: int = 1000, at=NOON, **changes):
        scheduled, prescription = filming
        said = {"camera_side": CameraSide.LEFT, "question": "Deep enough?"} | changes
        return uploading.open_upload(
            cast.client, scheduled=scheduled, prescription=prescription, length=length, at=at, **said
        )

    return open_upload


@pytest.fixture(scope="session")
def drawn_clip(tmp_path_factory):
    """Two seconds of a moving test picture with sound, as bytes of a real MP4."""
    path = tmp_path_factory.mktemp("drawn") / "clip.mp4"
    picture = ["-f", "lavfi", "-i", "testsrc2=size=180x320:rate=30:duration=2"]
    sound = ["-f", "lavfi", "-i", "sine=frequency=440:duration=2"]
    coding = ["-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-c:a", "aac", "-shortest"]
    made_at = ["-metadata", "location=+48.0000+011.0000/", "-movflags", "use_metadata_tags"]
    subprocess.run(
        [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", *picture, *sound, *coding, *made_at, str(path)], check=True
    )
    return path.read_bytes()


@pytest.fixture
def received(begin, django_capture_on_commit_callbacks):
    """A clip whose file has arrived as these bytes and waits for its preparation."""

    def arrive(content: bytes, at=NOON):
        upload = begin(len(content), at=at)
        with django_capture_on_commit_callbacks(execute=True):
            uploading.append(upload, offset=0, read=io.BytesIO(content).read, at=at)
        return Clip.objects.select_related("upload", "client__practice").get(pk=upload.clip_id)

    return arrive
