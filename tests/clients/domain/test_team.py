import datetime

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from clients.choices import AssignmentKind, PromisesMeanwhile, Role
from clients.domain.absences import absences_of, come_back, go_away
from clients.domain.notices import coaches_to_wake
from clients.domain.team import change_role, end_membership, hand_over, invite_coach, without_a_lead
from clients.errors import AbsenceOverlaps, AlreadyOnTheTeam, CoverNeeded, LastOwner, NotOnTheTeam
from clients.models import Assignment, Client, Invitation, Membership, OutgoingMail, SignInLink
from tests import factories as f

pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)


@pytest.fixture
def owner(cast):
    return Membership.objects.get(user=cast.owner)


@pytest.fixture
def colleague(cast):
    return Membership.objects.get(user=cast.other_coach)


def _away(cast, cover, *, start=None, days=7, promises=PromisesMeanwhile.KEPT, message=""):
    start = start or timezone.now()
    return go_away(
        cast.coach_membership,
        from_at=start,
        until_at=start + days * DAY,
        cover=cover,
        promises=promises,
        message=message,
        by=cast.owner,
        at=timezone.now(),
    )


def _coaches(user, client):
    return Client.objects.coached_by(user).filter(pk=client.pk).exists()


def test_handed_over_client_is_the_new_leads_and_no_longer_the_former_ones(cast, colleague):
    hand_over([cast.client], to=colleague, by=cast.owner, at=timezone.now(), message="Hello from now on.")

    assert _coaches(cast.other_coach, cast.client)
    assert not _coaches(cast.coach, cast.client)
    assert OutgoingMail.objects.filter(body="Hello from now on.").count() == (1 if cast.client.email else 0)


def test_handing_over_twice_changes_nothing(cast, colleague):
    now = timezone.now()
    hand_over([cast.client], to=colleague, by=cast.owner, at=now)

    assert hand_over([cast.client], to=colleague, by=cast.owner, at=now) == 0
    assert Assignment.objects.filter(client=cast.client, kind=AssignmentKind.LEAD, until_at=None).count() == 1


def test_client_is_not_handed_over_to_another_practice(cast):
    elsewhere = Membership.objects.get(user=cast.stranger_coach)

    with pytest.raises(NotOnTheTeam):
        hand_over([cast.client], to=elsewhere, by=cast.owner, at=timezone.now())

    assert _coaches(cast.coach, cast.client)


def test_ended_coach_sees_nothing_from_the_next_request_on(cast, signed_in):
    browser = signed_in(cast.coach)
    assert browser.get(reverse("client-safety", args=[cast.client.uuid])).status_code == 200

    left = end_membership(cast.coach_membership, at=timezone.now())

    assert browser.get(reverse("client-safety", args=[cast.client.uuid])).status_code in {302, 404}
    assert left == [cast.client]
    assert without_a_lead(cast.owner) == [cast.client]


def test_ended_coach_is_signed_out_everywhere_and_no_link_lets_them_in(cast, signed_in):
    browser = signed_in(cast.coach)
    at = timezone.now()
    link = SignInLink.objects.create(user=cast.coach, token_sha256="0" * 64, expires_at=at + datetime.timedelta(days=1))

    end_membership(cast.coach_membership, at=at)

    assert browser.get(reverse("home")).url.startswith(reverse("sign-in"))
    link.refresh_from_db()
    assert link.used_at is not None


def test_ended_member_leaves_no_open_invitation_to_the_team_by_or_for_them(cast, owner):
    f.MembershipFactory(practice=cast.practice, role=Role.OWNER)
    for_the_owner = f.InvitationFactory(practice=cast.practice, email=cast.owner.email, client=None, role=Role.COACH)
    invite_coach(owner, email="friend@coach.test", role=Role.OWNER, at=timezone.now())

    end_membership(owner, at=timezone.now())

    for_the_owner.refresh_from_db()
    assert for_the_owner.revoked_at is not None
    assert not Invitation.objects.open().filter(email="friend@coach.test").exists()


def test_last_owner_neither_leaves_nor_steps_down(owner):
    with pytest.raises(LastOwner):
        end_membership(owner, at=timezone.now())
    with pytest.raises(LastOwner):
        change_role(owner, role=Role.COACH)


def test_ended_coach_keeps_their_place_in_the_history(cast):
    end_membership(cast.coach_membership, at=timezone.now())

    assert Assignment.objects.get(client=cast.client, coach=cast.coach_membership).until_at is not None


def test_team_invitation_is_for_whoever_is_not_there_yet(cast, owner):
    with pytest.raises(AlreadyOnTheTeam):
        invite_coach(owner, email=cast.coach.email.upper(), role=Role.COACH, at=timezone.now())


def test_second_team_invitation_closes_the_first(owner):
    invite_coach(owner, email="new@coach.test", role=Role.COACH, at=timezone.now())
    invite_coach(owner, email="new@coach.test", role=Role.COACH, at=timezone.now())

    assert Invitation.objects.open().filter(email="new@coach.test").count() == 1


# Away


def test_cover_coach_has_the_clients_for_the_time_of_the_absence_only(cast, colleague):
    start = timezone.now() + DAY
    absence = _away(cast, colleague, start=start, days=2)
    cover = Assignment.objects.get(absence=absence)

    assert (cover.kind, cover.from_at, cover.until_at) == (AssignmentKind.COVER, start, start + 2 * DAY)
    assert not _coaches(cast.other_coach, cast.client)


def test_coach_away_from_now_is_covered_from_now(cast, colleague):
    _away(cast, colleague, start=timezone.now() - datetime.timedelta(seconds=1))

    assert _coaches(cast.other_coach, cast.client)
    assert _coaches(cast.coach, cast.client)


def test_cover_ends_at_once_when_the_coach_comes_back(cast, colleague):
    absence = _away(cast, colleague, start=timezone.now() - datetime.timedelta(hours=1))

    come_back(absence, at=timezone.now() - datetime.timedelta(seconds=1))

    assert not _coaches(cast.other_coach, cast.client)
    assert absences_of(cast.coach_membership, at=timezone.now()) == []


def test_absence_called_off_before_it_began_covers_nobody(cast, colleague):
    absence = _away(cast, colleague, start=timezone.now() + DAY)
    come_back(absence, at=timezone.now())

    with time_machine.travel(timezone.now() + 2 * DAY):
        assert Assignment.objects.get(absence=absence).until_at < timezone.now()


def test_client_taken_over_during_an_absence_is_covered_too(cast, colleague):
    _away(cast, colleague, start=timezone.now() - datetime.timedelta(seconds=1))
    taken = f.ClientFactory(practice=cast.practice)

    hand_over([taken], to=cast.coach_membership, by=cast.owner, at=timezone.now())

    assert _coaches(cast.other_coach, taken)


def test_two_absences_of_one_coach_do_not_overlap(cast, colleague):
    _away(cast, colleague)

    with pytest.raises(AbsenceOverlaps):
        _away(cast, colleague, start=timezone.now() + DAY)


def test_promises_are_not_kept_by_nobody(cast):
    with pytest.raises(CoverNeeded):
        _away(cast, None)


def test_cover_of_another_practice_is_refused(cast):
    with pytest.raises(NotOnTheTeam):
        _away(cast, Membership.objects.get(user=cast.stranger_coach))


def test_clients_are_told_once_in_the_edited_words(cast, colleague):
    cast.client.email = "client@example.test"
    cast.client.save()

    _away(cast, colleague, message="I am at the sea until Sunday; Ada answers.")

    assert OutgoingMail.objects.get(to="client@example.test").body == "I am at the sea until Sunday; Ada answers."


def test_warning_sign_wakes_the_owner_when_the_lead_is_away_without_cover(cast):
    _away(cast, None, promises=PromisesMeanwhile.MOVED, start=timezone.now() - datetime.timedelta(seconds=1))

    assert cast.owner in [member.user for member in coaches_to_wake(cast.client)]


def test_warning_sign_wakes_lead_and_cover(cast, colleague):
    _away(cast, colleague, start=timezone.now() - datetime.timedelta(seconds=1))

    assert {member.user for member in coaches_to_wake(cast.client)} == {cast.coach, cast.other_coach}
