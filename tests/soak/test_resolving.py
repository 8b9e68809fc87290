"""Every set of the main things and every area of the body, beside brute force: some minutes for each area."""

import itertools

import pytest

from tests.programs.domain import resolving_reference as reference
from tests.programs.domain.test_resolving import AREAS, MAIN, SHIPPED, SLUGS, STEPS, answer, ask, day, name_of


@pytest.mark.parametrize("area", ["none", *AREAS])
def test_every_set_of_main_items_and_every_area_against_brute_force(area):
    """4096 sets of things, 20 areas, every movement of the library: the possible ones against the reference."""
    barred = frozenset({area} - {"none"})
    for count in range(len(MAIN) + 1):
        for kinds in itertools.combinations(MAIN, count):
            today = day(*kinds, barred=barred)
            possible = {
                slug: reference.can_do(movement, ask(slug), today) for slug, movement in SHIPPED.movements.items()
            }
            for slug in SLUGS:
                expected = slug if possible[slug] else best_below(slug, possible)
                assert name_of(answer(slug, today)) == expected, (slug, kinds, area)


_RANKED = {}


def best_below(slug, possible):
    """Brute force once for each movement with everything possible but the ones found before: the whole order."""
    if slug not in _RANKED:
        gone, order = set(), []
        source = SHIPPED.movements[slug]
        while found := reference.best_easier(source, SHIPPED, STEPS, lambda other: other.slug not in gone):
            order.append(found)
            gone.add(found)
        _RANKED[slug] = order
    return next((other for other in _RANKED[slug] if possible[other]), None)
