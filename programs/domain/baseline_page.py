"""A run of baseline tests as a list for its client: what is told, what comes next, and what is not for today."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from clients.errors import ClientsError
from clients.models import Client
from programs.choices import LoggedSide
from programs.domain.baseline import results_of, situation_of
from programs.domain.baseline_reading import amount_words, details_words
from programs.domain.baseline_rule import Offer, end_words, offer_of, offers
from programs.domain.instead import around
from programs.library.battery import BY_CODE
from programs.library.battery_schema import BatteryTest
from programs.models import BaselineRun, BaselineTest


@dataclass(frozen=True)
class Item:
    """One test of a run, with what was told of it so far."""

    offer: Offer
    told: tuple[BaselineTest, ...] = ()

    @property
    def test(self) -> BatteryTest:
        return self.offer.test

    @property
    def is_told(self) -> bool:
        return {row.side for row in self.told} >= {side.value for side in self.test.sides}

    @property
    def words(self) -> str:
        """What was told, side by side."""
        return " · ".join(_told_words(row) for row in self.told)


def _told_words(row: BaselineTest) -> str:
    said = amount_words(row)
    if row.side != LoggedSide.BOTH:
        said = f"{row.get_side_display()}: {said}"
    details = details_words(row)
    return f"{said} ({details})" if details else said


@dataclass(frozen=True)
class RunPage:
    run: BaselineRun
    told: tuple[Item, ...]
    # Offered and not told yet; the first is next.
    ahead: tuple[Item, ...]
    not_offered: tuple[Item, ...]
    # Why nothing may start, instead of the same sentence at every test.
    no_start: str

    @property
    def done_of(self) -> tuple[int, int]:
        return len(self.told), len(self.told) + len(self.ahead)


def run_page(run: BaselineRun, *, on: datetime.date) -> RunPage:
    situation = situation_of(run.client, run, on=on)
    results = results_of(run)
    rows = [_row(offer, results) for offer in offers(situation)]
    return RunPage(
        run,
        told=tuple(row for row in rows if row.is_told),
        ahead=tuple(row for row in rows if not row.is_told and row.offer.is_offered),
        not_offered=tuple(row for row in rows if not row.is_told and not row.offer.is_offered),
        no_start=situation.day.no_start,
    )


def _row(offer: Offer, results: Sequence[BaselineTest]) -> Item:
    return Item(offer, tuple(row for row in results if row.test == offer.test.code))


@dataclass(frozen=True)
class OneTest:
    """One test to do: how, when to stop, and the side that comes next."""

    offer: Offer
    side: LoggedSide
    current: BaselineTest | None
    told: tuple[BaselineTest, ...]

    @property
    def test(self) -> BatteryTest:
        return self.offer.test

    @property
    def end(self) -> str:
        return end_words(self.offer.test, self.offer.target)

    @property
    def is_one_sided(self) -> bool:
        return len(self.test.sides) > 1


def one_test(run: BaselineRun, code: str, side: str, *, on: datetime.date) -> OneTest | None:
    """The page of a test; None where there is no such one. Without a side, the first that is not told yet."""
    test = BY_CODE.get(code)
    if test is None or side not in {"", *test.sides}:
        return None
    told = {row.side: row for row in results_of(run) if row.test == code}
    open_sides = [one for one in test.sides if one not in told]
    asked = LoggedSide(side) if side else (open_sides or list(test.sides))[0]
    offer = offer_of(test, situation_of(run.client, run, on=on))
    return OneTest(offer, asked, told.get(asked), tuple(told.values()))


@dataclass(frozen=True)
class Preview:
    """What a baseline of a client would hold today, for the coach and before a run starts."""

    offered: tuple[Offer, ...]
    not_offered: tuple[Offer, ...]
    refusal: ClientsError | None


def preview(client: Client, *, on: datetime.date) -> Preview:
    found = offers(situation_of(client, None, on=on))
    return Preview(
        tuple(one for one in found if one.is_offered),
        tuple(one for one in found if not one.is_offered),
        around(client, on=on).refusal,
    )
