import csv
import io
import json
from dataclasses import replace
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from clients.choices import ReadKind
from clients.models import AccessRecord
from programs.choices import BlockState
from programs.domain import building
from programs.domain.rows import Row, rows_of
from programs.models import Block, ScheduledSession
from tests import factories as f

pytestmark = pytest.mark.django_db


def export(browser, block, kind):
    return browser.get(reverse(f"export-block-{kind}", args=[block.uuid]))


def send(browser, client, data, name="block.json"):
    file = SimpleUploadedFile(name, data)
    return browser.post(reverse("import-block", args=[client.uuid]), {"file": file, "starts_on": "2099-03-04"})


def test_export_is_a_file_with_the_plan_and_the_read_is_recorded(cast, signed_in, block):
    answer = export(signed_in(cast.coach), block, "json")

    assert answer["Content-Disposition"] == 'attachment; filename="block.json"'
    assert json.loads(answer.content)["sessions"][0]["name"] == "Pull day"
    read = AccessRecord.objects.get(client=cast.client, kind=ReadKind.EXPORT)
    assert (read.reader, read.subject_uuid) == (cast.coach, block.uuid)


def test_table_of_a_published_block_is_read_by_another_reader(cast, signed_in, block, ready):
    f.publish(block)
    answer = export(signed_in(cast.coach), block, "csv")

    [row] = csv.DictReader(io.StringIO(answer.content.decode(), newline=""))
    assert (row["movement"], row["cue"], row["weekday"]) == ("push-up", "Long arms", "tuesday")


@pytest.mark.parametrize("kind", ["json", "csv"])
def test_export_is_imported_as_a_draft_and_schedules_nothing(cast, signed_in, block, kind):
    browser = signed_in(cast.coach)
    data = export(browser, block, kind).content

    answer = send(browser, cast.client, data, f"Block.{kind.upper()}")

    made = Block.objects.exclude(pk=block.pk).get()
    assert answer.url == reverse("block", args=[made.uuid])
    assert (made.client, made.state, made.title) == (cast.client, BlockState.DRAFT, block.title)
    assert not ScheduledSession.objects.exists()


@pytest.mark.parametrize("kind", ["json", "csv"])
def test_all_that_a_session_says_goes_out_and_comes_in(cast, signed_in, movement, kind):
    browser = signed_in(cast.coach)
    block = block_with_everything(cast, movement)
    data = export(browser, block, kind).content

    send(browser, cast.client, data, f"block.{kind}")

    made = Block.objects.exclude(pk=block.pk).get()
    before, after = ([replace(row, lineage=None) for row in rows_of(one.sessions.get())] for one in (block, made))
    assert (after, made.deload_week) == (before, 2)


def block_with_everything(cast, movement):
    block = building.create_block(
        cast.client, by=cast.coach, title="Invented", starts_on=f.MONDAY.replace(year=2099), weeks=2, deload_week=2
    )
    session = building.add_session(block, version=0, name="Push", week=1, weekday=1)
    first = Row(
        movement=movement,
        joined=True,
        together="rounds",
        minutes=8,
        kind="cluster",
        cluster_reps=2,
        rest_within_s=15,
        grip="pronated,neutral",
        and_or="or against a wall",
        percent_of_max=Decimal("72.5"),
        **{"easier": movement, "easier_below": 5, "harder": movement, "harder_from": 14},
        **{"step_sets": 1, "step_amount": -2, "step_rir": Decimal("-0.5"), "step_load": Decimal("2.5")},
    )
    building.save_session(session, [first, Row(movement=movement, step_sets=1)], version=1, name="Push", weekday=1)
    return block


def test_faults_are_listed_and_nothing_is_kept(cast, signed_in, block):
    browser = signed_in(cast.coach)
    data = export(browser, block, "json").content.replace(b'"push-up"', b'"<b>none"')

    answer = send(browser, cast.client, data)

    assert answer.status_code == 422
    assert b"/sessions/0/sections/0/groups/0/prescriptions/0/movement" in answer.content
    assert b"<b>none" not in answer.content
    assert Block.objects.get() == block


@pytest.mark.parametrize(
    ("data", "name"), [(b"{}", "block.txt"), (b"x" * (1024 * 1024 + 1), "block.json"), (b"", "block.csv")]
)
def test_file_of_another_kind_or_size_is_refused(cast, signed_in, data, name):
    answer = send(signed_in(cast.coach), cast.client, data, name)

    assert answer.status_code == 422
    assert answer.context["form"].errors["file"]
    assert not Block.objects.exists()


def test_file_cannot_be_imported_for_somebody_elses_client(cast, signed_in):
    data = json.dumps({"format": "purlin-block", "version": 1, "title": "New", "weeks": 4, "sessions": []}).encode()

    assert send(signed_in(cast.other_coach), cast.client, data).status_code == 404
    assert not Block.objects.exists()


def test_pages_lead_to_export_and_import(cast, signed_in, block):
    browser = signed_in(cast.coach)

    assert (
        reverse("import-block", args=[cast.client.uuid]).encode()
        in browser.get(reverse("client-blocks", args=[cast.client.uuid])).content
    )
    page = browser.get(reverse("block", args=[block.uuid])).content
    assert all(reverse(f"export-block-{kind}", args=[block.uuid]).encode() in page for kind in ("json", "csv"))


def test_schema_is_there_for_everybody(client):
    schema = json.loads(client.get(reverse("block-schema")).content)

    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
