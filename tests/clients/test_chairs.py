import pytest
from django.urls import reverse

from clients.domain.chairs import chairs_carry, permission_at, say_chairs, told_about
from clients.errors import ReplacedMeanwhile
from clients.models import ChairPermission
from tests import factories as f

pytestmark = pytest.mark.django_db


@pytest.fixture
def place(cast):
    return f.PlaceFactory(client=cast.client)


def say(place, cast, *, allowed=True, why="Heavy, against the wall.", seen=None):
    return say_chairs(place, allowed=allowed, why=why, seen=seen, by=cast.coach, at=f.NOON)


def test_chairs_carry_nothing_until_the_coach_says_so(place, cast):
    assert not chairs_carry(cast.client)

    say(place, cast)

    assert chairs_carry(cast.client)


def test_taking_it_back_holds_at_once_and_both_stay_in_the_record(place, cast):
    first = say(place, cast)
    say(place, cast, allowed=False, why="One is loose.", seen=first)

    assert not chairs_carry(cast.client)
    assert [said.why for said in ChairPermission.objects.order_by("at", "pk")] == [
        "Heavy, against the wall.",
        "One is loose.",
    ]


def test_it_holds_for_this_place_and_this_client_only(place, cast):
    park = f.PlaceFactory(client=cast.client, is_default=False, name="Park")
    f.PlaceFactory(client=cast.other_client)
    say(park, cast)

    assert (chairs_carry(cast.client), chairs_carry(cast.client, park)) == (False, True)
    assert not chairs_carry(cast.client, place)
    assert not chairs_carry(cast.other_client)
    assert told_about([place]) == {}


def test_place_that_was_closed_carries_nothing(place, cast):
    say(place, cast)
    place.closed_at = f.NOON
    place.save()

    assert not chairs_carry(cast.client)
    assert not chairs_carry(cast.client, place)


def test_two_coaches_do_not_answer_past_each_other(place, cast):
    first = say(place, cast)
    say(place, cast, allowed=False, why="One is loose.", seen=first)

    with pytest.raises(ReplacedMeanwhile):
        say(place, cast, seen=first)

    assert not permission_at(place).allowed


def test_coach_allows_it_on_the_page_with_a_reason(place, cast, client):
    client.force_login(cast.coach)
    address = reverse("chairs", args=[place.uuid])

    refused = client.post(address, {"allowed": "yes", "why": "  "})
    kept = client.post(address, {"allowed": "yes", "why": "Oak, heavy."})

    assert (refused.status_code, kept.status_code) == (422, 302)
    assert (permission_at(place).allowed, permission_at(place).by) == (True, cast.coach)
    assert "Oak, heavy." in client.get(address).content.decode()


def test_page_that_is_older_than_the_newest_word_is_refused(place, cast, client):
    first = say(place, cast)
    say(place, cast, allowed=False, why="One is loose.", seen=first)
    client.force_login(cast.coach)

    answer = client.post(reverse("chairs", args=[place.uuid]), {"allowed": "yes", "why": "Fine.", "seen": first.uuid})

    assert answer.status_code == 422
    assert not chairs_carry(cast.client)


def test_safety_page_and_the_clients_own_page_tell_it(place, cast, client):
    f.EquipmentItemFactory(place=place, kind="chair")
    f.ConsentFactory(client=cast.client)
    say(place, cast)
    told = []
    for person, name, args in [(cast.coach, "client-safety", [cast.client.uuid]), (cast.client_user, "my-places", [])]:
        client.force_login(person)
        told.append(client.get(reverse(name, args=args)).content.decode())

    assert reverse("chairs", args=[place.uuid]) in told[0]
    assert all("dip and row" in page for page in told)
