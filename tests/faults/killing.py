"""A run under fire: people ask for work while processes are killed, the broker is emptied, and all starts again."""

import contextlib
import datetime
import http.client
import os
import random
import signal
import threading
import time
import uuid
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from tests.faults.house import BrokenAnswerError, House
from tests.faults.verdict import Verdict, judge

# Seldom a long one: each takes one of two places in the pool for several leases.
MIX = ["short"] * 26 + ["again"] * 6 + ["fails_twice"] * 5 + ["long"] * 3
# What must be settled within half a minute must first fit: here the work asked for takes a half of the pool's time.
MIX_THAT_FITS = ["short"] * 28 + ["again"] * 6 + ["fails_twice"] * 5 + ["long"]
TOPICS = 7
VICTIMS = ["web", "worker", "scheduler", "pool child", "everything"]
PAUSED = "paused pool child"
IN_MID_JOB = ["worker", "pool child", "everything", PAUSED]


@dataclass
class Asking:
    """Two people who ask for work by HTTP, and ask again when they are not answered; one in five gives up then."""

    house: House
    chance: random.Random
    planned: list[str]
    pause: float
    acknowledged: dict[str, str] = field(default_factory=dict)
    unanswered: int = 0
    broken: list[str] = field(default_factory=list)
    threads: list[threading.Thread] = field(default_factory=list)

    def start(self) -> None:
        self.threads = [threading.Thread(target=self._ask_all, args=(self.planned[n::2],)) for n in range(2)]
        for thread in self.threads:
            thread.start()

    def join(self) -> None:
        for thread in self.threads:
            thread.join()

    def is_over(self) -> bool:
        return not any(thread.is_alive() for thread in self.threads)

    def _ask_all(self, kinds: list[str]) -> None:
        for kind in kinds:
            self._ask(kind, str(uuid.uuid4()))
            time.sleep(self.pause * self.chance.uniform(0.5, 1.5))

    def _ask(self, kind: str, asked: str) -> None:
        said = {"topic": str(self.chance.randrange(TOPICS))} if kind == "again" else {}
        while True:
            try:
                self.house.ask(kind, asked=asked, **said)
            except (OSError, http.client.HTTPException):
                self.unanswered += 1
                if self.chance.random() < 0.2:
                    return
                time.sleep(0.3)
            except BrokenAnswerError as error:
                self.broken.append(str(error))
                return
            else:
                self.acknowledged[asked] = kind
                return


@dataclass
class Killing:
    """The same victims, chosen by a seed, for both ways: what hits our worker hits the contrast's."""

    house: House
    chance: random.Random
    victims: Counter[str] = field(default_factory=Counter)
    boots: list[float] = field(default_factory=list)
    wiped: int = 0
    messages_wiped: int = 0
    restarted_at: datetime.datetime = field(default_factory=lambda: datetime.datetime.now(datetime.UTC))
    restarted: float = field(default_factory=time.monotonic)

    @property
    def lease_seconds(self) -> float:
        return float(self.house.environment["FAULTS_LEASE_SECONDS"])

    def kill(self, victim: str) -> None:
        self.victims[victim] += 1
        at_work = self._wait_for_a_job() if victim in IN_MID_JOB else []
        if victim == "pool child":
            self._kill_children(at_work)
        elif victim == PAUSED:
            self._pause(at_work)
        else:
            self._kill_groups(victim)
        self.restarted_at, self.restarted = datetime.datetime.now(datetime.UTC), time.monotonic()

    def _wait_for_a_job(self) -> list[int]:
        """Until some child of the worker is in the middle of one; a while at most."""
        deadline = time.monotonic() + 5
        while not (at_work := self.house.at_work(self.house.groups["worker"])) and time.monotonic() < deadline:
            time.sleep(0.05)
        return at_work

    def _kill_children(self, at_work: list[int]) -> None:
        plain = self.house.groups["plain"].pool()
        for children in (at_work or self.house.groups["worker"].pool(), plain):
            for child in children[:1]:
                _signal(child, signal.SIGKILL)

    def _kill_groups(self, victim: str) -> None:
        names = {"worker": ["worker", "plain"], "everything": list(self.house.groups)}.get(victim, [victim])
        groups = [self.house.groups[name] for name in names if name in self.house.groups]
        for group in groups:
            group.kill()
        if victim == "everything" or self.chance.random() < 0.4:
            self.wiped += 1
            self.messages_wiped += self.house.wipe_broker()
        time.sleep(self.chance.uniform(0.1, 1.0))
        began, since = time.monotonic(), datetime.datetime.now(datetime.UTC)
        for group in groups:
            group.start()
        self.house.wait_until_up(*{"worker", "scheduler"} & {group.name for group in groups}, since=since)
        self.boots.append(time.monotonic() - began)

    def _pause(self, at_work: list[int]) -> None:
        """Longer than a lease, as a machine that slept: it wakes in the middle of a job that is no longer its own."""
        for child in at_work[:1]:
            _signal(child, signal.SIGSTOP)
            time.sleep(2.5 * self.lease_seconds)
            _signal(child, signal.SIGCONT)


def _signal(pid: int, number: signal.Signals) -> None:
    with contextlib.suppress(ProcessLookupError):
        os.kill(pid, number)


@dataclass
class Report:
    """What was done to a house, and what came of it."""

    shape: str
    seed: int
    seconds: float
    requests: int
    unanswered: int
    broken: list[str]
    victims: dict[str, int]
    # Seconds until a restarted process was there again.
    slowest_boot: float
    wiped: int
    messages_wiped: int
    verdict: Verdict
    # The other way was counted so long after the last restart.
    plain_waited: float

    @property
    def kills(self) -> int:
        return sum(count for victim, count in self.victims.items() if victim != PAUSED)

    def lines(self) -> Iterator[str]:
        seen = self.verdict
        victims = ", ".join(f"{name} {count}" for name, count in sorted(self.victims.items()))
        yield f"{self.shape}, seed {self.seed}, {self.seconds:.0f} s"
        yield f"  {self.requests} requests, {seen.acknowledged} acknowledged, {self.unanswered} times no answer"
        yield f"  {self.kills} kills: {victims}; broker emptied {self.wiped} times ({self.messages_wiped} messages)"
        yield f"  {seen.jobs} jobs, {seen.periods} of them periods; {seen.runs} runs, {seen.cut_off} cut off,"
        yield f"  {seen.overlapping} times two runs of a job at once; at most {self.slowest_boot:.0f} s to start again"
        yield f"  rows:         lost {len(seen.lost)}, doubled {len(seen.doubled)}"
        yield f"                settled in {seen.settled_seconds:.1f} s ({seen.slowest})"
        yield f"  plain Celery: lost {seen.plain_lost}, doubled {seen.plain_doubled} of {seen.plain_asked}, "
        yield f"                counted {self.plain_waited:.0f} s after the last restart"


def run(
    house: House,
    *,
    seed: int,
    count: int,
    kills: int,
    pause: float,
    every: float,
    plain_patience: float,
    mix: list[str] = MIX,
) -> Report:
    """Ask for `count` jobs of a mix, kill `kills` times meanwhile, and judge what is left."""
    began, chance = time.monotonic(), random.Random(seed)
    planned = (mix * (count // len(mix) + 1))[:count]
    chance.shuffle(planned)
    for kind in ("web", "worker", "scheduler", "plain"):
        house.add(kind)
    house.start()
    house.wait_until_up("worker", "scheduler")
    asking, killing = Asking(house, random.Random(seed + 1), planned, pause), Killing(house, chance)
    asking.start()
    for victim in _victims(chance, kills):
        time.sleep(chance.uniform(0.5, 1.5) * every)
        killing.kill(victim)
    asking.join()
    house.wait_until_done(seconds=180)
    _wait_for_plain(house, until=killing.restarted + plain_patience)
    waited = time.monotonic() - killing.restarted
    verdict = judge(house.state(), acknowledged=asking.acknowledged, restarted_at=killing.restarted_at)
    return Report(
        shape=house.shape,
        seed=seed,
        seconds=time.monotonic() - began,
        requests=count,
        unanswered=asking.unanswered,
        broken=asking.broken,
        victims=dict(killing.victims),
        slowest_boot=max(killing.boots, default=0.0),
        wiped=killing.wiped,
        messages_wiped=killing.messages_wiped,
        verdict=verdict,
        plain_waited=waited,
    )


def _victims(chance: random.Random, kills: int) -> list[str]:
    """Each kind as often as the others, in an order of its own each time. Between rounds a child is only paused."""
    chosen: list[str] = []
    for _ in range(kills // len(VICTIMS)):
        chosen += [*chance.sample(VICTIMS, len(VICTIMS)), PAUSED]
    return chosen + chance.sample(VICTIMS, kills % len(VICTIMS))


def _wait_for_plain(house: House, *, until: float) -> None:
    while house.unfinished()["plain"] and time.monotonic() < until:
        time.sleep(0.5)
