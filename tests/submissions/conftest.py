"""What the tests of clips and reviews share: somebody who may film, something to film, somewhere to put it."""

import pytest

from clients.choices import ConsentKind
from submissions.choices import CameraSide
from submissions.domain import uploading
from tests import factories as f
from tests.factories import NOON


@pytest.fixture
def folders(settings, tmp_path):
    settings.UPLOAD_ROOT = tmp_path / "uploads"
    settings.MEDIA_ROOT = tmp_path / "media"
    return tmp_path


@pytest.fixture
def filming(cast, folders):
    """The client, with consent to video, and one prescription of a published block to film."""
    f.ConsentFactory(client=cast.client, kind=ConsentKind.VIDEO)
    scheduled = f.ScheduledSessionFactory(client=cast.client)
    section = f.SectionFactory(session=scheduled.session)
    prescription = f.PrescriptionFactory(group=f.GroupFactory(section=section))
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
