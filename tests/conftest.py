"""The fixed cast: who may see what is always asked of the same people."""

import os
from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import Phase
from hypothesis import settings as hypothesis_settings

from clients.choices import Role
from clients.models import Client, Membership, Practice, User
from tests import factories as f

# How long an example takes says something about the machine, not about the rule.
hypothesis_settings.register_profile("purlin", deadline=None)
# For whoever only asks whether something fails: the same examples every time, and no search for the smallest.
hypothesis_settings.register_profile(
    "same_examples", deadline=None, derandomize=True, database=None, phases=[Phase.explicit, Phase.generate]
)
hypothesis_settings.load_profile(
    "same_examples" if os.environ.get("HYPOTHESIS_PROFILE") == "same_examples" else "purlin"
)


CHROMIUM = Path("/usr/bin/chromium")


def pytest_addoption(parser):
    parser.addoption("--run-thread", action="store_true", help="also walk the main job through the served product")
    parser.addoption("--run-soak", action="store_true", help="also the long runs of tests/soak")


def pytest_collection_modifyitems(config, items):
    """What is left out is named, and counted at the end of the run."""
    no_browser = pytest.mark.skip(reason="no Chromium on this machine")
    no_thread = pytest.mark.skip(reason="the walk through the served product: --run-thread, or .ci/run")
    no_soak = pytest.mark.skip(reason="a long run: make soak")
    for item in items:
        if "browser" in item.keywords and not CHROMIUM.exists():
            item.add_marker(no_browser)
        if "test_thread" in item.nodeid and not config.getoption("--run-thread"):
            item.add_marker(no_thread)
        if "tests/soak" in item.nodeid and not config.getoption("--run-soak"):
            item.add_marker(no_soak)


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
