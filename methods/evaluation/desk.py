"""The review queue: our order (warning signs, then the earliest promise) against first come, first served.

Assumptions: Poisson arrivals for 60 days to one coach who answers six hours a day, one item in about eight minutes
(exponential); one item in two hundred is a warning sign, the other lanes 10, 25, 45 and 20 %; utilisation 85 and 95 %.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from methods.queue import PROMISES, due_at, queue_key

MINUTES, HOURS_A_DAY, DAYS = 8.0, 6.0, 60
LANES = (0.005, 0.10, 0.25, 0.445, 0.20)
START = datetime(2026, 1, 5, 8)

Item = tuple[int, datetime, datetime, int]  # lane, due, submitted, number
Order = Callable[[Item], object]


def ours(item: Item) -> object:
    """Warning signs first, then the earliest promise."""
    lane, due, submitted, number = item
    return queue_key(lane, due, submitted, f"{number:06d}")


def first_come(item: Item) -> object:
    """First come, first served."""
    return item[2]


def strict_lanes(item: Item) -> object:
    """Every lane before the next."""
    return item[0], item[2]


ORDERS: dict[str, Order] = {"ours": ours, "first come, first served": first_come, "strict lanes": strict_lanes}


@dataclass(frozen=True, slots=True)
class DeskFigures:
    """How one order did."""

    answered: int
    late: int
    worst_wait_h: float
    worst_red_flag_wait_h: float


def run(seed: int, utilisation: float, name: str) -> DeskFigures:
    """Simulate one desk."""
    rng = np.random.default_rng([20260404, seed])
    items = _arrivals(rng, utilisation)
    minutes = rng.exponential(MINUTES, len(items))
    waiting: list[Item] = []
    now, done, late, worst, worst_red, position = START, 0, 0, 0.0, 0.0, 0
    while position < len(items) or waiting:
        while position < len(items) and items[position][2] <= now:
            waiting.append(items[position])
            position += 1
        if not waiting:
            now = _open(items[position][2])
            continue
        item = min(waiting, key=ORDERS[name])  # type: ignore[arg-type]
        waiting.remove(item)
        now = _open(now + timedelta(minutes=float(minutes[done])))
        done += 1
        waited = (now - item[2]).total_seconds() / 3600
        late += now > item[1] and item[0] > 0
        worst = max(worst, waited)
        worst_red = max(worst_red, waited) if item[0] == 0 else worst_red
    return DeskFigures(done, late, worst, worst_red)


def _open(moment: datetime) -> datetime:
    """Move a moment outside the coach's hours to the next opening."""
    opens = moment.replace(hour=8, minute=0, second=0, microsecond=0)
    if moment < opens:
        return opens
    return moment if moment < opens + timedelta(hours=HOURS_A_DAY) else opens + timedelta(days=1)


def _arrivals(rng: np.random.Generator, utilisation: float) -> list[Item]:
    a_day = utilisation * HOURS_A_DAY * 60 / MINUTES
    count = int(rng.poisson(a_day * DAYS))
    when = np.sort(rng.uniform(0, DAYS, count))
    lanes = rng.choice(len(LANES), size=count, p=LANES)
    items = []
    for number, (day, lane) in enumerate(zip(when, lanes, strict=True)):
        submitted = START + timedelta(days=float(day))
        items.append((int(lane), due_at(submitted, PROMISES[int(lane)]), submitted, number))
    return items
