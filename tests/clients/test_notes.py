import pytest
from django.urls import reverse

from clients.choices import NoteKind
from clients.domain.notes import correct_note, pin_lines, pinned_lines, write_note
from clients.errors import ReplacedMeanwhile
from clients.models import AccessRecord, Note, PinnedLine
from tests import factories as f

pytestmark = pytest.mark.django_db


def _note(cast, text="Prefers mornings."):
    return write_note(cast.client, kind=NoteKind.NOTE, on=f.MONDAY, text=text, by=cast.coach, at=f.NOON)


def test_note_sent_twice_is_kept_once(cast):
    _note(cast)
    _note(cast)

    assert Note.objects.count() == 1


def test_corrected_note_keeps_the_earlier_words_in_the_record(cast):
    first = _note(cast)

    second = correct_note(first, text="Prefers evenings.", by=cast.coach, at=f.NOON)

    assert [note.text for note in Note.objects.current()] == ["Prefers evenings."]
    assert second.replaces.text == "Prefers mornings."


def test_note_corrected_by_two_keeps_the_first_correction(cast):
    first = _note(cast)
    correct_note(first, text="Evenings.", by=cast.coach, at=f.NOON)

    with pytest.raises(ReplacedMeanwhile):
        correct_note(first, text="Nights.", by=cast.owner, at=f.NOON)

    assert Note.objects.current().get().text == "Evenings."


def test_pinned_line_is_changed_and_taken_down_as_versions(cast):
    pin_lines(cast.client, {1: "Night shifts", 2: "Left shoulder 2019"}, by=cast.coach, at=f.NOON)
    changed = pin_lines(cast.client, {1: "", 2: "Left shoulder 2019"}, by=cast.coach, at=f.NOON)

    assert changed == 1
    assert [line.text for line in pinned_lines(cast.client)] == ["Left shoulder 2019"]
    assert PinnedLine.objects.count() == 3


def test_line_pinned_meanwhile_by_somebody_else_is_not_overwritten(cast):
    pin_lines(cast.client, {1: "Night shifts"}, by=cast.coach, at=f.NOON)

    with pytest.raises(ReplacedMeanwhile):
        pin_lines(cast.client, {1: "Day shifts", 2: "Bees"}, seen={1: "", 2: ""}, by=cast.owner, at=f.NOON)

    assert [line.text for line in pinned_lines(cast.client)] == ["Night shifts"]


PAGES_WITH_PINNED_LINES = ["client", "client-blocks", "client-safety", "client-notes"]


@pytest.mark.parametrize("page", PAGES_WITH_PINNED_LINES)
def test_pinned_line_is_shown_where_the_client_is_worked_with(cast, signed_in, page):
    pin_lines(cast.client, {3: "Left shoulder 2019"}, by=cast.coach, at=f.NOON)

    assert "Left shoulder 2019" in signed_in(cast.coach).get(reverse(page, args=[cast.client.uuid])).content.decode()


def test_pinned_line_is_shown_beside_a_draft_and_a_review(cast, signed_in):
    pin_lines(cast.client, {3: "Left shoulder 2019"}, by=cast.coach, at=f.NOON)
    draft = f.BlockFactory(client=cast.client)
    session = f.BlockSessionFactory(block=draft)
    question = f.SubmissionFactory(client=cast.client)
    addresses = [
        reverse("block", args=[draft.uuid]),
        reverse("block-session", args=[draft.uuid, session.uuid]),
        reverse("review", args=[question.uuid]),
    ]
    browser = signed_in(cast.coach)

    assert ["Left shoulder 2019" in browser.get(url).content.decode() for url in addresses] == [True] * 3


def test_note_of_a_day_to_come_is_refused_with_what_was_typed(cast, signed_in):
    url = reverse("client-notes", args=[cast.client.uuid])

    answer = signed_in(cast.coach).post(url, {"kind": "note", "on": "2099-01-01", "text": "From the future"})

    assert answer.status_code == 422
    assert "From the future" in answer.content.decode()


def test_written_note_stands_on_the_page_without_running(cast, signed_in):
    url = reverse("client-notes", args=[cast.client.uuid])

    page = signed_in(cast.coach).post(
        url, {"kind": "call", "on": "2026-03-01", "text": "<script>alert(1)</script> \U0001f41d שלום"}, follow=True
    )

    assert "&lt;script&gt;alert(1)&lt;/script&gt; \U0001f41d שלום" in page.content.decode()


def test_client_sees_who_looked_and_not_themself(cast, signed_in):
    signed_in(cast.coach).get(reverse("client-safety", args=[cast.client.uuid]))

    page = signed_in(cast.client_user).get(reverse("my-readers")).content.decode()

    assert cast.coach.display_name in page
    assert AccessRecord.objects.of(cast.client).exclude(reader=cast.coach).count() == 0


@pytest.mark.parametrize("reads", [1, 30])
def test_readers_page_asks_as_often_for_many_as_for_one(cast, signed_in, django_assert_max_num_queries, reads):
    f.AccessRecordFactory.create_batch(reads, client=cast.client)
    browser = signed_in(cast.owner)

    with django_assert_max_num_queries(10):
        browser.get(reverse("client-readers", args=[cast.client.uuid]))
