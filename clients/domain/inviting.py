"""Letting a person in: the invitation, its one use, and one-time sign-in links."""

import datetime

from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from clients.choices import AssignmentKind, ClientState
from clients.domain.history import move_client
from clients.domain.mail import absolute, request_mail
from clients.domain.tokens import new_token, token_hash
from clients.errors import AlreadyAClient, AlreadyOnTheTeam, InvitationNotOpen, InvitedSomeoneElse, SignInLinkNotOpen
from clients.models import Assignment, Client, Invitation, Membership, SignInLink, User

INVITATION_DAYS = 14


def invite_client(membership: Membership, *, name: str, email: str, at: datetime.datetime) -> Client:
    """Create a client of the inviting coach and mail an invitation that works once, for two weeks.

    Raises AlreadyAClient when the practice has a client with this address who has not left.
    """
    email = email.lower()
    practice = membership.practice
    with transaction.atomic():
        # Lock the practice: two coaches may invite the same person.
        type(practice).objects.select_for_update().get(pk=practice.pk)
        known = Client.objects.filter(practice=practice, email=email, erased_at=None)
        if known.exclude(state=ClientState.ENDED).exists():
            raise AlreadyAClient
        client = Client.objects.create(
            practice=practice,
            name=name,
            email=email,
            time_zone=practice.time_zone,
            mass_unit=practice.mass_unit,
            length_unit=practice.length_unit,
            check_in_weekday=practice.check_in_weekday,
        )
        Assignment.objects.create(
            practice=practice, client=client, coach=membership, kind=AssignmentKind.LEAD, from_at=at
        )
        send_invitation(client, by=membership.user, at=at)
    return client


def send_invitation(client: Client, *, by: User, at: datetime.datetime) -> Invitation:
    """Mail a fresh invitation; an earlier open one stops working."""
    with transaction.atomic():
        Invitation.objects.filter(client=client, accepted_at=None, revoked_at=None).update(revoked_at=at)
        token = new_token()
        invitation = Invitation.objects.create(
            practice=client.practice,
            client=client,
            email=client.email,
            token_sha256=token_hash(token),
            invited_by=by,
            expires_at=at + datetime.timedelta(days=INVITATION_DAYS),
        )
        link = absolute(reverse("accept-invitation", args=[token]))
        request_mail(
            client.practice,
            to=client.email,
            subject=_("%(practice)s invites you") % {"practice": client.practice.name},
            body=_(
                "Hello %(name)s,\n\n%(coach)s of %(practice)s invites you to train together.\n\n"
                "Open this page to accept, it works once and for %(days)s days:\n%(link)s\n\n"
                "If you did not expect this letter, you can ignore it."
            )
            % {
                "name": client.name,
                "coach": by.display_name,
                "practice": client.practice.name,
                "days": INVITATION_DAYS,
                "link": link,
            },
        )
    return invitation


def open_invitation(token: str) -> Invitation:
    """The invitation behind a link. Raises InvitationNotOpen."""
    invitation = Invitation.objects.open().filter(token_sha256=token_hash(token)).select_related("client").first()
    if invitation is None:
        raise InvitationNotOpen
    return invitation


def accept_invitation(token: str, *, name: str, password: str, signed_in: User | None, at: datetime.datetime) -> User:
    """Use the invitation: make the sign-in if there is none, tie it to the client or the team, begin a client's intake.

    Someone who has a sign-in already accepts while signed in with it. Raises InvitationNotOpen, InvitedSomeoneElse.
    """
    with transaction.atomic():
        invitation = open_invitation(token)
        used = Invitation.objects.open().filter(pk=invitation.pk).update(accepted_at=at)
        if not used:
            raise InvitationNotOpen
        user = _person_for(invitation, name=name, password=password, signed_in=signed_in)
        client = invitation.client
        if client is None:
            join_team(invitation, user)
            return user
        client.user, client.name = user, name or client.name
        try:
            client.save(update_fields=["user", "name"])
        except IntegrityError as error:
            raise AlreadyAClient from error
        move_client(client, to=ClientState.INTAKE, by=user, at=at)
    return user


def join_team(invitation: Invitation, user: User) -> Membership:
    """What accepting an invitation to the team makes. Raises AlreadyOnTheTeam."""
    with transaction.atomic():
        type(invitation.practice).objects.select_for_update().get(pk=invitation.practice_id)
        if Membership.objects.filter(practice_id=invitation.practice_id, user=user, ended_at=None).exists():
            raise AlreadyOnTheTeam
        return Membership.objects.create(practice_id=invitation.practice_id, user=user, role=invitation.role)


def _person_for(invitation: Invitation, *, name: str, password: str, signed_in: User | None) -> User:
    existing = User.objects.filter(email=invitation.email).first()
    if existing is None and signed_in is None:
        return User.objects.create_user(invitation.email, password, name=name)
    if existing is not None and existing == signed_in:
        return existing
    raise InvitedSomeoneElse


def new_sign_in_link(user: User, *, at: datetime.datetime, hours: int = 24) -> str:
    """A token that signs this person in once."""
    token = new_token()
    SignInLink.objects.create(
        user=user, token_sha256=token_hash(token), expires_at=at + datetime.timedelta(hours=hours)
    )
    return token


def use_sign_in_link(token: str, *, at: datetime.datetime) -> User:
    """Raises SignInLinkNotOpen when the link is unknown, used, or has run out."""
    link = SignInLink.objects.filter(token_sha256=token_hash(token)).select_related("user").first()
    if link is None or not link.user.is_active:
        raise SignInLinkNotOpen
    used = SignInLink.objects.filter(pk=link.pk, used_at=None, expires_at__gt=at).update(used_at=at)
    if not used:
        raise SignInLinkNotOpen
    return link.user
