import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from clients.choices import ItemKind
from clients.models import AccessRecord
from programs.choices import BlockState
from programs.domain.applying import coming_monday
from programs.domain.building import monday_of
from programs.domain.days import today_of
from programs.domain.templates import keep_as_template
from programs.models import Block, BlockTemplate
from tests import factories as f

pytestmark = pytest.mark.django_db
FIRST = monday_of(timezone.localdate()) + datetime.timedelta(days=7)


@pytest.fixture
def template(cast, block):
    return keep_as_template(block, by=cast.coach, at=timezone.now(), title="Two weeks, one day", about="To begin with")


def second_client(cast, *kinds, may_start=True):
    client = f.ClientFactory(practice=cast.practice)
    f.AssignmentFactory(client=client, coach=cast.coach_membership)
    if may_start:
        f.ConsentFactory(client=client)
        f.ScreeningFactory(client=client)
    return client


def shown(response, status=200):
    assert response.status_code == status
    return " ".join(response.content.decode().split())


def url(name, *args):
    return reverse(name, args=args)


def needs(movement, kind):
    """The movement is done on something that no client of these tests has."""
    movement.movement.current = f.MovementRevisionFactory(
        movement=movement.movement, name="Push-up on a bar", equipment=[[kind]]
    )
    movement.movement.save()


# The list


def test_practice_without_templates_is_told_how_to_get_one(cast, signed_in):
    text = shown(signed_in(cast.coach).get(url("block-templates")))

    assert "No template yet" in text
    assert "Keep as a template" in text


def test_list_has_the_templates_of_the_team_and_those_put_away_below(cast, signed_in, template):
    f.BlockTemplateFactory(practice=cast.practice, title="Long ago", archived_at=f.NOON)
    f.BlockTemplateFactory(practice=cast.other_practice, title="Elsewhere's")

    text = shown(signed_in(cast.other_coach).get(url("block-templates")))

    assert text.index("Two weeks, one day") < text.index("Put away") < text.index("Long ago")
    assert "Elsewhere's" not in text


@pytest.mark.parametrize("more", [0, 2])
def test_list_takes_as_many_queries_however_many_there_are(cast, signed_in, template, more):
    for _n in range(more):
        f.BlockTemplateFactory(practice=cast.practice, written_by=f.UserFactory())
    browser = signed_in(cast.coach)

    with CaptureQueriesContext(connection) as queries:
        browser.get(url("block-templates"))

    assert len([one for one in queries if "blocktemplate" in one["sql"]]) == 2
    assert "document" not in str([one["sql"] for one in queries if "blocktemplate" in one["sql"]])


# Keeping


def test_block_is_kept_for_the_team_under_its_name(cast, signed_in, block):
    browser = signed_in(cast.coach)
    page = shown(browser.get(url("keep-block", block.uuid)))
    assert 'value="Spring block"' in page

    text = shown(browser.post(url("keep-block", block.uuid), {"title": "Ours", "about": "Words"}, follow=True))

    assert "Kept as a template." in text
    assert "Pull day" in text
    assert "3 sets of 8–12 reps" in text
    assert "Long arms" in text
    assert cast.client.name not in text.split("Use for several clients")[0]
    assert BlockTemplate.objects.get().written_by == cast.coach


def test_block_takes_the_place_of_a_template(cast, signed_in, block, template):
    other = f.BlockTemplateFactory(practice=cast.practice, title="Other")

    sent = {"title": "Newer", "about": "", "instead_of": str(other.uuid)}
    response = signed_in(cast.coach).post(url("keep-block", block.uuid), sent)

    assert response.url == url("block-template", other.uuid)
    other.refresh_from_db()
    assert (other.title, other.weeks, len(other.document["sessions"])) == ("Newer", 2, 1)
    assert BlockTemplate.objects.count() == 2


def test_template_of_another_practice_or_put_away_cannot_be_replaced(cast, signed_in, block):
    for odd in (
        f.BlockTemplateFactory(practice=cast.other_practice),
        f.BlockTemplateFactory(practice=cast.practice, archived_at=f.NOON),
    ):
        sent = {"title": "Newer", "instead_of": str(odd.uuid)}
        shown(signed_in(cast.coach).post(url("keep-block", block.uuid), sent), status=422)
        odd.refresh_from_db()
        assert odd.title == "Invented template"


def test_template_without_a_name_is_not_kept(cast, signed_in, block):
    shown(signed_in(cast.coach).post(url("keep-block", block.uuid), {"title": " "}), status=422)
    assert not BlockTemplate.objects.exists()


# Its page


def test_name_and_words_are_changed_and_nothing_else(cast, signed_in, template):
    sent = {"title": "Another", "about": "Other words"}
    text = shown(signed_in(cast.other_coach).post(url("block-template", template.uuid), sent, follow=True))

    assert "Other words" in text
    before = template.document
    template.refresh_from_db()
    assert (template.title, template.document, template.written_by) == ("Another", before, cast.coach)


def test_put_away_it_cannot_be_used_until_it_is_brought_back(cast, signed_in, template, ready):
    browser = signed_in(cast.coach)
    away = shown(browser.post(url("archive-template", template.uuid), follow=True))
    assert "Use for several clients" not in away
    sent = {"clients": [str(cast.client.uuid)], "starts_on": str(FIRST)}
    assert browser.post(url("use-template", template.uuid), sent).status_code == 404
    assert "Begin from a template" not in shown(browser.get(url("client-blocks", cast.client.uuid)))

    back = shown(browser.post(url("archive-template", template.uuid), {"bring_back": "yes"}, follow=True))

    assert "Use for several clients" in back


def test_movement_that_is_gone_is_named_on_the_page(cast, signed_in, template, movement):
    movement.movement.current = f.MovementRevisionFactory(movement=movement.movement, measure="seconds")
    movement.movement.save()

    text = shown(signed_in(cast.coach).get(url("block-template", template.uuid)))

    assert "Not there any more" in text
    assert "It is measured in" in text


# Beginning for one


def test_draft_begins_from_a_template_with_two_fields(cast, signed_in, template, ready):
    browser = signed_in(cast.coach)
    page = shown(browser.get(url("client-blocks", cast.client.uuid)))
    assert "Begin from a template" in page
    assert "autofocus" in page

    sent = {"template": str(template.uuid), "starts_on": str(FIRST), "title": ""}
    text = shown(browser.post(url("begin-from-template", cast.client.uuid), sent, follow=True))

    draft = Block.objects.exclude(title="Spring block").get()
    assert (draft.client, draft.title, draft.state) == (cast.client, "Two weeks, one day", BlockState.DRAFT)
    assert "from the template Two weeks, one day" in text
    assert "What changed for this client" not in text


def test_first_week_is_the_one_after_the_running_block(cast, signed_in, template):
    f.publish(f.BlockFactory(client=cast.client, starts_on=FIRST, weeks=2))

    page = shown(signed_in(cast.coach).get(url("client-blocks", cast.client.uuid)))

    after = FIRST + datetime.timedelta(days=14)
    assert f'name="starts_on" value="{after}"' in page


def test_same_form_sent_twice_leads_to_the_one_draft(cast, signed_in, template, ready):
    browser = signed_in(cast.coach)
    sent = {"template": str(template.uuid), "starts_on": str(FIRST), "title": ""}
    first = browser.post(url("begin-from-template", cast.client.uuid), sent)

    again = browser.post(url("begin-from-template", cast.client.uuid), sent)

    assert again.url == first.url
    assert "is there already" in shown(browser.get(again.url))
    assert Block.objects.filter(template=template).count() == 1


@pytest.mark.parametrize("wrong", [{"template": ""}, {"template": "x"}, {"starts_on": ""}, {"starts_on": "soon"}])
def test_what_is_missing_is_asked_for_on_the_list(cast, signed_in, template, wrong):
    sent = {"template": str(template.uuid), "starts_on": str(FIRST)} | wrong

    text = shown(signed_in(cast.coach).post(url("begin-from-template", cast.client.uuid), sent), status=422)

    assert "field__error" in text
    assert not Block.objects.filter(template=template).exists()


def test_template_of_another_practice_begins_nothing(cast, signed_in, template):
    theirs = f.BlockTemplateFactory(practice=cast.other_practice)
    sent = {"template": str(theirs.uuid), "starts_on": str(FIRST)}

    shown(signed_in(cast.coach).post(url("begin-from-template", cast.client.uuid), sent), status=422)

    assert not Block.objects.filter(template=theirs).exists()


def test_practice_without_templates_has_no_short_form(cast, signed_in):
    browser = signed_in(cast.coach)

    assert "Begin from a template" not in shown(browser.get(url("client-blocks", cast.client.uuid)))
    sent = {"template": "x", "starts_on": str(FIRST)}
    shown(browser.post(url("begin-from-template", cast.client.uuid), sent), status=422)


# For several


def test_each_chosen_client_gets_a_draft(cast, signed_in, template, ready):
    other, left_out = second_client(cast), second_client(cast)

    sent = {"clients": [str(cast.client.uuid), str(other.uuid)], "starts_on": str(FIRST)}
    text = shown(signed_in(cast.coach).post(url("use-template", template.uuid), sent, follow=True))

    assert f"Drafts for {cast.client.name}, {other.name}." in text
    assert "Drafts from it, not published yet" in text
    assert {block.client for block in Block.objects.filter(template=template)} == {cast.client, other}
    assert not Block.objects.of(left_out).exists()


def test_without_a_week_each_begins_after_their_own_last_block(cast, signed_in, template, ready):
    other = second_client(cast)
    running = f.BlockFactory(client=other, starts_on=coming_monday(timezone.localdate()), weeks=3)
    f.publish(running)

    signed_in(cast.coach).post(url("use-template", template.uuid), {"everyone": "on", "starts_on": ""})

    begun = {block.client: block.starts_on for block in Block.objects.filter(template=template)}
    assert begun == {
        cast.client: coming_monday(today_of(cast.client, timezone.now())),
        other: running.ends_on + datetime.timedelta(days=1),
    }


def test_all_of_them_is_one_tick(cast, signed_in, template, ready):
    other = second_client(cast)

    signed_in(cast.coach).post(url("use-template", template.uuid), {"everyone": "on", "starts_on": str(FIRST)})

    assert {block.client for block in Block.objects.filter(template=template)} == {cast.client, other}


def test_second_submit_makes_no_second_drafts_and_says_so(cast, signed_in, template, ready):
    browser = signed_in(cast.coach)
    sent = {"everyone": "on", "starts_on": str(FIRST)}
    browser.post(url("use-template", template.uuid), sent)

    text = shown(browser.post(url("use-template", template.uuid), sent, follow=True))

    assert f"{cast.client.name}: A draft of this template for this week is there already." in text
    assert Block.objects.filter(template=template).count() == 1


def test_client_who_may_not_start_gets_a_draft_and_the_reason(cast, signed_in, template):
    text = shown(
        signed_in(cast.coach).post(
            url("use-template", template.uuid), {"everyone": "on", "starts_on": str(FIRST)}, follow=True
        )
    )

    assert "has a draft, but nothing can be published yet" in text
    assert Block.objects.filter(template=template).count() == 1


def test_client_of_another_coach_cannot_be_chosen(cast, signed_in, template):
    sent = {"clients": [str(cast.other_client.uuid)], "starts_on": str(FIRST)}
    browser = signed_in(cast.coach)

    text = shown(browser.post(url("use-template", template.uuid), sent), status=422)

    assert cast.other_client.name not in text
    assert not Block.objects.filter(template=template).exists()


@pytest.mark.parametrize("wrong", [{"clients": []}, {"starts_on": "soon"}])
def test_nobody_or_no_week_is_asked_for(cast, signed_in, template, wrong):
    sent = {"clients": [str(cast.client.uuid)], "starts_on": str(FIRST)} | wrong

    text = shown(signed_in(cast.coach).post(url("use-template", template.uuid), sent), status=422)

    assert "field__error" in text


def test_drafts_on_the_page_are_those_of_ones_own_clients(cast, signed_in, template, ready):
    sent = {"everyone": "on", "starts_on": str(FIRST)}
    assert cast.client.name in shown(signed_in(cast.coach).post(url("use-template", template.uuid), sent, follow=True))

    assert cast.client.name not in shown(signed_in(cast.other_coach).get(url("block-template", template.uuid)))


@pytest.mark.parametrize("clients", [1, 3])
def test_page_takes_as_many_queries_however_many_drafts_there_are(cast, signed_in, template, ready, clients):
    for _n in range(clients - 1):
        second_client(cast)
    browser = signed_in(cast.coach)
    browser.post(url("use-template", template.uuid), {"everyone": "on", "starts_on": str(FIRST)})
    browser.get(url("block-template", template.uuid))

    with CaptureQueriesContext(connection) as queries:
        text = shown(browser.get(url("block-template", template.uuid)))

    assert text.count("as written") == clients
    assert len(queries) <= 12


# Reading what changed, and publishing


@pytest.fixture
def changed(cast, signed_in, template, movement, ready):
    """A draft in which the only movement could not be placed, and another one was written in."""
    needs(movement, ItemKind.BAR)
    signed_in(cast.coach).post(url("use-template", template.uuid), {"everyone": "on", "starts_on": str(FIRST)})
    draft = Block.objects.get(template=template)
    f.PrescriptionFactory(
        group__section__session=draft.sessions.get(), movement=f.MovementFactory(slug="plank").current, target_rir=2
    )
    return draft


def test_draft_and_publish_page_tell_what_changed(cast, signed_in, changed):
    browser = signed_in(cast.coach)

    for name in ("block", "publish-block"):
        text = shown(browser.get(url(name, changed.uuid)))
        assert "What changed for this client" in text
        assert "Push-up on a bar" in text
        assert "Left out" in text
        assert "Not at this place" in text


def test_reading_what_changed_for_a_client_is_recorded(cast, signed_in, changed, block):
    browser = signed_in(cast.coach)
    browser.get(url("block", block.uuid))
    assert not AccessRecord.objects.filter(client=cast.client).exists()

    browser.get(url("block", changed.uuid))

    assert AccessRecord.objects.get(client=cast.client).subject_uuid == changed.uuid


def test_unread_it_is_not_published_and_read_it_is(cast, signed_in, changed):
    browser, sent = signed_in(cast.coach), {"first_day": str(FIRST), "version": changed.version}

    refused = shown(browser.post(url("publish-block", changed.uuid), sent), status=422)
    assert refused.count("Read what changed for this client first") >= 1
    changed.refresh_from_db()
    assert changed.is_draft

    browser.post(url("publish-block", changed.uuid), sent | {"has_read_placed": "on"})
    changed.refresh_from_db()
    assert changed.state == BlockState.PUBLISHED


def test_block_with_nothing_placed_asks_for_no_tick(cast, signed_in, block, ready):
    assert "has_read_placed" not in shown(signed_in(cast.coach).get(url("publish-block", block.uuid)))
