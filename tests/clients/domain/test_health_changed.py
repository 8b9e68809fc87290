import io

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from clients.domain.safety import require_start
from clients.domain.screening import say_health_changed
from clients.errors import ScreeningExpired
from clients.models import Clearance, OutgoingMail, Screening
from tests import factories as f

pytestmark = pytest.mark.django_db


@pytest.fixture
def trainee(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    return cast.client


def test_changed_health_ends_the_outcome_until_the_questions_are_answered_again(trainee):
    today = timezone.localdate()
    require_start(trainee, on=today)

    say_health_changed(trainee, at=timezone.now())

    with pytest.raises(ScreeningExpired):
        require_start(trainee, on=today)
    assert Screening.objects.filter(client=trainee).count() == 2


def test_coaches_are_told_of_changed_health_without_details_and_once(cast, trainee):
    say_health_changed(trainee, at=timezone.now())
    say_health_changed(trainee, at=timezone.now())

    letter = OutgoingMail.objects.get(to=cast.coach.email)
    assert trainee.name not in letter.body


def test_opening_the_questions_again_changes_nothing_yet(trainee, signed_in):
    signed_in(trainee.user).get(reverse("intake"))

    require_start(trainee, on=timezone.localdate())


def test_letter_of_a_clearance_is_kept_as_a_plain_picture(cast, trainee, signed_in):
    made = io.BytesIO()
    Image.new("RGB", (30, 30)).save(made, "PNG")
    today = timezone.localdate()
    sent = {"clinician_role": "Physician", "given_on": today, "expires_on": today.replace(year=today.year + 1, day=1)}
    sent |= {"ceiling": "light", "limits": "none named", "document": SimpleUploadedFile("x.png", made.getvalue())}

    signed_in(cast.coach).post(reverse("client-safety", args=[trainee.uuid]), sent)

    clearance = Clearance.objects.get()
    assert default_storage.open(clearance.document).read(2) == b"\xff\xd8"
    page = signed_in(trainee.user).get(reverse("clearance-letter", args=[clearance.uuid]))
    assert page.status_code == 200


def test_letter_that_is_no_picture_is_refused_and_what_was_typed_stays(cast, trainee, signed_in):
    today = timezone.localdate()
    sent = {"clinician_role": "Physician", "given_on": today, "expires_on": today.replace(year=today.year + 1, day=1)}
    sent |= {"ceiling": "light", "limits": "no sprints", "document": SimpleUploadedFile("x.pdf", b"%PDF-1.7")}

    answer = signed_in(cast.coach).post(reverse("client-safety", args=[trainee.uuid]), sent)

    assert answer.status_code == 422
    assert "no sprints" in answer.content.decode()
    assert not Clearance.objects.exists()
