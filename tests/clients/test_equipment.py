import datetime
import io

import pytest
import time_machine
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from clients.choices import ItemKind
from clients.domain.equipment import (
    SET_UP_CHECK_DAYS,
    add_place,
    check_set_up,
    close_place,
    counts_on,
    items_at,
    make_default,
    open_places,
    save_items,
)
from clients.errors import LastPlace, SetUpCheckIncomplete
from clients.library.equipment import TESTS
from clients.models import EquipmentItem, Place, SetUpCheck
from tests import factories as f

pytestmark = pytest.mark.django_db
ALL = [test.code for test in TESTS[ItemKind.BAR]]


@pytest.fixture
def home(cast):
    f.ConsentFactory(client=cast.client)
    return add_place(cast.client, name="Home")


def _bar(place, **details):
    save_items(place, {ItemKind.BAR: details}, at=timezone.now())
    return EquipmentItem.objects.get(place=place, kind=ItemKind.BAR, removed_at=None)


def usable_kinds(client, *, on):
    return {item.kind for item in items_at(client) if counts_on(item, on)}


def _today(client):
    return timezone.localdate(timezone=client.zone)


def test_bar_counts_after_its_check_for_three_months_and_not_a_day_longer(cast, home):
    bar = _bar(home)
    assert ItemKind.BAR not in usable_kinds(cast.client, on=_today(cast.client))

    check_set_up(bar, tested=ALL, by=cast.client_user, at=timezone.now())

    last = _today(cast.client) + datetime.timedelta(days=SET_UP_CHECK_DAYS)
    assert ItemKind.BAR in usable_kinds(cast.client, on=last)
    assert ItemKind.BAR not in usable_kinds(cast.client, on=last + datetime.timedelta(days=1))


@pytest.mark.parametrize("left_out", ALL)
def test_check_with_anything_left_out_counts_for_nothing(cast, home, left_out):
    bar = _bar(home)

    with pytest.raises(SetUpCheckIncomplete):
        check_set_up(bar, tested=[code for code in ALL if code != left_out], by=cast.client_user, at=timezone.now())

    assert not SetUpCheck.objects.exists()
    assert ItemKind.BAR not in usable_kinds(cast.client, on=_today(cast.client))


def test_bar_hung_at_another_height_wants_a_new_check(cast, home):
    check_set_up(_bar(home, height_cm=230.0), tested=ALL, by=cast.client_user, at=timezone.now())

    moved = _bar(home, height_cm=210.0)

    assert moved.set_up_checked_on is None
    assert SetUpCheck.objects.count() == 1


def test_bar_that_was_only_described_keeps_its_check(cast, home):
    check_set_up(_bar(home), tested=ALL, by=cast.client_user, at=timezone.now())

    assert _bar(home, height_cm=230.0).set_up_checked_on == _today(cast.client)


def test_thing_that_is_gone_and_back_wants_a_new_check(cast, home):
    check_set_up(_bar(home), tested=ALL, by=cast.client_user, at=timezone.now())
    save_items(home, {}, at=timezone.now())

    assert _bar(home).set_up_checked_on is None


def test_plans_follow_the_default_place(cast, home):
    park = add_place(cast.client, name="Park")
    save_items(park, {ItemKind.ROPE: {}}, at=timezone.now())
    assert ItemKind.ROPE not in usable_kinds(cast.client, on=_today(cast.client))

    make_default(park)

    assert ItemKind.ROPE in usable_kinds(cast.client, on=_today(cast.client))
    assert Place.objects.filter(client=cast.client, is_default=True).count() == 1


def test_closed_default_place_hands_on_to_another_and_the_last_one_stays(cast, home):
    park = add_place(cast.client, name="Park")
    close_place(home, at=timezone.now())

    assert [place.name for place in open_places(cast.client)] == ["Park"]
    park.refresh_from_db()
    assert park.is_default
    with pytest.raises(LastPlace):
        close_place(park, at=timezone.now())


def test_details_are_typed_in_the_clients_units_and_kept_in_kg_and_cm(cast, home, signed_in):
    cast.client.mass_unit, cast.client.length_unit = "lb", "in"
    cast.client.save()
    url = reverse("my-place", args=[home.uuid])
    sent = {"name": "Garage", "has_kettlebell": "on", "kettlebell_masses_kg": "35; 53", "has_bar": "on"}
    browser = signed_in(cast.client_user)

    browser.post(url, sent | {"bar_height_cm": "90"})

    kept = {item.kind: item.attributes for item in EquipmentItem.objects.filter(place=home)}
    assert kept == {"kettlebell": {"masses_kg": [15.876, 24.04]}, "bar": {"height_cm": 228.6}}
    page = browser.get(url).content.decode()
    assert 'value="35, 53"' in page
    assert 'value="90"' in page


@pytest.mark.parametrize("wrong", ["heavy", "0", "5000", "NaN", "-8", "8 kg", "1e400"])
def test_impossible_masses_are_refused_at_their_field_and_stay_typed(cast, home, signed_in, wrong):
    sent = {"name": "Home", "has_dumbbell": "on", "dumbbell_masses_kg": wrong}

    answer = signed_in(cast.client_user).post(reverse("my-place", args=[home.uuid]), sent)

    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == ["dumbbell_masses_kg"]
    assert f'value="{wrong}"' in answer.content.decode()


def _photo(kind="JPEG", **options):
    made = io.BytesIO()
    Image.new("RGB", (40, 20), "white").save(made, kind, **options)
    return SimpleUploadedFile("anything.exe", made.getvalue())


def _check(browser, bar, photo):
    return browser.post(reverse("set-up-check", args=[bar.uuid]), {"tested": ALL, "photo": photo})


def test_photo_is_kept_without_what_the_camera_told(cast, home, signed_in):
    exif = Image.Exif()
    exif[0x010F] = "SecretCameraMaker"

    _check(signed_in(cast.client_user), _bar(home), _photo(exif=exif))

    name = SetUpCheck.objects.get().photo
    assert b"SecretCameraMaker" not in default_storage.open(name).read()
    assert signed_in(cast.coach).get(reverse("check-photo", args=[SetUpCheck.objects.get().uuid])).status_code == 200


BROKEN = [
    b"",
    b"not a photo",
    b"<svg xmlns='http://www.w3.org/2000/svg'/>",
    b"\xff\xd8\xff\xe0broken",
    b"GIF89a" + b"\0" * 50,
]


@pytest.mark.parametrize("content", BROKEN)
def test_file_that_is_no_photo_is_refused_and_nothing_counts(cast, home, signed_in, content):
    bar = _bar(home)

    answer = _check(signed_in(cast.client_user), bar, SimpleUploadedFile("bar.jpg", content))

    assert answer.status_code == 422
    assert not SetUpCheck.objects.exists()


def test_place_page_says_which_check_runs_out(cast, home, signed_in):
    bar = _bar(home)
    check_set_up(bar, tested=ALL, by=cast.client_user, at=timezone.now())
    f.ScreeningFactory(client=cast.client)

    with time_machine.travel(timezone.now() + datetime.timedelta(days=SET_UP_CHECK_DAYS - 3)):
        assert "check it again soon" in signed_in(cast.client_user).get(reverse("my-places")).content.decode()
