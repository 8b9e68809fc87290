import datetime
import io
import json
import zipfile

import pytest
from django.apps import apps
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import models
from django.urls import reverse
from django.utils import timezone

import jobs
from clients.choices import ClientState
from clients.domain.body import take_back_body_mass
from clients.models import AccessRecord, Client, ClientStateChange, DataCopy
from coaching.domain.data_copy import LEFT_OUT, ask_for_copy, make_copy, models_about_clients, remove_old_copies
from coaching.errors import CopyUnderWay
from tests import factories as f
from tests.registry import factory_of

pytestmark = pytest.mark.django_db


def _made(client, by) -> DataCopy:
    copy = ask_for_copy(client, by=by, at=timezone.now())
    jobs.run_waiting()
    copy.refresh_from_db()
    return copy


def _contents(copy: DataCopy) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(default_storage.open(copy.file).read())) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}


def test_copy_holds_what_was_told_corrected_and_noted_and_nothing_of_others(cast):
    f.PainReportFactory(client=cast.client, note="kestrel")
    f.NoteFactory(client=cast.client, text="wheatear")
    f.PainReportFactory(client=cast.other_client, note="somebody elses")
    block = f.BlockFactory(client=cast.client)
    group = f.GroupFactory(section__session=f.BlockSessionFactory(block=block))
    f.PrescriptionFactory(group=group, cue="push the floor")

    files = _contents(_made(cast.client, cast.client_user))

    whole = b"".join(files.values()).decode()
    assert [word in whole for word in ("kestrel", "wheatear", "push the floor")] == [True] * 3
    assert "somebody elses" not in whole
    assert cast.other_client.name not in whole
    assert json.loads(files["clients.Client.json"])[0]["name"] == cast.client.name


def test_a_body_mass_that_was_taken_back_is_in_it_and_marked(cast):
    take_back_body_mass(f.BodyMassFactory(client=cast.client))

    masses = json.loads(_contents(_made(cast.client, cast.client_user))["clients.BodyMass.json"])

    assert [mass["is_withdrawn"] for mass in masses] == [False, True]


def test_films_and_photos_are_in_it(cast):
    film = default_storage.save("clips/a.mp4", ContentFile(b"a film"))
    clip = f.ClipFactory(client=cast.client, review_copy=film)

    assert _contents(_made(cast.client, cast.client_user))[f"files/{clip.uuid}.mp4"] == b"a film"


def _leads_to_a_client(model: type[models.Model], seen: frozenset = frozenset()) -> bool:
    """By links that must be there."""
    for field in model._meta.concrete_fields:
        if not isinstance(field, models.ForeignKey) or field.null or field.related_model in seen | {model}:
            continue
        if field.related_model is Client or _leads_to_a_client(field.related_model, seen | {model}):
            return True
    return False


def test_every_table_about_clients_is_copied_or_left_out_on_purpose():
    ours = [model for model in apps.get_models() if _leads_to_a_client(model)]
    copied = {model._meta.label for model, _ in models_about_clients()} | LEFT_OUT

    assert len(ours) > 30
    assert {model._meta.label for model in ours} - copied == set()


@pytest.mark.parametrize("model", [model for model, _ in models_about_clients()], ids=lambda model: model._meta.label)
def test_row_of_every_table_is_found_by_its_way(model):
    row = factory_of(model)()
    way = dict(models_about_clients())[model]
    client = row
    for name in way.split("__"):
        client = getattr(client, name)

    assert client is None or model._base_manager.filter(**{way: client}, pk=row.pk).exists()


def test_second_copy_waits_for_the_first(cast):
    ask_for_copy(cast.client, by=cast.client_user, at=timezone.now())

    with pytest.raises(CopyUnderWay):
        ask_for_copy(cast.client, by=cast.owner, at=timezone.now())


def test_copy_made_twice_is_made_once(cast):
    copy = _made(cast.client, cast.client_user)

    make_copy(copy.pk, at=timezone.now())

    assert DataCopy.objects.get().file == copy.file


def test_file_goes_after_a_week_and_the_record_stays(cast):
    copy = _made(cast.client, cast.client_user)
    remove_old_copies(at=timezone.now() + datetime.timedelta(days=8))

    assert not default_storage.exists(copy.file)
    assert DataCopy.objects.get().file == ""


def test_client_asks_downloads_and_leaves(cast, signed_in):
    browser = signed_in(cast.client_user)
    browser.post(reverse("my-data"))
    jobs.run_waiting()

    page = browser.get(reverse("my-data"))
    download = browser.get(reverse("data-copy", args=[DataCopy.objects.get().uuid]))
    assert "Download" in page.content.decode()
    assert download.headers["Content-Disposition"].startswith("attachment")
    assert zipfile.is_zipfile(io.BytesIO(download.getvalue()))

    browser.post(reverse("leave"), {"reason": "moving"})
    assert Client.objects.get(pk=cast.client.pk).state == ClientState.ACTIVE
    browser.post(reverse("leave"), {"reason": "moving", "sure": "yes"})
    browser.post(reverse("leave"), {"reason": "again", "sure": "yes"})

    assert Client.objects.get(pk=cast.client.pk).state == ClientState.ENDED
    assert ClientStateChange.objects.get(client=cast.client).reason == "moving"


def test_owners_download_is_recorded_and_a_coach_gets_none(cast, signed_in):
    copy = _made(cast.client, cast.owner)
    url = reverse("data-copy", args=[copy.uuid])

    assert signed_in(cast.coach).get(url).status_code == 404
    assert signed_in(cast.owner).get(url).status_code == 200
    assert AccessRecord.objects.get(client=cast.client, kind="export").reader == cast.owner
