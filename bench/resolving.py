"""How many prescriptions the resolver answers in a second, over the shipped library and random rooms."""

import os
import random
import sys
import time
from decimal import Decimal

LEAST_A_SECOND = 5_000
QUESTIONS = 20_000


def main() -> int:
    rate, found = measure()
    print(f"{rate:,.0f} resolutions a second, {found:.0%} with an answer; at least {LEAST_A_SECOND:,} are wanted.")
    return 0 if rate >= LEAST_A_SECOND else 1


def measure() -> tuple[float, float]:
    """Resolutions a second, and the part of them that found a movement. The library is read before the clock starts."""
    from clients.choices import Area, ItemKind  # noqa: PLC0415 -- models, once Django is set up
    from programs.domain.graph import shipped_graph  # noqa: PLC0415
    from programs.domain.resolving import Asked, Day, Want, resolve  # noqa: PLC0415

    chance, graph = random.Random(7), shipped_graph()
    kinds, areas, wants = sorted(ItemKind.values), sorted(Area.values), list(Want)
    slugs = sorted(graph.movements)
    asked = []
    for _number in range(QUESTIONS):
        there = frozenset({"floor", "wall", *chance.sample(kinds, chance.randint(0, 8))})
        barred = frozenset(chance.sample(areas, chance.randint(0, 2)))
        known = dict.fromkeys(chance.sample(slugs, 40), chance.randint(1, 30))
        dose = Asked(graph.movements[chance.choice(slugs)], target_rir=Decimal(2))
        asked.append((dose, Day(there, there, barred=barred, days_since=known), chance.choice(wants)))
    started = time.perf_counter()
    found = sum(resolve(dose, day, graph, want).dose is not None for dose, day, want in asked)
    return QUESTIONS / (time.perf_counter() - started), found / QUESTIONS


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.settings.test")
    import django

    django.setup()
    sys.exit(main())
