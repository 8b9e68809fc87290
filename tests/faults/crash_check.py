"""Whether a house holds what its writers were told it keeps, and nothing by halves. A program: it prints what is wrong.

`python -m tests.faults.crash_check LEDGERS [BACKUP_STARTED]`: after a crash everything acknowledged must be there; in
a house restored from a backup everything acknowledged before the backup began, and one moment of the rest.
"""

import itertools
import json
import sys
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import UUID

import django

from tests.faults.crash_writer import EXPERIENCE, GOALS, content_of, read

Line = dict[str, Any]
LATE_S = 30


@dataclass(frozen=True)
class Write:
    """One write of a ledger, and how much of it is in the house: all, nothing, or a part."""

    kind: str
    n: int
    meant_at: float
    kept_at: float | None
    parts: int
    found: int

    @property
    def is_there(self) -> bool:
        return self.found == self.parts


def lines_of(folder: Path, kind: str) -> list[Line]:
    return read(folder / f"{kind}.jsonl")


def writes(folder: Path, kind: str, count: Callable[[Line], tuple[int, int]]) -> list[Write]:
    lines = lines_of(folder, kind)
    kept = {line["n"]: line["at"] for line in lines if line["said"] == "kept"}
    meant = [line for line in lines if line["said"] == "meant"]
    return [Write(kind, m["n"], m["at"], kept.get(m["n"]), *count(m)) for m in meant]


# What each kind of write leaves


def set_writes(folder: Path) -> list[Write]:
    from programs.models import SetLog  # noqa: PLC0415

    rows = SetLog.objects.values_list("uuid", "repetitions", "replaces__uuid", "number")
    there = {str(name): (told, replaced and str(replaced), number) for name, told, replaced, number in rows}

    def count(line: Line) -> tuple[int, int]:
        wanted = {e["uuid"]: (e["repetitions"], e.get("replaces"), e["number"]) for e in line["entries"]}
        return len(wanted), sum(there.get(name) == said for name, said in wanted.items())

    return writes(folder, "sets", count)


def pain_writes(folder: Path) -> list[Write]:
    from clients.models import PainReport  # noqa: PLC0415

    rows = PainReport.objects.values_list("uuid", "note", "during")
    there = {str(name): (note, during) for name, note, during in rows}

    def count(line: Line) -> tuple[int, int]:
        said = line["entries"][0]
        return 1, int(there.get(said["uuid"]) == (said["note"], said["during"]))

    return writes(folder, "pain", count)


def _counted(folder: Path, kind: str, there: dict[str, int], name: Callable[[Line], str]) -> list[Write]:
    """Writes that may be there once: twice is one part too many."""
    return writes(folder, kind, lambda line: (1, there.get(name(line), 0)))


def intake_writes(folder: Path) -> list[Write]:
    from clients.models import IntakeAnswer  # noqa: PLC0415

    there = _tally(IntakeAnswer.objects.filter(question="goal_words").values_list("value", flat=True))
    return _counted(folder, "intake", there, lambda line: line["answers"]["goal_words"])


def suggestion_writes(folder: Path) -> list[Write]:
    from coaching.models import SuggestionDecision  # noqa: PLC0415

    there = _tally(SuggestionDecision.objects.values_list("reason", flat=True))
    return _counted(folder, "suggestions", there, lambda line: line["reason"])


def _tally(values: Any) -> dict[str, int]:
    count: dict[str, int] = defaultdict(int)
    for value in values:
        count[value] += 1
    return count


def block_writes(folder: Path) -> list[Write]:
    """A published block: its state, its days, one letter, and the job that sends it."""
    from clients.models import OutgoingMail  # noqa: PLC0415
    from jobs.models import Job  # noqa: PLC0415
    from programs.models import Block, ScheduledSession  # noqa: PLC0415

    letters = dict(OutgoingMail.objects.values_list("pk", "body"))
    sent = {job.args[0] for job in Job.objects.filter(name="clients.send_mail")}

    def count(line: Line) -> tuple[int, int]:
        block = Block.objects.filter(uuid=line["block"]).first()
        about = [pk for pk, body in letters.items() if line["block"] in body]
        found = [
            block is not None and block.state != "draft",
            ScheduledSession.objects.filter(session__block__uuid=line["block"]).count() == 2,
            len(about) == 1,
            len(about) == 1 and about[0] in sent,
        ]
        return len(found), sum(found)

    first_meant: dict[str, Write] = {}
    for line, write in zip(_meant(folder, "blocks"), writes(folder, "blocks", count), strict=True):
        # A draft whose publishing broke off is published again: one write that was meant twice.
        before = first_meant.get(line["block"])
        if before is None or before.kept_at is None:
            first_meant[line["block"]] = write
    return list(first_meant.values())


def _meant(folder: Path, kind: str) -> list[Line]:
    return [line for line in lines_of(folder, kind) if line["said"] == "meant"]


KINDS = [set_writes, pain_writes, intake_writes, suggestion_writes, block_writes]


# Clips and consents, which go on from what the house says


def wrong_clips(folder: Path, *, before: float | None) -> Iterator[str]:
    from submissions.domain import files  # noqa: PLC0415
    from submissions.models import Upload  # noqa: PLC0415

    lines = lines_of(folder, "clips")
    kept = {line["n"]: line["at"] for line in lines if line["said"] == "kept"}
    offsets: dict[int, int] = defaultdict(int)
    for line in lines:
        if line["said"] == "offset":
            offsets[line["n"]] = max(offsets[line["n"]], line["offset"])
    for begun in (line for line in lines if line["said"] == "begun"):
        n = begun["n"]
        upload = Upload.objects.filter(uuid=begun["place"].split("/")[2]).select_related("clip").first()
        is_due = before is None or kept.get(n, before) < before
        if upload is None:
            if is_due:
                yield f"clip {n}: no upload"
            continue
        content = content_of(n, begun["size"], begun["clip"])
        if upload.finished_at is None:
            yield from _wrong_part(n, upload, content, offsets[n], is_finished=n in kept)
        else:
            yield from _wrong_finished(n, upload, content)
    for part in files.part_path(UUID(int=0)).parent.glob("*.part"):
        # The file comes first, its row with the commit: an empty one is what a crash leaves between, to be swept.
        if part.stat().st_size and not Upload.objects.filter(uuid=part.stem).exists():
            yield f"{part.name}: bytes without an upload"


def _wrong_part(n: int, upload: Any, content: bytes, acknowledged: int, *, is_finished: bool) -> Iterator[str]:
    from submissions.domain import files  # noqa: PLC0415

    size = files.part_size(upload.uuid)
    if is_finished:
        yield f"clip {n}: acknowledged as whole, and not finished"
    if size is None:
        yield f"clip {n}: its file is gone"
        return
    if not max(acknowledged, upload.offset) <= size <= upload.length:
        yield f"clip {n}: {acknowledged} acknowledged, {upload.offset} in the row, {size} in the file"
    if files.part_path(upload.uuid).read_bytes() != content[:size]:
        yield f"clip {n}: other bytes"


def _wrong_finished(n: int, upload: Any, content: bytes) -> Iterator[str]:
    from jobs.models import Job  # noqa: PLC0415
    from submissions.domain import files  # noqa: PLC0415
    from submissions.domain.storage import clip_storage  # noqa: PLC0415
    from submissions.models import Submission  # noqa: PLC0415

    clip = upload.clip
    if Submission.objects.filter(clip=clip).count() != 1 or Job.objects.filter(key=f"clip {clip.pk}").count() != 1:
        yield f"clip {n}: not submitted once, or without its job"
    if clip.state == "received":
        with files.work_folder() as work:
            original = files.original_of(clip, folder=work)
            if not original.exists() or original.read_bytes() != content:
                yield f"clip {n}: other bytes"
    if clip.state == "ready":
        for name in (clip.review_copy, clip.poster):
            if not clip_storage().look_up(name).size:
                yield f"clip {n}: {name} is empty"


def wrong_consents(folder: Path, *, before: float | None) -> Iterator[str]:
    """Given and withdrawn in turns, never twice the same; the newest is the last acknowledged, or one in doubt."""
    from clients.models import ConsentEvent  # noqa: PLC0415

    lines = lines_of(folder, "consents")
    if not lines:
        return
    kept = {line["n"]: line["at"] for line in lines if line["said"] == "kept"}
    client = json.loads((folder / "plan.json").read_text())["consents"]["client"]
    events = ConsentEvent.objects.filter(kind="video", client__uuid=client).order_by("pk")
    told = list(events.values_list("action", flat=True))
    if any(one == following for one, following in itertools.pairwise(told)):
        yield "consents: the same twice in a row"
    meant = [line for line in lines if line["said"] == "meant" and (before is None or line["at"] < before)]
    sure = [line for line in meant if line["n"] in kept and (before is None or kept[line["n"]] < before)]
    last = sure[-1]
    doubtful = [line for line in meant if line["n"] not in kept and line["at"] > last["at"] - LATE_S]
    if before is None and not doubtful and told[-1] != ("given" if last["given"] else "withdrawn"):
        yield f"consents: {told[-1]} is the newest, and not what was acknowledged last"
    # The first stood there from the beginning. Whatever was acknowledged right after another one is an event.
    numbers = {line["n"] for line in sure}
    events_at_least = sum(n - 1 in numbers for n in numbers)
    if len(told) - 1 < events_at_least:
        yield f"consents: {len(told) - 1} events, and {events_at_least} were acknowledged"


# What must hold in any house


def wrong_intake() -> Iterator[str]:
    """The three answers of one step come and go together."""
    from clients.models import IntakeAnswer  # noqa: PLC0415

    saves: dict[Any, dict[str, str]] = defaultdict(dict)
    for question, value, at in IntakeAnswer.objects.order_by("pk").values_list("question", "value", "answered_at"):
        saves[at][question] = value
    now: dict[str, str] = {}
    for save in saves.values():
        now |= save
        n = int(now["goal_words"].split()[1])
        if (now["goal"], now["experience"]) != (GOALS[n % 6], EXPERIENCE[n % 4]):
            yield f"intake: half of save {n}"


def wrong_rows() -> Iterator[str]:
    yield from wrong_chains()
    yield from wrong_links()
    yield from wrong_guards()


def wrong_chains() -> Iterator[str]:
    """Of each fact one version is the newest, and only that is current."""
    from django.apps import apps  # noqa: PLC0415
    from django.db.models import Exists, OuterRef  # noqa: PLC0415

    from clients.models import ClientFact  # noqa: PLC0415

    for model in apps.get_models():
        if issubclass(model, ClientFact):
            newer = model._default_manager.filter(replaces=OuterRef("pk"))
            rows = model._default_manager.annotate(is_replaced=Exists(newer))
            wrong = rows.filter(is_current=True, is_replaced=True) | rows.filter(is_current=False, is_replaced=False)
            if count := wrong.count():
                yield f"{model._meta.label}: {count} versions are current and replaced, or neither"


def wrong_links() -> Iterator[str]:
    from django.db import DatabaseError, connection  # noqa: PLC0415

    try:
        connection.check_constraints()
    except DatabaseError as error:
        yield f"a link to nothing: {error}"
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            # Also what is unique, and every CHECK.
            cursor.execute("PRAGMA integrity_check")
            yield from (text for (text,) in cursor.fetchall() if text != "ok")


def wrong_guards() -> Iterator[str]:
    """The guards stand, and no row is there that they would refuse for its practice."""
    from django.apps import apps  # noqa: PLC0415
    from django.db import connection  # noqa: PLC0415

    from jobs import guards  # noqa: PLC0415
    from jobs.guards.dialects import DIALECTS  # noqa: PLC0415
    from jobs.guards.rules import INSERT, checks  # noqa: PLC0415

    if missing := guards.expected_triggers() - guards.installed_triggers():
        yield f"{len(missing)} guards are missing"
    for model in apps.get_models():
        for check in checks(model, DIALECTS[connection.vendor]).get(INSERT, []):
            if "another practice" in check.message:
                with connection.cursor() as cursor:
                    cursor.execute(f'SELECT COUNT(*) FROM "{model._meta.db_table}" NEW WHERE {check.condition}')  # noqa: S608
                    if count := cursor.fetchone()[0]:
                        yield f"{check.message}: {count} rows"


# All of it


def wrong_writes(found: list[Write], *, before: float | None) -> Iterator[str]:
    for write in found:
        name = f"{write.kind} {write.n}"
        if write.found not in (0, write.parts):
            yield f"{name}: {write.found} of {write.parts} parts"
        must = write.kept_at is not None and (before is None or write.kept_at < before)
        if must and not write.is_there:
            yield f"{name}: acknowledged, and not there"


def wrong_moment(found: list[Write]) -> Iterator[str]:
    """What was acknowledged before something that is there was sent must be there, whoever wrote it."""
    last = max((write.meant_at for write in found if write.is_there), default=0.0)
    for write in found:
        if write.kept_at is not None and write.kept_at < last and not write.is_there:
            yield f"{write.kind} {write.n}: older than what is there, and missing"


def _kept_in(path: Path) -> int:
    return sum(line["said"] == "kept" for line in read(path))


def report(folder: Path, before: float | None) -> dict[str, Any]:
    found = [write for kind in KINDS for write in kind(folder)]
    every_line = [line for path in folder.glob("*.jsonl") for line in read(path)]
    wrong = [f"unexpected: {line}" for line in every_line if line["said"] == "unexpected"]
    wrong += wrong_writes(found, before=before)
    wrong += wrong_moment(found)
    wrong += wrong_clips(folder, before=before)
    wrong += wrong_consents(folder, before=before)
    wrong += wrong_intake()
    wrong += wrong_rows()
    return {
        "wrong": wrong,
        "acknowledged": {path.stem: _kept_in(path) for path in sorted(folder.glob("*.jsonl"))},
        "in_doubt": sum(write.kept_at is None for write in found),
        "in_doubt_and_there": sum(write.kept_at is None and write.is_there for write in found),
        "there": sum(write.is_there for write in found),
    }


if __name__ == "__main__":
    django.setup()
    said = report(Path(sys.argv[1]), float(sys.argv[2]) if len(sys.argv) > 2 else None)
    print(json.dumps(said))  # noqa: T201 -- for who started this program
