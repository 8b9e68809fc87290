import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from clients.models import Screening
from programs.choices import SessionState
from programs.domain.days import move_session
from programs.domain.drafting import new_revision
from programs.domain.publishing import publish_block
from programs.models import ScheduledSession
from tests import factories as f
from tests.programs.domain.test_publishing import draft, ready

__all__ = ["ready"]
pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)


@pytest.fixture
def block(cast, ready):
    plan = draft(cast, starts_on=timezone.localdate() + 7 * DAY, name="Push-up")
    return publish_block(plan, by=cast.coach, at=timezone.now(), first_day=plan.starts_on)


def paper(browser, name, block, **query):
    response = browser.get(reverse(name, args=[block.uuid]), query)
    return " ".join(response.content.decode().split()) if response.status_code == 200 else response


@pytest.mark.parametrize(("who", "name"), [("client_user", "my-block-sheet"), ("coach", "block-sheet")])
def test_sheet_has_the_weeks_sessions_with_a_box_for_every_set(cast, signed_in, block, who, name):
    text = paper(signed_in(getattr(cast, who)), name, block)

    assert text.count('class="sheet__session"') == 2
    assert text.count('class="sheet__box"') == 2 * 3
    assert "Push-up" in text
    assert "Stop at once with chest pain" in text


@pytest.mark.parametrize(
    ("week", "sessions"), [("2", [2, 2]), ("all", [1, 1, 2, 2]), ("3", [1, 1]), ("0", [1, 1]), ("²", [1, 1])]
)
def test_week_is_chosen_or_all(cast, signed_in, block, week, sessions):
    response = signed_in(cast.coach).get(reverse("block-sheet", args=[block.uuid]), {"week": week})

    assert [entry.session.week for entry in response.context["sheet"].sessions] == sessions


def test_moved_session_stands_on_its_new_day(cast, signed_in, block):
    first = ScheduledSession.objects.filter(session__block=block).first()
    at = datetime.datetime.combine(first.on - DAY, datetime.time(12), tzinfo=datetime.UTC)
    moved = move_session(first, to=first.on + DAY, at=at)

    assert f"{moved.on:%A} {moved.on.day} {moved.on:%B}" in paper(signed_in(cast.coach), "block-sheet", block)
    assert ScheduledSession.objects.get(pk=first.pk).state == SessionState.MOVED


def test_draft_is_not_printed_and_an_old_revision_leads_to_the_newest(cast, signed_in, block):
    revision = new_revision(block, by=cast.coach)
    browser = signed_in(cast.coach)
    assert paper(browser, "block-sheet", revision).status_code == 404

    publish_block(revision, by=cast.coach, at=timezone.now(), first_day=revision.starts_on)
    assert paper(browser, "block-sheet", block).url == reverse("block-sheet", args=[revision.uuid])


@pytest.mark.parametrize(("who", "name"), [("client_user", "my-block-sheet"), ("coach", "block-sheet")])
def test_nothing_is_printed_while_the_client_may_not_train(cast, signed_in, block, who, name):
    first = Screening.objects.get(client=cast.client)
    Screening.objects.filter(pk=first.pk).update(is_current=False)
    f.ScreeningFactory(client=cast.client, expires_on=timezone.localdate() - DAY, replaces=first)

    text = paper(signed_in(getattr(cast, who)), name, block)

    assert "sheet__session" not in text
    assert "Push-up" not in text


def test_sheet_asks_as_much_for_many_weeks_as_for_one(cast, signed_in, block):
    browser = signed_in(cast.coach)

    def queries(week):
        with CaptureQueriesContext(connection) as asked:
            paper(browser, "block-sheet", block, week=week)
        return len(asked)

    queries("1")
    assert queries("all") == queries("1")
