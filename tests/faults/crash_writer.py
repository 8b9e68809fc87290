"""One writer of the crash runs: writes of one kind over HTTP, as a device would send them, and a ledger of them.

A program of its own that may be killed at any time, and so without Django: `python -m tests.faults.crash_writer KIND
PLAN LEDGER`. A line goes into the ledger, and onto the disk, before a write is sent ("meant", with its content) and
after it was answered ("kept"). What was meant and not kept may be there or not; what was kept must be.
"""

import base64
import contextlib
import hashlib
import http.client
import json
import os
import random
import re
import sys
import time
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

TUS = {"Tus-Resumable": "1.0.0"}
GOALS = ["first_pull_up", "stronger", "muscle", "skill", "return", "health"]
EXPERIENCE = ["none", "under_6_months", "under_2_years", "over_2_years"]
ALREADY_PUBLISHED = b"This block was published already."
PIECE = 32 * 1024


class Ledger:
    """Lines of JSON outside the house, each on the disk before the next step is taken."""

    def __init__(self, path: Path) -> None:
        self.lines = read(path)
        self.file = path.open("a")
        if path.stat().st_size and not path.read_bytes().endswith(b"\n"):
            self.file.write("\n")  # a line that the last one of us was killed in

    def note(self, said: str, **what: Any) -> None:
        line = {"said": said, "at": time.time()} | what
        self.file.write(json.dumps(line) + "\n")
        self.file.flush()
        os.fsync(self.file.fileno())
        self.lines.append(line)

    def of(self, said: str) -> list[dict[str, Any]]:
        return [line for line in self.lines if line["said"] == said]


def read(path: Path) -> list[dict[str, Any]]:
    if not path.exists():
        return []
    found = []
    for text in path.read_text().splitlines():
        try:
            found.append(json.loads(text))
        except ValueError:
            continue  # torn by a kill: then its write was never sent, or never acknowledged
    return found


class NoAnswer(Exception):
    """Nobody answered, or the house said that it is in trouble: whether the write was kept cannot be known."""


class House:
    """The served product, as one signed-in person sees it."""

    def __init__(self, port: int) -> None:
        self.port = port
        self.headers: dict[str, str] = {}
        self.connection: http.client.HTTPConnection | None = None

    def sign_in(self, session: str) -> None:
        token = uuid.uuid4().hex
        self.headers = {"Cookie": f"sessionid={session}; csrftoken={token}", "X-CSRFToken": token}

    def ask(self, method: str, path: str, body: bytes | str = b"", **headers: str) -> http.client.HTTPResponse:
        try:
            self.connection = self.connection or http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
            self.connection.request(method, path, body, self.headers | headers)
            answer = self.connection.getresponse()
            answer.content = answer.read()  # type: ignore[attr-defined]
        except (OSError, http.client.HTTPException) as error:
            self._hang_up()
            raise NoAnswer from error
        if answer.status >= 500:
            self._hang_up()
            raise NoAnswer(answer.status)
        return answer

    def wait(self) -> None:
        """Until somebody answers again."""
        while True:
            time.sleep(0.1)
            with contextlib.suppress(NoAnswer):
                self.ask("GET", "/livez")
                return

    def _hang_up(self) -> None:
        if self.connection:
            self.connection.close()
        self.connection = None

    def send_form(self, path: str, **fields: Any) -> http.client.HTTPResponse:
        kind = {"Content-Type": "application/x-www-form-urlencoded"}
        return self.ask("POST", path, urlencode(fields, doseq=True), **kind)

    def send_entries(self, entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
        answer = self.ask("POST", "/api/log/", json.dumps({"entries": entries}), **{"Content-Type": "application/json"})
        if answer.status != 200:
            raise Unexpected(answer)
        return json.loads(answer.content)["answers"]  # type: ignore[attr-defined]


class Unexpected(Exception):
    """An answer that no crash explains. It goes into the ledger, and fails the run."""

    def __init__(self, answer: http.client.HTTPResponse) -> None:
        text = re.sub(rb"<[^>]*>|\s+", b" ", answer.content)  # type: ignore[attr-defined]
        super().__init__(f"{answer.status} {text.decode(errors='replace')[:2000]}")


def entry(kind: str, **fields: Any) -> dict[str, Any]:
    now = time.strftime("%Y-%m-%dT%H:%M:%S+00:00", time.gmtime())
    return {"uuid": str(uuid.uuid4()), "kind": kind, "device_at": now, "time_zone": "UTC"} | fields


def until_answered(house: House, entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """As a phone does it: the same again until somebody answers."""
    while True:
        try:
            return house.send_entries(entries)
        except NoAnswer:
            house.wait()


def keep_entries(house: House, ledger: Ledger, entries: list[dict[str, Any]]) -> bool:
    """Send a batch, noted before and after. Half of those that break off are sent again, the other half let go."""
    n = len(ledger.of("meant"))
    ledger.note("meant", n=n, entries=entries)
    try:
        answers = house.send_entries(entries)
    except NoAnswer:
        if n % 2:
            return False
        answers = until_answered(house, entries)
    if any(answer["status"] not in {"stored", "already_stored"} for answer in answers):
        ledger.note("unexpected", n=n, answers=answers)
        return False
    ledger.note("kept", n=n)
    return True


def log_sets(house: House, ledger: Ledger, plan: dict[str, Any]) -> Iterator[None]:
    """Batches of a new set, its correction, and a correction of an earlier one: all in one transaction."""
    used, heads = _taken_up(ledger)
    slots = [slot for slot in _slots(plan) if slot not in used]
    while True:
        batch = []
        if slots:
            session, prescription, number = slots.pop(0)
            batch.append(_set(session, prescription, number))
        elif heads:
            batch.append(_corrected(heads.pop(0)))
        batch.append(_corrected(batch[0]))
        if heads and slots:
            batch.append(_corrected(heads.pop(random.randrange(len(heads)))))
        if keep_entries(house, ledger, batch):
            heads += batch[1:]
        yield


def _slots(plan: dict[str, Any]) -> list[tuple[str, str, int]]:
    return [(s, p, number) for s, p in plan["prescriptions"] for number in range(1, 51)]


def _set(session: str, prescription: str, number: int) -> dict[str, Any]:
    said = {"scheduled": session, "prescription": prescription, "number": number}
    return entry("set", **said, repetitions=random.randint(1, 30))


def _corrected(told: dict[str, Any]) -> dict[str, Any]:
    return told | {"uuid": str(uuid.uuid4()), "replaces": told["uuid"], "repetitions": told["repetitions"] % 30 + 1}


def _taken_up(ledger: Ledger) -> tuple[set[tuple[str, str, int]], list[dict[str, Any]]]:
    """Slots that may be used, and the newest versions that are surely the newest."""
    kept = {line["n"] for line in ledger.of("kept")}
    used, heads, doubtful = set(), {}, set()
    for line in ledger.of("meant"):
        for told in line["entries"]:
            used.add((told["scheduled"], told["prescription"], told["number"]))
            heads.pop(told.get("replaces"), None)
            heads[told["uuid"]] = told
            if line["n"] not in kept:
                doubtful.add(told["uuid"])
    return used, [told for name, told in heads.items() if name not in doubtful]


def tell_pain(house: House, ledger: Ledger, plan: dict[str, Any]) -> Iterator[None]:
    while True:
        n = len(ledger.of("meant"))
        keep_entries(house, ledger, [entry("pain", area="knee", side="left", during=n % 4, note=f"note {n}")])
        yield


def answer_intake(house: House, ledger: Ledger, plan: dict[str, Any]) -> Iterator[None]:
    """Three answers of one step, which go together."""
    while True:
        n = len(ledger.of("meant"))
        answers = {"goal": GOALS[n % 6], "experience": EXPERIENCE[n % 4], "goal_words": f"words {n}"}
        ledger.note("meant", n=n, answers=answers)
        answer = house.send_form("/intake/goal/", **answers)
        if answer.status != 302:
            raise Unexpected(answer)
        ledger.note("kept", n=n)
        yield


def publish_blocks(house: House, ledger: Ledger, plan: dict[str, Any]) -> Iterator[None]:
    """One revision after the other."""
    while True:
        answer = house.send_form(f"/blocks/{plan['block']}/revise/")
        if answer.status != 302:
            raise Unexpected(answer)
        n, draft = len(ledger.of("meant")), (answer.getheader("Location") or "").split("/")[2]
        ledger.note("meant", n=n, block=draft)
        # A new revision that nobody has edited.
        answer = house.send_form(f"/blocks/{draft}/publish/", first_day=plan["first_day"], version="0")
        if answer.status == 422 and ALREADY_PUBLISHED in answer.content:  # type: ignore[attr-defined]
            # What one of us sent before it was killed came in between. As good as an acknowledgement.
            ledger.note("kept", n=n)
        elif answer.status == 302:
            ledger.note("kept", n=n)
        else:
            raise Unexpected(answer)
        yield


def decide_suggestions(house: House, ledger: Ledger, plan: dict[str, Any]) -> Iterator[None]:
    while plan["suggestions"]:
        n, suggestion = len(ledger.of("meant")), random.choice(plan["suggestions"])
        ledger.note("meant", n=n, reason=f"reason {n}", suggestion=suggestion)
        decided = random.choice(["accepted", "declined"])
        fields = {f"{suggestion}-decided": decided, f"{suggestion}-reason": f"reason {n}"}
        answer = house.send_form(f"/suggestions/{suggestion}/decide/", **fields)
        if answer.status == 404:
            # A new day's rebuild took it back: there is no block behind it. Decisions stay.
            plan["suggestions"].remove(suggestion)
        elif answer.status != 302:
            raise Unexpected(answer)
        else:
            ledger.note("kept", n=n)
        yield
    while True:
        yield


def decide_consents(house: House, ledger: Ledger, plan: dict[str, Any]) -> Iterator[None]:
    """Video given and withdrawn in turns, from what the house says now."""
    while True:
        n = len(ledger.of("meant"))
        given = n % 2 == 1
        ledger.note("meant", n=n, given=given)
        answer = house.send_form("/consents/", health="yes", video="yes" if given else "no")
        if answer.status != 302:
            raise Unexpected(answer)
        ledger.note("kept", n=n)
        yield


def content_of(n: int, size: int, clip: str) -> bytes:
    """What is uploaded: a real clip, or bytes that nobody could mistake for another upload's."""
    return Path(clip).read_bytes() if clip else random.Random(n).randbytes(size)


def send_clips(house: House, ledger: Ledger, plan: dict[str, Any]) -> Iterator[None]:
    """Resumable uploads in pieces; one that breaks off goes on where the house says."""
    people = plan["people"]
    if begun := _unfinished(ledger):
        house.sign_in(people[begun["person"]]["session"])
        yield from _send(house, ledger, begun)
    while True:
        n, person = len(ledger.of("meant")), len(ledger.of("full"))
        if person == len(people):
            raise RuntimeError("Everybody has too many open uploads.")
        house.sign_in(people[person]["session"])
        clip = plan["clip"] if n % 2 else ""
        size = Path(clip).stat().st_size if clip else random.randint(20_000, 90_000)
        ledger.note("meant", n=n, size=size, clip=clip)
        answer = _announce(house, *random.choice(people[person]["prescriptions"]), n, size)
        if answer.status == 429:
            # Those whose announcement was never answered stay open for two days.
            ledger.note("full", n=n)
            continue
        if answer.status != 201:
            raise Unexpected(answer)
        begun = {"n": n, "size": size, "clip": clip, "person": person, "place": answer.getheader("Location")}
        ledger.note("begun", **begun)
        yield from _send(house, ledger, begun)


def _announce(house: House, session: str, prescription: str, n: int, size: int) -> http.client.HTTPResponse:
    said = {"scheduled": session, "prescription": prescription, "camera_side": "left", "question": f"clip {n}"}
    metadata = ",".join(f"{key} {base64.b64encode(value.encode()).decode()}" for key, value in said.items())
    return house.ask("POST", "/uploads/", **TUS, **{"Upload-Length": str(size), "Upload-Metadata": metadata})


def _unfinished(ledger: Ledger) -> dict[str, Any] | None:
    kept = {line["n"] for line in ledger.of("kept")}
    left = [line for line in ledger.of("begun") if line["n"] not in kept]
    return left[-1] if left else None


def _send(house: House, ledger: Ledger, begun: dict[str, Any]) -> Iterator[None]:
    n, size, place = begun["n"], begun["size"], begun["place"]
    content, offset = content_of(n, size, begun["clip"]), None
    while offset != size:
        try:
            if offset is None:
                offset = _ask_offset(house, place)
                if offset is not None:
                    ledger.note("offset", n=n, offset=offset)
            elif offset < size:
                offset = _send_piece(house, place, offset, content[offset : offset + PIECE])
                if offset is not None:
                    ledger.note("offset", n=n, offset=offset)
        except NoAnswer:
            offset = None
            house.wait()
        yield
    ledger.note("kept", n=n)


def _ask_offset(house: House, place: str) -> int | None:
    answer = house.ask("HEAD", place, **TUS)
    if answer.status == 423:
        return None  # what was sent before the kill is still being written
    if answer.status != 200:
        raise Unexpected(answer)
    return int(answer.getheader("Upload-Offset") or 0)


def _send_piece(house: House, place: str, offset: int, piece: bytes) -> int | None:
    digest = base64.b64encode(hashlib.sha1(piece, usedforsecurity=False).digest()).decode()
    kind = {"Content-Type": "application/offset+octet-stream", "Upload-Checksum": f"sha1 {digest}"}
    answer = house.ask("PATCH", place, piece, **TUS, **kind, **{"Upload-Offset": str(offset)})
    if answer.status in {409, 423}:
        return None  # the piece before is still being written, or was: ask again
    if answer.status != 204:
        raise Unexpected(answer)
    return int(answer.getheader("Upload-Offset") or 0)


KINDS = {
    "sets": log_sets,
    "pain": tell_pain,
    "intake": answer_intake,
    "blocks": publish_blocks,
    "suggestions": decide_suggestions,
    "consents": decide_consents,
    "clips": send_clips,
}


def main(kind: str, plan: dict[str, Any], ledger: Ledger) -> None:
    house = House(plan["port"])
    house.sign_in(plan[kind].get("session", ""))
    try:
        while True:
            _write_until_nobody_answers(house, kind, plan, ledger)
            house.wait()
    except Unexpected as unexpected:
        ledger.note("unexpected", words=str(unexpected))


def _write_until_nobody_answers(house: House, kind: str, plan: dict[str, Any], ledger: Ledger) -> None:
    with contextlib.suppress(NoAnswer):
        for _ in KINDS[kind](house, ledger, plan[kind]):
            time.sleep(plan["pause_s"])


if __name__ == "__main__":
    main(sys.argv[1], json.loads(Path(sys.argv[2]).read_text()), Ledger(Path(sys.argv[3])))
