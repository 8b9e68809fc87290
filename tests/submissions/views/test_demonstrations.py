import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from submissions.choices import ClipState
from submissions.models import DemonstrationClip
from tests import factories as f
from tests.factories import NOON

pytestmark = pytest.mark.django_db


@pytest.fixture
def movement(cast):
    return f.MovementFactory(slug="push-up")


@pytest.fixture
def clip(cast, movement, folders):
    made = f.DemonstrationClipFactory(practice=cast.practice, movement=movement, by=cast.coach, state=ClipState.READY)
    made.review_copy = default_storage.save("demonstrations/x.mp4", ContentFile(b"film bytes"))
    made.poster = default_storage.save("demonstrations/x.jpg", ContentFile(b"poster"))
    made.save()
    return made


def page(browser, movement, **headers):
    return browser.get(reverse("demonstration", args=[movement.uuid]), headers=headers)


def _sent(**changed):
    film = SimpleUploadedFile("IMG_0001 at home.mov", b"not looked at here", content_type="video/mp4")
    return {"film": film, "words": "From the side.", "agreed": "on"} | changed


def test_coach_sends_a_film_whose_name_is_not_kept(cast, movement, folders, client):
    client.force_login(cast.coach)

    answer = client.post(reverse("demonstration", args=[movement.uuid]), _sent())

    kept = DemonstrationClip.objects.get()
    assert answer.status_code == 302
    assert (kept.practice, kept.movement, kept.by, kept.state) == (cast.practice, movement, cast.coach, "received")
    assert "IMG" not in kept.original


@pytest.mark.parametrize("changed", [{"agreed": ""}, {"words": ""}, {"film": ""}])
def test_film_without_words_or_leave_of_who_is_seen_is_not_kept(cast, movement, folders, client, changed):
    client.force_login(cast.coach)

    answer = client.post(reverse("demonstration", args=[movement.uuid]), _sent(**changed))

    assert answer.status_code == 422
    assert not DemonstrationClip.objects.exists()


def test_client_sends_none(cast, movement, folders, client):
    client.force_login(cast.client_user)

    client.post(reverse("demonstration", args=[movement.uuid]), _sent())

    assert not DemonstrationClip.objects.exists()


@pytest.mark.parametrize("who", ["owner", "coach", "other_coach", "client_user", "other_client_user"])
def test_the_house_watches_it_with_its_words(cast, movement, clip, client, who):
    client.force_login(getattr(cast, who))

    assert clip.words in page(client, movement).content.decode()
    film = client.get(reverse("demonstration-film", args=[clip.uuid]), headers={"Range": "bytes=0-3"})
    assert (film.status_code, b"".join(film.streaming_content)) == (206, b"film")
    assert film["Cache-Control"] == "private, no-store"


def test_nobody_else_watches_it(cast, movement, clip, client):
    former = f.MembershipFactory(practice=cast.practice, ended_at=NOON).user
    for person in (cast.stranger_coach, cast.stranger_client.user, former):
        client.force_login(person)

        assert clip.words not in page(client, movement).content.decode()
        for name in ("demonstration-film", "demonstration-poster"):
            assert client.get(reverse(name, args=[clip.uuid])).status_code == 404


def test_movement_page_loads_it_beside_the_picture_as_a_part(cast, movement, clip, client):
    client.force_login(cast.client_user)

    whole = client.get(reverse("movement", args=[movement.uuid])).content.decode()
    part = page(client, movement, **{"HX-Request": "true"}).content.decode()

    assert reverse("demonstration", args=[movement.uuid]) in whole
    assert reverse("demonstration-film", args=[clip.uuid]) in part
    assert "<html" not in part


def test_own_version_of_a_movement_keeps_the_film_of_the_shared_one(cast, movement, clip, client):
    ours = f.MovementFactory(slug="push-up", practice=cast.practice)
    client.force_login(cast.client_user)

    assert clip.words in page(client, ours).content.decode()


def test_withdrawn_film_is_seen_by_coaches_only_and_erased_by_nobody(cast, movement, clip, client):
    client.force_login(cast.coach)
    client.post(reverse("change-demonstration", args=[clip.uuid]), {"do": "withdraw"})
    seen = {}
    for person in (cast.coach, cast.client_user):
        client.force_login(person)
        seen[person] = client.get(reverse("demonstration-film", args=[clip.uuid])).status_code

    assert seen == {cast.coach: 200, cast.client_user: 404}


def test_erasing_is_for_the_coaches_of_the_house(cast, clip, client):
    address = reverse("change-demonstration", args=[clip.uuid])
    for person in (cast.client_user, cast.stranger_coach):
        client.force_login(person)
        assert client.post(address, {"do": "erase"}).status_code == 404

    client.force_login(cast.coach)
    client.post(address, {"do": "erase"})

    clip.refresh_from_db()
    assert clip.erased_at is not None
    assert client.get(reverse("demonstration-film", args=[clip.uuid])).status_code == 404
