"""How one client is, for the coach: check-ins against the client's own usual, and pain over time. No score, no rank."""

import datetime
import statistics
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from clients.domain.check_ins import index_of
from clients.library.check_ins import ITEMS, Item
from clients.models import CheckIn, Client, PainReport
from methods.pain import PainChange, pain_change_farrar
from methods.undefined import Undefined
from methods.wellness import MAX_BASE_DAYS, MIN_BASE_DAYS, NOTICE_ITEM_POINTS, NOTICE_OF, own_z, worth_asking

PAIN_WEEKS = 8
WEEK_DAYS = 7


@dataclass(frozen=True)
class ItemChange:
    """One answer, beside what this client usually answers; no usual before there are ten earlier answers."""

    item: Item
    value: int | None
    usual: float | None

    @property
    def change(self) -> float | None:
        return None if self.value is None or self.usual is None else self.value - self.usual

    @property
    def change_signed(self) -> str:
        return _signed(self.change)

    @property
    def is_a_whole_point(self) -> bool:
        """As much as methods.wellness takes for a change of one item."""
        return self.change is not None and abs(self.change) >= NOTICE_ITEM_POINTS


@dataclass(frozen=True)
class Compared:
    """A check-in against those before it."""

    check_in: CheckIn
    index: float | None
    usual: float | None
    # In the client's own standard deviations; a reason where there is none.
    z: float | Undefined
    items: list[ItemChange]
    is_worth_asking: bool

    @property
    def change(self) -> float | None:
        return None if self.index is None or self.usual is None else self.index - self.usual

    @property
    def change_signed(self) -> str:
        return _signed(self.change)

    @property
    def z_signed(self) -> str:
        return "" if isinstance(self.z, Undefined) else _signed(self.z)

    @property
    def no_usual_because(self) -> str:
        return self.z.reason if isinstance(self.z, Undefined) else ""


def compare_with_usual(check_ins: Sequence[CheckIn]) -> list[Compared]:
    """Each of these, the oldest first, against the up to 28 before it that say the same thing."""
    indices = [_known(index_of(each)) for each in check_ins]
    answers = {item.code: [getattr(each, item.code) for each in check_ins] for item in ITEMS}
    found: list[Compared] = []
    for n, check_in in enumerate(check_ins):
        index, base = indices[n], _base(indices[:n])
        z = Undefined("an answer was left out") if index is None else own_z(index, base)
        items = [ItemChange(item, answers[item.code][n], _usual(_base(answers[item.code][:n]))) for item in ITEMS]
        largest = max((abs(each.change) for each in items if each.change is not None), default=0.0)
        recent = [*(each.z for each in found[-(NOTICE_OF - 1) :]), z]
        found.append(Compared(check_in, index, _usual(base), z, items, worth_asking(recent, largest)))
    return found


def _known(index: float | Undefined) -> float | None:
    return None if isinstance(index, Undefined) else index


def _base(values: Sequence[float | None]) -> list[float]:
    return [value for value in values if value is not None][-MAX_BASE_DAYS:]


def _usual(base: Sequence[float]) -> float | None:
    return statistics.fmean(base) if len(base) >= MIN_BASE_DAYS else None


def _signed(change: float | None) -> str:
    """With its sign, as a change is read."""
    if change is None:
        return "–"
    return f"{abs(change):.1f}" if round(change, 1) == 0 else f"{change:+.1f}".replace("-", "\N{MINUS SIGN}")


@dataclass(frozen=True)
class PainOverTime:
    """Two ratings of one area and the published size of an important improvement beside them: no verdict of ours."""

    since: datetime.date
    until: datetime.date
    before: int
    now: int
    change: PainChange

    @property
    def points_signed(self) -> str:
        return f"{self.change.points:+d}".replace("-", "\N{MINUS SIGN}") if self.change.points else "0"

    @property
    def percent_signed(self) -> str:
        """Empty when there was no pain before: nothing is a share of that."""
        if isinstance(self.change.percent, Undefined):
            return ""
        rounded = round(self.change.percent)
        return f"{rounded:+d}".replace("-", "\N{MINUS SIGN}") if rounded else "0"


@dataclass(frozen=True)
class AreaPain:
    """What was told about one area of the body, the oldest first."""

    reports: list[PainReport]

    @property
    def newest(self) -> PainReport:
        return self.reports[-1]

    @property
    def worst(self) -> int | None:
        """None while nobody has rated it."""
        rated = [report for report in self.reports if report.during is not None or report.after is not None]
        return max((worst_of(report) for report in rated), default=None)

    @property
    def change(self) -> PainOverTime | None:
        """The first rating while training beside the newest; only when more than a week lies between them."""
        rated = [(report.on, report.during) for report in self.reports if report.during is not None]
        if not rated or (rated[-1][0] - rated[0][0]).days <= WEEK_DAYS:
            return None
        (since, before), (until, now) = rated[0], rated[-1]
        return PainOverTime(since, until, before, now, pain_change_farrar(before, now))


def worst_of(report: PainReport) -> int:
    return max(report.during or 0, report.after or 0)


def pain_by_area(client: Client, *, on: datetime.date) -> list[AreaPain]:
    """The last eight weeks, area by area, the one told last first."""
    since = on - datetime.timedelta(weeks=PAIN_WEEKS)
    told = PainReport.objects.pains().filter(client=client, on__gt=since, on__lte=on).order_by("on", "pk")
    areas: dict[tuple[str, str], list[PainReport]] = defaultdict(list)
    for report in told:
        areas[report.area, report.side].append(report)
    return sorted((AreaPain(reports) for reports in areas.values()), key=lambda area: area.newest.on, reverse=True)


def soreness_told(client: Client, *, on: datetime.date) -> list[PainReport]:
    """What the client called their usual muscle soreness and the rule let pass, of the last two weeks."""
    since = on - datetime.timedelta(weeks=2)
    told = PainReport.objects.soreness().filter(client=client, on__gt=since, on__lte=on)
    return list(told.order_by("-on", "-pk"))
