"""Every question starts from the person who asks."""

import datetime

import pytest
from django.contrib.auth.models import AnonymousUser
from django.utils import timezone

from clients.choices import AssignmentKind
from clients.models import Assignment, BodyMass, Client
from tests import factories as f


def test_client_sees_only_the_own_row(cast):
    assert list(Client.objects.visible_to(cast.client_user)) == [cast.client]


def test_coach_sees_assigned_clients_only(cast):
    assert list(Client.objects.visible_to(cast.coach)) == [cast.client]


def test_owner_sees_all_clients_of_the_practice_and_no_others(cast):
    assert set(Client.objects.visible_to(cast.owner)) == {cast.client, cast.other_client}


def test_signed_out_visitor_sees_nobody(cast):
    assert not Client.objects.visible_to(AnonymousUser()).exists()


def test_ended_membership_ends_access_at_once(cast):
    cast.coach_membership.ended_at = timezone.now()
    cast.coach_membership.save()

    assert not Client.objects.visible_to(cast.coach).exists()


@pytest.mark.parametrize(("from_days", "until_days", "sees"), [(-1, 1, True), (-2, -1, False), (1, 2, False)])
def test_cover_sees_the_client_only_while_covering(cast, from_days, until_days, sees):
    cover = f.MembershipFactory(practice=cast.practice)
    now = timezone.now()
    Assignment.objects.create(
        practice=cast.practice,
        client=cast.client,
        coach=cover,
        kind=AssignmentKind.COVER,
        from_at=now + datetime.timedelta(days=from_days),
        until_at=now + datetime.timedelta(days=until_days),
    )

    assert Client.objects.visible_to(cover.user).exists() is sees


def test_a_coach_elsewhere_who_is_a_client_here_sees_the_own_row_here(cast):
    as_client = f.ClientFactory(practice=cast.practice, user=cast.stranger_coach)

    assert set(Client.objects.visible_to(cast.stranger_coach)) == {as_client, cast.stranger_client}


def test_client_rows_follow_their_client(cast):
    mine, _theirs = f.BodyMassFactory(client=cast.client), f.BodyMassFactory(client=cast.other_client)

    assert list(BodyMass.objects.visible_to(cast.coach)) == [mine]
