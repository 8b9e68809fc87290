"""Six blocks to begin from, drafts begun from them, three sessions for anyone; and a planner that knows the demo."""

import pytest
from django.db import connection

from clients.models import Client
from coaching.demo.cast import WRITTEN
from programs.choices import BlockState, GroupKind, SetKind
from programs.domain.checking import check_block, limits_of
from programs.domain.rows import with_contents
from programs.domain.templates import contents_of
from programs.models import Block, BlockTemplate, Prescription, PublicSession
from tests.coaching.demo_house import loaded

__all__ = ["loaded"]
pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("loaded")]


def test_six_blocks_in_different_styles_are_kept_whole():
    kept = {template.title: contents_of(template) for template in BlockTemplate.objects.select_related("practice")}

    assert set(kept) == {written.title for written in WRITTEN}
    assert [contents.gone for contents in kept.values()] == [[]] * 6
    groups = {
        group for title in kept for session in kept[title].sessions for group in [row.together for row in session.rows]
    }
    kinds = {row.kind for contents in kept.values() for session in contents.sessions for row in session.rows}
    assert groups >= {GroupKind.EVERY_MINUTE, GroupKind.ROUNDS}
    assert kinds >= {SetKind.WARM_UP, SetKind.TOP, SetKind.BACK_OFF, SetKind.CLUSTER}


def test_nothing_is_left_of_the_drafts_that_templates_were_written_in():
    titles = [written.title for written in WRITTEN]
    begun = {name for written in WRITTEN for name in written.begun_for}

    assert set(Block.objects.filter(title__in=titles).values_list("client__name", flat=True)) == begun


def test_draft_for_somebody_without_a_band_tells_what_could_not_be_placed():
    draft = Block.objects.get(client__name="Imre Castellane", state=BlockState.DRAFT)

    left_out = {told["movement"] for told in draft.placed if not told["became"]}
    assert left_out == {"Seated band row", "Band pull-apart"}


@pytest.mark.parametrize("name", ["Imre Castellane", "Noor Lindqvist"])
def test_nothing_that_may_not_be_done_is_in_a_draft_from_a_template(name):
    draft = Block.objects.select_related("client__practice").get(client__name=name, state=BlockState.DRAFT)
    limits = limits_of(Client.objects.get(name=name), on=draft.starts_on)

    assert [remark for remark in check_block(with_contents(draft.sessions.all()), limits) if remark.stops] == []


def test_three_sessions_are_shown_to_anyone():
    assert PublicSession.objects.filter(ended_at=None).count() == 3


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite counts no rows beforehand")
def test_planner_of_postgresql_knows_what_the_load_has_not_committed_yet():
    with connection.cursor() as cursor:
        cursor.execute("SELECT reltuples FROM pg_class WHERE oid = %s::regclass", [Prescription._meta.db_table])
        (known,) = cursor.fetchone()

    # Written after the last count: a few drafts.
    assert known > 0.7 * Prescription.objects.count()
