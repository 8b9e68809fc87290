"""Who works in a practice and with whom: letting coaches in, handing clients over, ending access at once."""

import datetime
from collections.abc import Iterable

from django.db import transaction
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext as _

from clients.choices import AssignmentKind, ClientState, Role
from clients.domain.absences import absences_of, come_back, cover_clients, end_assignments
from clients.domain.inviting import INVITATION_DAYS
from clients.domain.mail import absolute, request_mail
from clients.domain.notices import tell_client
from clients.domain.sessions import end_all_sessions
from clients.domain.tokens import new_token, token_hash
from clients.errors import AlreadyOnTheTeam, LastOwner, NotOnTheTeam
from clients.models import Absence, Assignment, Client, Invitation, Membership, User


def invite_coach(owner: Membership, *, email: str, role: Role, at: datetime.datetime) -> Invitation:
    """Mail an invitation to the team, good once and for two weeks; an earlier open one stops working.

    Raises AlreadyOnTheTeam.
    """
    email, practice = email.lower(), owner.practice
    with transaction.atomic():
        # Lock the practice: two owners may invite the same person.
        type(practice).objects.select_for_update().get(pk=practice.pk)
        if Membership.objects.active().filter(practice=practice, user__email=email).exists():
            raise AlreadyOnTheTeam
        open_ones = Invitation.objects.filter(practice=practice, email=email, client=None)
        open_ones.filter(accepted_at=None, revoked_at=None).update(revoked_at=at)
        token = new_token()
        invitation = Invitation.objects.create(
            practice=practice,
            email=email,
            role=role,
            token_sha256=token_hash(token),
            invited_by=owner.user,
            expires_at=at + datetime.timedelta(days=INVITATION_DAYS),
        )
        request_mail(
            practice,
            to=email,
            subject=_("%(practice)s invites you to its team") % {"practice": practice.name},
            body=_(
                "%(owner)s invites you to coach at %(practice)s.\n\nOpen this page to accept, it works once and for "
                "%(days)s days:\n%(link)s\n\nIf you did not expect this letter, you can ignore it."
            )
            % {
                "owner": owner.user.display_name,
                "practice": practice.name,
                "days": INVITATION_DAYS,
                "link": absolute(reverse("accept-invitation", args=[token])),
            },
        )
    return invitation


def change_role(member: Membership, *, role: Role) -> None:
    """Raises LastOwner."""
    with transaction.atomic():
        _lock_team(member)
        if role != Role.OWNER:
            _require_another_owner(member)
        Membership.objects.filter(pk=member.pk).update(role=role)


def end_membership(member: Membership, *, at: datetime.datetime) -> list[Client]:
    """End a coach's access at once, and return the clients who are left without a lead.

    Assignments, every session, sign-in links, what they covered, and open invitations to the team by or for them end
    in the same transaction. The owners stand in for clients without a lead until somebody takes them over. Whoever
    also trains or coaches elsewhere signs in again. Raises LastOwner.
    """
    with transaction.atomic():
        _lock_team(member)
        _require_another_owner(member)
        led = Assignment.objects.filter(coach=member, kind=AssignmentKind.LEAD, until_at=None)
        left = list(Client.objects.filter(pk__in=led.values("client"), erased_at=None).order_by("name", "pk"))
        end_assignments(Assignment.objects.filter(coach=member), at=at)
        for absence in [*absences_of(member, at=at), *_covered_by(member, at=at)]:
            come_back(absence, at=at)
        Membership.objects.filter(pk=member.pk, ended_at=None).update(ended_at=at)
        # Of those to clients nothing ends: whom they invite is the practice's client.
        by_or_for = Q(email__iexact=member.user.email) | Q(invited_by=member.user)
        open_ones = Invitation.objects.filter(by_or_for, practice_id=member.practice_id, client=None)
        open_ones.filter(accepted_at=None, revoked_at=None).update(revoked_at=at)
        end_all_sessions(member.user, at=at)
    return left


def hand_over(clients: Iterable[Client], *, to: Membership, by: User, at: datetime.datetime, message: str = "") -> int:
    """Give clients with their whole history to another lead. Returns how many changed hands.

    The former lead's access ends at that moment, unless they are an owner. Raises NotOnTheTeam.
    """
    changed = 0
    with transaction.atomic():
        _lock_team(to)
        if Membership.objects.get(pk=to.pk).ended_at is not None:
            raise NotOnTheTeam
        for client in clients:
            changed += _lead(client, to, at=at)
            if message:
                tell_client(client, subject=_("Who coaches you now"), body=message)
    return changed


def add_second(client: Client, coach: Membership, *, at: datetime.datetime) -> Assignment:
    """Another coach who works with the client besides the lead. Raises NotOnTheTeam."""
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        if coach.practice_id != client.practice_id or coach.ended_at is not None:
            raise NotOnTheTeam
        same = Assignment.objects.current().filter(client=client, coach=coach, kind=AssignmentKind.SECOND)
        return same.first() or Assignment.objects.create(
            practice_id=client.practice_id, client=client, coach=coach, kind=AssignmentKind.SECOND, from_at=at
        )


def end_second(assignment: Assignment, *, at: datetime.datetime) -> None:
    end_assignments(Assignment.objects.filter(pk=assignment.pk, kind=AssignmentKind.SECOND), at=at)


def without_a_lead(owner: User) -> list[Client]:
    """Clients of this person's practices whom nobody leads."""
    led = Assignment.objects.current().filter(kind=AssignmentKind.LEAD).values("client")
    rows = Client.objects.owned_by(owner).filter(erased_at=None).exclude(state=ClientState.ENDED)
    return list(rows.exclude(pk__in=led).order_by("name", "pk"))


def _lead(client: Client, to: Membership, *, at: datetime.datetime) -> bool:
    Client.objects.select_for_update().get(pk=client.pk)
    if client.practice_id != to.practice_id:
        raise NotOnTheTeam
    current = Assignment.objects.filter(client=client, kind=AssignmentKind.LEAD, until_at=None).first()
    if current is not None and current.coach_id == to.pk:
        return False
    if current is not None:
        end_assignments(Assignment.objects.filter(pk=current.pk), at=at)
    end_assignments(Assignment.objects.filter(client=client, coach=to, kind=AssignmentKind.SECOND), at=at)
    Assignment.objects.create(
        practice_id=client.practice_id, client=client, coach=to, kind=AssignmentKind.LEAD, from_at=at
    )
    for absence in absences_of(to, at=at):
        cover_clients(absence, [client])
    return True


def _covered_by(member: Membership, *, at: datetime.datetime) -> list[Absence]:
    return list(Absence.objects.filter(cover=member, ended_at=None, until_at__gt=at))


def _lock_team(member: Membership) -> None:
    # Lock the practice: two owners may end each other at once.
    type(member.practice).objects.select_for_update().get(pk=member.practice_id)


def _require_another_owner(member: Membership) -> None:
    owners = Membership.objects.active().owners().filter(practice_id=member.practice_id)
    if member.role == Role.OWNER and not owners.exclude(pk=member.pk).exists():
        raise LastOwner
