"""The fixed cast: who may see what is always asked of the same people."""

from dataclasses import dataclass

import pytest
from hypothesis import settings as hypothesis_settings

from clients.choices import Role
from clients.models import Client, Membership, Practice, User
from tests import factories as f

# How long an example takes says something about the machine, not about the rule.
hypothesis_settings.register_profile("purlin", deadline=None)
hypothesis_settings.load_profile("purlin")


@dataclass(frozen=True)
class Cast:
    practice: Practice
    other_practice: Practice
    owner: User
    coach: User
    other_coach: User
    stranger_coach: User
    client: Client
    other_client: Client
    stranger_client: Client
    coach_membership: Membership

    @property
    def client_user(self) -> User:
        return self.client.user

    @property
    def other_client_user(self) -> User:
        return self.other_client.user


@pytest.fixture
def cast(db) -> Cast:
    return make_cast()


def make_cast() -> Cast:
    """Two practices. `coach` leads `client`; `other_coach` leads `other_client`; the stranger is elsewhere."""
    practice, other = f.PracticeFactory(name="Here"), f.PracticeFactory(name="Elsewhere")
    owner = f.MembershipFactory(practice=practice, role=Role.OWNER)
    coach = f.MembershipFactory(practice=practice)
    other_coach = f.MembershipFactory(practice=practice)
    stranger = f.MembershipFactory(practice=other)
    people = []
    for house, member in [(practice, coach), (practice, other_coach), (other, stranger)]:
        person = f.ClientFactory(practice=house)
        f.AssignmentFactory(client=person, coach=member)
        people.append(person)
    return Cast(
        practice, other, owner.user, coach.user, other_coach.user, stranger.user, *people, coach_membership=coach
    )


@pytest.fixture
def signed_in(client):
    """A test client signed in as the given person."""

    def sign_in(user: User):
        client.force_login(user)
        return client

    return sign_in
