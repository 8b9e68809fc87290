import datetime

import pytest
from django.utils import timezone

from programs.choices import BlockState
from programs.domain.building import monday_of
from programs.domain.publishing import publish_block
from programs.models import Block
from tests import factories as f
from tests.programs.domain.test_publishing import draft

pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)
URL = "/repeat-week/"


def running(cast, client):
    """Published last week, with this week and the next to come."""
    f.ConsentFactory(client=client)
    f.ScreeningFactory(client=client)
    plan = draft(type("Of", (), {"client": client, "coach": cast.coach}), starts_on=timezone.localdate() + 7 * DAY)
    return publish_block(plan, by=cast.coach, at=timezone.now(), first_day=plan.starts_on)


@pytest.fixture
def mine(cast):
    return running(cast, cast.client)


@pytest.fixture
def second(cast):
    client = f.ClientFactory(practice=cast.practice)
    f.AssignmentFactory(client=client, coach=cast.coach_membership)
    return running(cast, client)


def sent(*blocks, week=1, **said):
    chosen = {}
    for block in blocks:
        chosen |= {f"take-{block.uuid}": "on", f"week-{block.uuid}": str(week)}
    return chosen | {"place": "after", "message": "We settle first.", "do": "look"} | said


def shown(response, status=200):
    assert response.status_code == status
    return " ".join(response.content.decode().split())


def weeks(block):
    return Block.objects.get(lineage=block.lineage, state=BlockState.PUBLISHED).weeks


def test_page_lists_the_running_blocks_of_the_coachs_clients_only(cast, signed_in, mine):
    theirs = running(cast, cast.other_client)

    text = shown(signed_in(cast.coach).get(URL, {"block": str(mine.uuid)}))

    assert f'name="take-{mine.uuid}"' in text
    assert str(theirs.uuid) not in text


def test_look_changes_nothing_and_says_what_would_happen(cast, signed_in, mine, second):
    text = shown(signed_in(cast.coach).post(URL, sent(mine, second)))

    ends_on = monday_of(mine.starts_on) + 20 * DAY
    assert text.count(f"The block ends on {ends_on.day} {ends_on:%B %Y}.") == 2
    assert "Publish for 2 clients" in text
    assert [weeks(mine), weeks(second)] == [2, 2]


def test_published_for_many_each_client_gets_a_revision(cast, signed_in, mine, second):
    text = shown(signed_in(cast.coach).post(URL, sent(mine, second, do="publish"), follow=True))

    names = sorted([mine.client.name, second.client.name])
    assert f"Published for {', '.join(names)}." in text
    assert [weeks(mine), weeks(second)] == [3, 3]


def test_refusal_for_one_is_named_and_does_not_hold_up_the_others(cast, signed_in, mine, second):
    browser = signed_in(cast.coach)
    browser.post(URL, sent(mine, do="publish"))

    look = shown(browser.post(URL, sent(mine, second)))
    text = shown(browser.post(URL, sent(mine, second, do="publish"), follow=True))

    assert "Publish for 1 client<" in look
    assert f"{mine.client.name}: Somebody published another revision of this block meanwhile." in text
    assert [weeks(mine), weeks(second)] == [3, 3]


def test_block_of_another_coach_is_not_there(cast, signed_in):
    theirs = running(cast, cast.other_client)

    assert signed_in(cast.coach).post(URL, sent(theirs, do="publish")).status_code == 404
    assert weeks(theirs) == 2


@pytest.mark.parametrize("said", [{"message": ""}, {"place": "somewhere"}, {"protected_because": "For both."}])
def test_what_is_missing_is_asked_for(cast, signed_in, mine, second, said):
    shown(signed_in(cast.coach).post(URL, sent(mine, second, do="publish", **said)), status=422)
    assert weeks(mine) == 2


def test_nobody_chosen_is_asked_for(cast, signed_in, mine):
    assert "Choose one client at least" in shown(signed_in(cast.coach).post(URL, sent()), status=422)


@pytest.mark.parametrize("week", ["", "0", "3", "x"])
def test_week_has_to_be_one_of_the_block(cast, signed_in, mine, week):
    shown(signed_in(cast.coach).post(URL, sent(mine, week=week, do="publish")), status=422)
    assert weeks(mine) == 2


def test_id_that_is_none_is_not_there(cast, signed_in, mine):
    assert signed_in(cast.coach).post(URL, {"take-nothing": "on"}).status_code == 404
