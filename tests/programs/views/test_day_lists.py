import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from programs.choices import SessionState, SkipReason
from programs.domain.states import refresh_state
from programs.models import Excuse, ScheduledSession, TrainingLog
from tests import factories as f

pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)


@pytest.fixture
def today():
    return timezone.localdate()


def session(client, on, **given):
    return f.ScheduledSessionFactory(client=client, on=on, **given)


def shown(response):
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def days_of(person, cast):
    """Each person's own way to the same list."""
    return reverse("my-days") if person == cast.client_user else reverse("client-days", args=[cast.client.uuid])


@pytest.mark.parametrize("who", ["client_user", "coach"])
@pytest.mark.parametrize(
    ("state", "days", "words"),
    [
        (SessionState.AS_PLANNED, -1, "Done as planned"),
        (SessionState.WITH_NUMBERS, -1, "Done, with numbers"),
        (SessionState.PARTLY, -1, "Partly done"),
        (SessionState.SKIPPED, -1, "Skipped: No time"),
        (SessionState.EXCUSED, 1, "Excused: Travelling"),
        (SessionState.PLANNED, -1, "Not recorded"),
        (SessionState.PLANNED, 0, "Planned"),
        (SessionState.PLANNED, 7, "Planned"),
    ],
)
def test_list_says_in_words_what_became_of_each_day(cast, signed_in, today, who, state, days, words):
    reason = {SessionState.SKIPPED: SkipReason.TIME, SessionState.EXCUSED: SkipReason.TRAVEL}.get(state, "")
    session(cast.client, today + days * DAY, state=state, reason=reason)
    person = getattr(cast, who)

    response = signed_in(person).get(days_of(person, cast))

    assert [row.words for week in response.context["page"].weeks for row in week.rows] == [words]
    assert words in shown(response)


def test_moved_session_stands_on_both_days_in_words(cast, signed_in, today):
    old = session(cast.client, today, state=SessionState.MOVED)
    session(cast.client, today + DAY, session=old.session, lineage=old.lineage, moved_from=old)

    text = shown(signed_in(cast.client_user).get(reverse("my-days")))

    assert f"Moved to {today + DAY:%A} {(today + DAY).day}" in text
    assert f"moved from {today:%A} {today.day}" in text


def test_withdrawn_session_is_not_listed(cast, signed_in, today):
    session(cast.client, today, state=SessionState.WITHDRAWN)

    assert "No sessions." in shown(signed_in(cast.client_user).get(reverse("my-days")))


def test_weeks_are_turned_until_there_is_nothing_more(cast, signed_in, today):
    for weeks in (-6, 0, 5):
        session(cast.client, today + datetime.timedelta(weeks=weeks))
    browser = signed_in(cast.client_user)

    page = browser.get(reverse("my-days")).context["page"]
    earlier = browser.get(reverse("my-days"), {"from": page.earlier.isoformat()}).context["page"]
    first = browser.get(reverse("my-days"), {"from": earlier.earlier.isoformat()}).context["page"]
    later = browser.get(reverse("my-days"), {"from": page.later.isoformat()}).context["page"]

    assert [len(week.rows) for week in page.weeks] == [0, 1, 0, 0]
    assert [week.is_this_week for week in page.weeks] == [False, True, False, False]
    assert first.earlier is None
    assert later.later is None
    seen = [row for one in (first, earlier, page, later) for week in one.weeks for row in week.rows]
    assert len(seen) == ScheduledSession.objects.count()


@pytest.mark.parametrize("text", ["", "soon", "2026-13-01", "0001-01-01", "9999-12-31"])
def test_weeks_that_make_no_sense_are_those_around_today(cast, signed_in, today, text):
    page = signed_in(cast.client_user).get(reverse("my-days"), {"from": text}).context["page"]

    assert page.weeks[1].monday <= today <= page.weeks[1].sunday


def test_page_asks_as_much_for_many_days_as_for_one(cast, signed_in, today):
    browser = signed_in(cast.coach)
    url = reverse("client-days", args=[cast.client.uuid])

    def queries():
        with CaptureQueriesContext(
            connection,
        ) as asked:
            browser.get(url)
        return len(asked)

    old = session(cast.client, today, state=SessionState.MOVED)
    session(cast.client, today + DAY, session=old.session, moved_from=old)
    few = queries()
    for days in range(2, 9):
        session(cast.client, today + days * DAY)

    assert queries() == few


def excused(first, last="", reason="ill"):
    return {"first_on": str(first), "last_on": str(last), "reason": reason}


@pytest.mark.parametrize("who", ["client_user", "coach"])
def test_days_are_excused_and_taken_back_by_either(cast, signed_in, today, who):
    scheduled = session(cast.client, today)
    person = getattr(cast, who)
    browser = signed_in(person)
    name = "excuse-my-days" if who == "client_user" else "excuse-client-days"
    args = [] if who == "client_user" else [cast.client.uuid]

    text = shown(browser.post(reverse(name, args=args), excused(today), follow=True))
    assert "Excused: Ill" in text
    assert "told by you" in text

    excuse = Excuse.objects.get()
    text = shown(browser.post(reverse("take-back-excuse", args=[excuse.uuid]), follow=True))
    assert "Taken back." in text
    scheduled.refresh_from_db()
    assert scheduled.state == SessionState.PLANNED


def test_second_person_reads_that_the_days_are_excused_already(cast, signed_in, today):
    signed_in(cast.client_user).post(reverse("excuse-my-days"), excused(today))

    url = reverse("excuse-client-days", args=[cast.client.uuid])
    text = shown(signed_in(cast.coach).post(url, excused(today, today + DAY), follow=True))

    assert "excused already" in text
    assert Excuse.objects.count() == 1


@pytest.mark.parametrize("sent", [{}, {"first_on": "soon", "reason": "ill"}, {"first_on": "2026-03-04", "reason": "x"}])
def test_what_cannot_be_read_is_shown_again(cast, signed_in, sent):
    response = signed_in(cast.client_user).post(reverse("excuse-my-days"), sent)

    assert response.status_code == 422
    assert not Excuse.objects.exists()


def test_coach_moves_a_session_of_their_client_only(cast, signed_in, today):
    scheduled = session(cast.client, today)
    theirs = session(cast.other_client, today)
    browser = signed_in(cast.coach)
    to = {"to": str(today + DAY)}

    shown(browser.post(reverse("move-client-session", args=[cast.client.uuid, scheduled.uuid]), to, follow=True))
    crossed = browser.post(reverse("move-client-session", args=[cast.client.uuid, theirs.uuid]), to)

    assert ScheduledSession.objects.get(moved_from=scheduled).on == today + DAY
    assert crossed.status_code == 404


def test_skip_is_taken_back_by_what_was_seen(cast, signed_in, today):
    scheduled = session(cast.client, today)
    log = f.TrainingLogFactory(client=cast.client, scheduled=scheduled, outcome="skipped", skip_reason="time")
    refresh_state(scheduled)
    browser = signed_in(cast.client_user)
    url = reverse("take-skip-back", args=[scheduled.uuid])

    browser.post(url, {"replaces": str(log.uuid)})
    scheduled.refresh_from_db()
    again = shown(browser.post(url, {"replaces": str(log.uuid)}, follow=True))

    assert scheduled.state == SessionState.PLANNED
    assert "Other numbers were saved here before." in again
    assert not TrainingLog.objects.counting().exists()


def test_clients_own_page_says_that_what_is_coming_is_excused(cast, signed_in, today):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    session(cast.client, today + DAY, state=SessionState.EXCUSED, reason=SkipReason.TRAVEL)
    browser = signed_in(cast.client_user)

    assert "is excused, and nothing is planned after it yet." in shown(browser.get(reverse("my-home")))
    session(cast.client, today + 2 * DAY)
    assert "is excused" not in shown(browser.get(reverse("my-home")))
