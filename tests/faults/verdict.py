"""What a run shows, judged from its rows alone: lost, doubled, overlapping, late."""

import collections
import datetime
import itertools
import json
from dataclasses import asdict, dataclass, field
from typing import Any

State = dict[str, list[dict[str, Any]]]


@dataclass
class Verdict:
    """Counts, and the jobs behind those that must be nought."""

    jobs: int = 0
    acknowledged: int = 0
    periods: int = 0
    runs: int = 0
    cut_off: int = 0
    overlapping: int = 0
    lost: list[str] = field(default_factory=list)
    doubled: list[str] = field(default_factory=list)
    published_while_overlapping: list[str] = field(default_factory=list)
    set_aside: list[str] = field(default_factory=list)
    unseen_topics: list[int] = field(default_factory=list)
    # Of the slowest job: from the last restart, or from the end of a pause that its own failures had earned.
    settled_seconds: float = 0.0
    slowest: str = ""
    plain_asked: int = 0
    plain_lost: int = 0
    plain_doubled: int = 0

    def faults(self) -> dict[str, Any]:
        names = ["lost", "doubled", "published_while_overlapping", "set_aside", "unseen_topics"]
        return {name: found for name in names if (found := getattr(self, name))}

    def as_json(self) -> str:
        return json.dumps(asdict(self))


def judge(state: State, *, acknowledged: dict[str, str], restarted_at: datetime.datetime) -> Verdict:
    """Judge what is left after a run. `acknowledged`: kind by uuid of every request that was answered with success."""
    effects = collections.Counter(effect["job"] for effect in state["effects"])
    by_asked = {job["args"][0]: job for job in state["jobs"] if job["args"] and job["name"] != "faults.again"}
    asked = [uuid for uuid, kind in acknowledged.items() if kind != "again"]
    verdict = Verdict(jobs=len(state["jobs"]), acknowledged=len(acknowledged), runs=len(state["runs"]))
    verdict.periods = sum(job["period"] != "" and job["state"] == "done" for job in state["jobs"])
    lost = [uuid for uuid in asked if not _is_done(by_asked.get(uuid), effects)]
    verdict.lost = lost + [job["uuid"] for job in state["jobs"] if _is_lost(job, effects)]
    verdict.doubled = [job for job, count in effects.items() if count > 1]
    verdict.set_aside = [job["uuid"] for job in state["jobs"] if job["state"] == "failed"]
    verdict.cut_off = sum(run["ended_at"] is None for run in state["runs"])
    verdict.overlapping, verdict.published_while_overlapping = _overlaps(state)
    verdict.unseen_topics = _unseen(state)
    verdict.settled_seconds, verdict.slowest = _settled(state["jobs"], restarted_at)
    plain = collections.Counter(effect["asked"] for effect in state["plain"])
    verdict.plain_asked = len(asked)
    verdict.plain_lost = sum(not plain[uuid] for uuid in asked)
    verdict.plain_doubled = sum(count > 1 for count in plain.values())
    return verdict


def _is_done(job: dict[str, Any] | None, effects: collections.Counter[str]) -> bool:
    return job is not None and job["state"] == "done" and effects[job["uuid"]] > 0


def _is_lost(job: dict[str, Any], effects: collections.Counter[str]) -> bool:
    """Said to be done without its effect; or left lying. The newest period may be about to begin."""
    if job["state"] == "done":
        return not effects[job["uuid"]]
    return job["state"] != "failed" and not job["period"]


def _overlaps(state: State) -> tuple[int, list[str]]:
    """Runs of one job at the same time, as far as the ledger knows, and jobs of which two such runs both published."""
    effect_at = {effect["run_id"]: _instant(effect["at"]) for effect in state["effects"]}
    runs = collections.defaultdict(list)
    for run in state["runs"]:
        # Killed: its last sign is what it published, if it did.
        end = _instant(run["ended_at"]) or effect_at.get(run["pk"]) or _instant(run["started_at"])
        runs[run["job"]].append((_instant(run["started_at"]), end, run["pk"] in effect_at))
    count, both = 0, []
    for job, several in runs.items():
        for (start, end, one), (next_start, next_end, other) in itertools.combinations(several, 2):
            if start < next_end and next_start < end:
                count += 1
                both += [job] if one and other else []
    return count, both


def _unseen(state: State) -> list[int]:
    seen: dict[int, int] = {}
    for effect in state["effects"]:
        if effect["topic"] is not None:
            seen[effect["topic"]] = max(effect["seen"], seen.get(effect["topic"], 0))
    return [told["topic"] for told in state["told"] if seen.get(told["topic"], 0) < told["newest"]]


def _settled(jobs: list[dict[str, Any]], restarted_at: datetime.datetime) -> tuple[float, str]:
    """The longest anybody's job took from the last restart or from when it was due, and which kind that was."""
    waits = [
        (_instant(job["finished_at"]) - max(restarted_at, _instant(job["run_at"])), job["name"])
        for job in jobs
        if job["finished_at"] and not job["period"]
    ]
    longest, name = max([(datetime.timedelta(0), ""), *waits])
    return longest.total_seconds(), name


def _instant(text: str | None) -> Any:
    return datetime.datetime.fromisoformat(text.replace("Z", "+00:00")) if text else None
