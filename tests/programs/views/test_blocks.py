import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.models import AccessRecord
from programs.domain.building import add_session, save_session
from programs.domain.drafting import new_revision
from programs.domain.publishing import publish_block
from programs.domain.rows import Row, rows_of
from programs.models import Block, BlockSession, Movement, Prescription, ScheduledSession
from tests import factories as f
from tests.programs.views.conftest import typed

pytestmark = pytest.mark.django_db


def at(name, *things):
    return reverse(name, args=[thing.uuid for thing in things])


COACH_PAGES = ["block", "publish-block", "block-session"]


def page(name, block, session):
    return at(name, block, session) if name == "block-session" else at(name, block)


def test_coach_begins_a_block(cast, signed_in):
    answer = signed_in(cast.coach).post(
        at("client-blocks", cast.client), {"title": "One", "starts_on": "2026-03-04", "weeks": 4, "message": "Why"}
    )

    block = Block.objects.get()
    assert (block.client, block.written_by, block.starts_on) == (cast.client, cast.coach, f.MONDAY)
    assert answer.url == at("block", block)


def test_wrong_weeks_are_told_and_what_was_typed_is_kept(cast, signed_in):
    answer = signed_in(cast.coach).post(
        at("client-blocks", cast.client), {"title": "My title", "starts_on": "2026-03-04", "weeks": 99}
    )

    assert answer.status_code == 422
    assert b"My title" in answer.content
    assert not Block.objects.exists()


@pytest.mark.parametrize("name", COACH_PAGES)
def test_coach_sees_the_plan(cast, block, session, signed_in, name):
    answer = signed_in(cast.coach).get(page(name, block, session))

    assert answer.status_code == 200
    assert b"Pull day" in answer.content
    assert b"Push up" in answer.content


@pytest.mark.parametrize("name", COACH_PAGES)
@pytest.mark.parametrize("who", ["other_coach", "stranger_coach", "client_user", "other_client_user"])
def test_others_find_nothing(cast, block, session, signed_in, name, who):
    answer = signed_in(getattr(cast, who)).get(page(name, block, session))

    assert answer.status_code == 404
    assert b"Pull day" not in answer.content


@pytest.mark.parametrize(
    "name",
    [
        "add-block-session",
        "copy-block-week",
        "discard-draft",
        "revise-block",
        "remove-block-session",
        "check-block-session",
    ],
)
def test_verbs_of_others_change_nothing(cast, block, session, signed_in, name):
    things = (block, session) if name.endswith("block-session") and name != "add-block-session" else (block,)

    answer = signed_in(cast.other_coach).post(
        at(name, *things), {"version": block.version, "name": "X", "week": 1, "weekday": 1}
    )

    assert answer.status_code == 404
    assert BlockSession.objects.count() == 1
    assert Block.objects.count() == 1


def test_list_of_others_is_not_found(cast, block, signed_in):
    assert signed_in(cast.other_coach).get(at("client-blocks", cast.client)).status_code == 404


def test_list_shows_the_blocks_of_this_client(cast, block, signed_in):
    f.BlockFactory(client=cast.other_client, title="Somebody else's")

    answer = signed_in(cast.owner).get(at("client-blocks", cast.client))

    assert b"Spring block" in answer.content
    assert b"Somebody else" not in answer.content


def test_session_of_another_block_is_not_found_under_this_one(cast, block, signed_in):
    other = f.BlockSessionFactory(block=f.BlockFactory(client=cast.client))

    assert signed_in(cast.coach).get(at("block-session", block, other)).status_code == 404


def test_coach_adds_a_session(cast, block, signed_in):
    signed_in(cast.coach).post(
        at("add-block-session", block), {"version": block.version, "name": "Legs", "week": 2, "weekday": 4}
    )

    assert BlockSession.objects.filter(block=block, name="Legs", week=2, weekday=4).exists()


def test_every_week_becomes_like_the_first(cast, block, signed_in):
    signed_in(cast.coach).post(at("copy-block-week", block), {"version": block.version})

    assert [s.week for s in block.sessions.all()] == [1, 2]


def test_draft_is_removed_whole(cast, block, session, signed_in):
    answer = signed_in(cast.coach).post(at("discard-draft", block), {"version": block.version}, follow=True)

    assert not Block.objects.exists()
    assert not BlockSession.objects.exists()
    assert "The draft “Spring block” is removed.".encode() in answer.content


def test_draft_somebody_else_wrote_in_is_not_removed(cast, block, signed_in):
    answer = signed_in(cast.coach).post(at("discard-draft", block), {"version": block.version - 1}, follow=True)

    assert Block.objects.get() == block
    assert b"Someone else saved this block" in answer.content


def test_published_block_is_not_removed(cast, block, signed_in):
    f.publish(block)

    answer = signed_in(cast.coach).post(at("discard-draft", block), {"version": block.version}, follow=True)

    assert Block.objects.get() == block
    assert b"This block is published and stays as it is." in answer.content


def test_weeks_with_sessions_are_cut_off_only_when_that_is_said(cast, block, session, signed_in):
    coach = signed_in(cast.coach)
    coach.post(at("copy-block-week", block), {"version": block.version})
    sent = {"title": "Short", "starts_on": block.starts_on, "weeks": "1", "version": block.version + 1}

    refused = coach.post(at("block", block), sent)

    assert refused.status_code == 422
    assert b"hold sessions" in refused.content
    assert [row.week for row in block.sessions.all()] == [1, 2]
    assert coach.post(at("block", block), sent | {"drops_sessions": "on"}).status_code == 302
    assert [row.week for row in block.sessions.all()] == [1]


def test_empty_weeks_are_cut_off_without_asking(cast, block, signed_in):
    sent = {"title": "Short", "starts_on": block.starts_on, "weeks": "1", "version": block.version}

    assert signed_in(cast.coach).post(at("block", block), sent).status_code == 302
    block.refresh_from_db()
    assert block.weeks == 1


def test_stale_version_changes_nothing_and_is_told(cast, block, signed_in):
    answer = signed_in(cast.coach).post(at("copy-block-week", block), {"version": block.version - 1}, follow=True)

    assert [s.week for s in block.sessions.all()] == [1]
    assert b"Someone else saved this block" in answer.content


def test_session_is_removed(cast, block, session, signed_in):
    signed_in(cast.coach).post(at("remove-block-session", block, session), {"version": block.version})

    assert not block.sessions.exists()


def test_block_details_are_saved_or_kept_when_stale(cast, block, signed_in):
    fields = {"title": "Renamed", "starts_on": "2100-03-01", "weeks": 3, "message": "Because."}
    browser = signed_in(cast.coach)

    assert browser.post(at("block", block), fields | {"version": block.version}).status_code == 302
    again = browser.post(at("block", block), fields | {"version": block.version, "title": "Too late"})

    block.refresh_from_db()
    assert (block.title, block.weeks, again.status_code) == ("Renamed", 3, 422)
    assert b"Too late" in again.content


def test_whole_session_is_saved_as_one_form(cast, block, session, signed_in):
    lineage = Prescription.objects.get().lineage
    rows = [
        {"movement": "push up", "lineage": lineage, "load": "45 lb", "rir": "2", "joined": "on", "ORDER": 1},
        {"movement": "Push up", "amount": "30", "tempo": "3-1-x-0", "ORDER": 2},
    ]

    answer = signed_in(cast.coach).post(at("block-session", block, session), typed(block.version, *rows, initial=1))

    assert answer.url == at("block", block)
    first, second = rows_of(session)
    assert (first.lineage, first.load_unit, first.joined, second.tempo) == (lineage, "lb", True, "3-1-X-0")


def test_session_can_be_saved_for_the_weeks_after(cast, block, session, signed_in):
    data = typed(block.version, {"movement": "Push up"}, then="later_weeks")

    signed_in(cast.coach).post(at("block-session", block, session), data)

    assert [s.week for s in block.sessions.all()] == [1, 2]


def test_wrong_row_is_told_at_the_field_and_nothing_is_saved(cast, block, session, signed_in):
    data = typed(block.version, {"movement": "Push up", "amount": "12-8", "cue": "kept words"})

    answer = signed_in(cast.coach).post(at("block-session", block, session), data)

    assert answer.status_code == 422
    assert b"The lower number comes first." in answer.content
    assert b"kept words" in answer.content
    assert Prescription.objects.get().cue == "Long arms"


def test_row_is_added_without_a_script(cast, block, session, signed_in):
    data = typed(block.version, {"movement": "Push up", "cue": "kept words"}, add_row="1")

    answer = signed_in(cast.coach).post(at("block-session", block, session), data)

    assert answer.status_code == 200
    assert b'name="rows-1-movement"' in answer.content
    assert b"kept words" in answer.content


@pytest.mark.parametrize("total", ["", "many", "-1", "9999999"])
def test_broken_row_count_is_told_and_not_a_crash(cast, block, session, signed_in, total):
    data = typed(block.version, {"movement": "Push up"}) | {"rows-TOTAL_FORMS": total}

    assert signed_in(cast.coach).post(at("block-session", block, session), data).status_code == 422


@pytest.mark.parametrize("then", ["", "later_weeks"])
def test_what_was_typed_into_a_block_published_meanwhile_is_shown_and_not_lost(cast, block, session, signed_in, then):
    f.publish(block)
    data = typed(block.version, {"movement": "Push up", "cue": "my words"}) | {"then": then}

    answer = signed_in(cast.coach).post(at("block-session", block, session), data)

    assert answer.status_code == 409
    assert b"This block was published meanwhile" in answer.content
    assert b"my words" in answer.content
    assert not Prescription.objects.filter(cue="my words").exists()


def test_page_that_saves_itself_is_told_of_a_block_published_meanwhile(cast, block, session, signed_in):
    f.publish(block)
    data = typed(block.version, {"movement": "Push up"}) | {"then": "self"}

    answer = signed_in(cast.coach).post(at("block-session", block, session), data)

    assert answer.json()["is_published"] is True


def test_edited_meanwhile_shows_both_and_the_next_save_wins(cast, block, session, signed_in):
    browser, address = signed_in(cast.coach), at("block-session", block, session)
    browser.post(address, typed(block.version, {"movement": "Push up", "sets": 7}))

    stale = typed(block.version, {"movement": "Push up", "sets": 2, "cue": "my words"})
    answer = browser.post(address, stale)

    assert answer.status_code == 409
    assert b"7 sets" in answer.content
    assert b"my words" in answer.content
    assert browser.post(address, stale | {"version": answer.context["plan"].version}).status_code == 302
    assert rows_of(session)[0].sets == 2


def test_beside_is_refreshed_from_what_is_typed(cast, ready, block, session, signed_in):
    data = typed(block.version, {"movement": "Push up", "sets": 20}, {"movement": "Push up", "amount": "8-"})

    answer = signed_in(cast.coach).post(at("check-block-session", block, session), data, headers={"HX-Request": "true"})

    assert answer.status_code == 200
    assert b"<html" not in answer.content
    assert b"About 46 minutes" in answer.content
    assert rows_of(session)[0].sets == 3


def test_beside_tells_the_week_and_what_goes_too_fast(cast, ready, block, session, signed_in):
    data = typed(block.version, {"movement": "Push up", "sets": 20, "step": "+5 reps"})

    answer = signed_in(cast.coach).post(at("check-block-session", block, session), data, headers={"HX-Request": "true"})

    assert b"Week 1 as a whole" in answer.content
    assert b"There is no earlier block to compare with." in answer.content
    assert b"The weekly step of reps is more than 2" in answer.content


def test_the_newest_notes_stand_beside_and_reading_them_is_recorded(cast, block, session, signed_in):
    browser = signed_in(cast.coach)
    browser.get(at("block-session", block, session))
    assert not AccessRecord.objects.filter(kind="notes").exists()
    for day in range(1, 5):
        f.NoteFactory(client=cast.client, on=f.MONDAY.replace(day=day), text=f"Note of day {day}.")

    answer = browser.get(at("block-session", block, session))

    assert b"Note of day 4." in answer.content
    assert b"Note of day 2." in answer.content
    assert b"Note of day 1." not in answer.content
    assert AccessRecord.objects.get(kind="notes").client == cast.client


def test_published_session_opens_no_editor(cast, block, session, signed_in):
    f.publish(block)

    assert signed_in(cast.coach).get(at("block-session", block, session)).url == at("block", block)


def test_reading_areas_and_screening_is_recorded(cast, block, session, signed_in):
    browser = signed_in(cast.coach)
    browser.get(at("block-session", block, session))
    browser.get(at("publish-block", block))

    assert list(AccessRecord.objects.values_list("kind", flat=True)) == ["client", "screening"]


def test_coach_publishes_once(cast, ready, block, signed_in):
    browser = signed_in(cast.coach)
    for _ in range(2):
        browser.post(at("publish-block", block), {"first_day": block.starts_on, "version": block.version})

    assert ScheduledSession.objects.count() == 1


@pytest.mark.parametrize("sent", [{}, {"version": "0"}, {"version": "none"}])
def test_draft_that_somebody_changed_since_it_was_read_is_not_published(cast, ready, block, signed_in, sent):
    browser = signed_in(cast.coach)

    answer = browser.post(at("publish-block", block), {"first_day": block.starts_on} | sent)

    assert answer.status_code == 422
    assert b"Somebody changed this draft since you opened this page." in answer.content
    assert f'name="version" value="{block.version}"'.encode() in answer.content
    assert not ScheduledSession.objects.exists()


def test_block_that_gives_way_is_named_before_publishing(cast, ready, block, signed_in):
    publish_block(block, by=cast.coach, at=timezone.now(), first_day=block.starts_on)
    new = f.BlockFactory(client=cast.client, starts_on=block.starts_on, weeks=1)

    page = signed_in(cast.coach).get(at("publish-block", new)).content.decode()

    assert "1 session of “Spring block” gives way, on " in page


def test_days_of_a_later_block_are_named_before_a_revision_is_published(cast, ready, block, signed_in):
    publish_block(block, by=cast.coach, at=timezone.now(), first_day=block.starts_on)
    later = f.BlockFactory(client=cast.client, title="Kestrel", starts_on=block.starts_on, weeks=1)
    session = add_session(later, version=later.version, name="A", week=1, weekday=2)
    save_session(
        session, [Row(movement=f.MovementFactory().current)], version=session.block.version, name="A", weekday=2
    )
    publish_block(later, by=cast.coach, at=timezone.now(), first_day=block.starts_on)
    revision = new_revision(block, by=cast.coach)

    page = signed_in(cast.coach).get(at("publish-block", revision)).content.decode()

    assert "1 session falls on the days of “Kestrel”, which came later: it gets no day." in page


def test_refused_publication_says_why(cast, block, signed_in):
    f.ConsentFactory(client=cast.client)

    answer = signed_in(cast.coach).post(
        at("publish-block", block), {"first_day": block.starts_on, "version": block.version}
    )

    assert answer.status_code == 422
    assert b"Some questions are still open." in answer.content
    assert Block.objects.get().is_draft


def test_published_block_is_revised(cast, block, signed_in):
    f.publish(block)

    answer = signed_in(cast.coach).post(at("revise-block", block))

    assert answer.url == at("block", Block.objects.get(revision=2))


def test_client_reads_the_own_published_block(cast, block, signed_in):
    f.publish(block)

    answer = signed_in(cast.client_user).get(at("my-block", block))

    assert answer.status_code == 200
    assert "3 sets of 8–12 reps".encode() in answer.content


@pytest.mark.parametrize(("deload_week", "told"), [(2, [False, True]), (None, [False, False])])
def test_client_is_told_of_the_lighter_week(cast, block, signed_in, deload_week, told):
    block.deload_week = deload_week
    block.save()
    f.publish(block)

    client_reads = signed_in(cast.client_user).get(at("my-block", block)).content.decode()
    coach_reads = signed_in(cast.coach).get(at("block", block)).content.decode()

    weeks = re.findall(r"<summary>\s*(Week \d.*?)</summary>", client_reads)
    assert ["a lighter week" in week for week in weeks] == told
    assert "a lighter week" not in coach_reads
    assert ("(deload)" in coach_reads) == any(told)


FIRST = "This is the first block: everything is new."
ANEW = "This block is written anew; nothing in it goes on from the block before."


def test_only_the_first_block_calls_itself_that(cast, block, signed_in):
    coach_reads = signed_in(cast.coach).get(at("publish-block", block)).content.decode()
    f.publish(block)
    client_reads = signed_in(cast.client_user).get(at("my-block", block)).content.decode()

    assert [(FIRST in page, ANEW in page) for page in (coach_reads, client_reads)] == [(True, False)] * 2


def test_block_from_nothing_after_another_says_that_it_is_written_anew(cast, block, signed_in):
    f.publish(f.BlockFactory(client=cast.client, starts_on=block.starts_on - timedelta(weeks=4)))
    coach_reads = signed_in(cast.coach).get(at("publish-block", block)).content.decode()
    f.publish(block)
    client_reads = signed_in(cast.client_user).get(at("my-block", block)).content.decode()

    assert [(FIRST in page, ANEW in page) for page in (coach_reads, client_reads)] == [(False, True)] * 2


def test_client_does_not_see_a_draft(cast, block, signed_in):
    assert signed_in(cast.client_user).get(at("my-block", block)).status_code == 404


@pytest.mark.parametrize("who", ["other_client_user", "coach", "stranger_coach"])
def test_another_person_does_not_read_it_there(cast, block, signed_in, who):
    f.publish(block)

    answer = signed_in(getattr(cast, who)).get(at("my-block", block))

    assert answer.status_code == 404
    assert b"Spring block" not in answer.content


@pytest.mark.parametrize("name", COACH_PAGES)
def test_pages_cost_the_same_with_more_in_them(
    cast, ready, block, session, signed_in, name, django_assert_max_num_queries
):
    browser, address = signed_in(cast.coach), page(name, block, session)
    browser.get(address)
    with django_assert_max_num_queries(60) as few:
        browser.get(address)
    most = len(few)

    rows = [{"movement": "Push up", "section": section} for section in ["mobility", "strength", "core"]]
    browser.post(at("block-session", block, session), typed(block.version, *rows))
    block.refresh_from_db()
    add_session(block, version=block.version, name="More", week=2, weekday=1)

    with django_assert_max_num_queries(most):
        browser.get(address)


def _saves_itself(browser, block, session, *rows, **more):
    data = typed(block.version, *rows, then="self", **more)
    return browser.post(at("block-session", block, session), data)


def test_page_saves_itself_and_is_told_what_became_of_its_rows(cast, block, session, movement, signed_in):
    answer = _saves_itself(signed_in(cast.coach), block, session, {"movement": "pu u"})

    block.refresh_from_db(fields=["version"])
    lineage = str(Prescription.objects.get().lineage)
    fields = {"rows-0-lineage": lineage, "rows-0-movement": movement.name}
    assert answer.json() == {"version": block.version, "fields": fields}


def test_saving_itself_twice_keeps_lineages_and_rows(cast, block, session, signed_in):
    browser = signed_in(cast.coach)
    first = _saves_itself(browser, block, session, {"movement": "Push up"}).json()
    block.refresh_from_db(fields=["version"])

    row = {"movement": "Push up", "lineage": first["fields"]["rows-0-lineage"]}
    second = _saves_itself(browser, block, session, row, {"movement": "Push up", "sets": "5"}).json()

    assert second["fields"]["rows-0-lineage"] == first["fields"]["rows-0-lineage"]
    assert [row.sets for row in rows_of(session)] == [3, 5]


def test_page_that_saves_itself_is_told_what_is_wrong_and_keeps_the_last_good_one(cast, block, session, signed_in):
    answer = _saves_itself(signed_in(cast.coach), block, session, {"movement": "Push up", "amount": "12-8"})

    assert answer.json() == {"problems": ["Row 1, Amount: The lower number comes first."]}
    assert Prescription.objects.get().cue == "Long arms"


def test_page_that_saves_itself_after_someone_else_overwrites_nothing(cast, block, session, signed_in):
    block.version -= 1

    answer = _saves_itself(signed_in(cast.coach), block, session, {"movement": "Push up"})

    assert answer.json()["is_edited_meanwhile"]
    assert Prescription.objects.get().cue == "Long arms"


def test_removed_row_that_comes_back_has_the_lineage_it_had(cast, block, session, signed_in):
    browser = signed_in(cast.coach)
    lineage = str(Prescription.objects.get().lineage)
    browser.post(at("copy-block-week", block), {"version": block.version})
    block.refresh_from_db(fields=["version"])
    _saves_itself(browser, block, session, {"movement": "Push up"})
    block.refresh_from_db(fields=["version"])

    answer = _saves_itself(browser, block, session, {"movement": "Push up", "lineage": lineage})

    assert answer.json()["fields"]["rows-0-lineage"] == lineage


def test_lineage_of_another_client_cannot_be_brought_in(cast, block, session, signed_in):
    theirs = f.PrescriptionFactory().lineage

    answer = _saves_itself(signed_in(cast.coach), block, session, {"movement": "Push up", "lineage": str(theirs)})

    assert answer.json()["fields"]["rows-0-lineage"] != str(theirs)


def test_draft_is_seen_as_the_client_will_see_it(cast, block, session, signed_in):
    answer = signed_in(cast.coach).get(at("preview-block-session", block, session))

    assert answer.templates[0].name == "programs/train_page.html"
    assert "Long arms" in answer.content.decode()
    assert "<div inert>" in answer.content.decode()


def test_movement_that_is_hidden_since_stays_what_it_is(cast, block, session, signed_in):
    """And does not become the one whose name it is the beginning of."""
    f.MovementFactory(slug="close-grip-push-up")
    lineage = str(Prescription.objects.get().lineage)
    f.HiddenMovementFactory(practice=cast.practice, movement=Movement.objects.get(slug="push-up"), by=cast.coach)

    _saves_itself(signed_in(cast.coach), block, session, {"movement": "Push up", "lineage": lineage, "sets": 5})

    assert [(row.movement.movement.slug, row.sets) for row in rows_of(session)] == [("push-up", 5)]


def test_week_is_not_stepped_from_the_deload_week(cast, block, session, signed_in):
    Block.objects.filter(pk=block.pk).update(deload_week=1)

    answer = signed_in(cast.coach).post(
        at("copy-block-week", block), {"version": block.version, "steps": "1"}, follow=True
    )

    assert "cannot be stepped from the deload week" in answer.content.decode()
    assert [one.week for one in block.sessions.all()] == [1]


def test_client_is_offered_no_option_that_is_barred_by_now(cast, ready, block, signed_in):
    option = f.MovementFactory(revision__name="Ring dip", revision__areas=["shoulder"]).current
    Prescription.objects.update(harder=option, harder_from=12, target_rir=3)
    publish_block(block, by=cast.coach, at=timezone.now(), first_day=block.starts_on)
    browser = signed_in(cast.client_user)
    assert "Ring dip next time" in browser.get(at("my-block", block)).content.decode()

    f.ProtectedAreaFactory(client=cast.client, area="shoulder", barred=True)

    assert "Ring dip" not in browser.get(at("my-block", block)).content.decode()


@pytest.mark.parametrize("day", ["9999-12-31", "1999-12-31"])
def test_day_outside_of_any_calendar_is_told_at_its_field(cast, signed_in, day):
    sent = {"title": "Far off", "starts_on": day, "weeks": "4"}

    answer = signed_in(cast.coach).post(at("client-blocks", cast.client), sent)

    assert answer.status_code == 422
    assert b"Choose a day between 2000 and 2200." in answer.content
    assert not Block.objects.exists()
