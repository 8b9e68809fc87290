"""What the rules see in a movement's numbers over weeks: comparable exposures in, a verdict with its doubt out."""

import datetime
import uuid
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from clients.domain.check_ins import index_of
from clients.models import CheckIn, Client
from coaching.domain.weekly import work_sets
from coaching.models import Observation
from methods.plateau import HISTORY_WEEKS, judge_movements
from methods.plateau import Exposure as Point
from methods.strength import estimated_maximum_from_set
from methods.undefined import Undefined
from methods.verdict import TrendVerdict, Verdict, judge_trend
from programs.choices import STEPPED_SETS, Measure
from programs.models import SetLog

WINDOW_WEEKS = 26
# People stop where the prescription stops. So many at the top in a row are no stall: a step is due, or was not given.
EXPOSURES_AT_THE_TOP = 2


@dataclass(frozen=True)
class Exposure:
    """The best comparable set of one day."""

    day: datetime.date
    value: float


@dataclass(frozen=True)
class Series:
    """One movement's exposures in one unit."""

    lineage: uuid.UUID
    movement_name: str
    unit: str
    exposures: list[Exposure]
    # The last ones ended where the prescription ends: what more would be possible is not seen.
    stops_at_the_top: bool = False


def series_of(client: Client, sets: list[SetLog] | None = None) -> list[Series]:
    """Per movement: estimated maximum where reps, load and reserve are known, else seconds, else reps.

    The same movement in two sessions of a week is one series: what was lifted is comparable wherever it was planned.
    """
    grouped: dict[int, list[SetLog]] = defaultdict(list)
    for log in work_sets(client) if sets is None else sets:
        if log.kind in STEPPED_SETS:
            grouped[log.movement.movement_id].append(log)
    newest: dict[uuid.UUID, Series] = {}
    for logs in grouped.values():
        series = _series(logs[-1].lineage, logs)
        known = newest.get(series.lineage)
        # After a step along the line, only the movement that is trained now says something about now.
        if known is None or series.exposures[-1].day >= known.exposures[-1].day:
            newest[series.lineage] = series
    return sorted(newest.values(), key=lambda each: (each.movement_name, str(each.lineage)))


def _series(lineage: uuid.UUID, logs: list[SetLog]) -> Series:
    name = logs[-1].movement.name
    if logs[-1].movement.measure == Measure.SECONDS:
        held = _best(logs, lambda log: float(log.seconds) if log.seconds else None)
        return Series(lineage, name, "s", held, _stops_at_the_top(logs, held))
    maxima = _best(logs, _maximum)
    days = {log.training_day for log in logs}
    # An estimate for most days, or it would be a series of exceptions.
    if len(maxima) * 2 > len(days):
        return Series(lineage, name, "kg", maxima)
    reps = _best(logs, lambda log: float(log.repetitions) if log.repetitions else None)
    return Series(lineage, name, "reps", reps, _stops_at_the_top(logs, reps))


def _stops_at_the_top(logs: list[SetLog], exposures: list[Exposure]) -> bool:
    tops: dict[datetime.date, int] = {}
    for log in logs:
        if log.prescription is not None:
            tops[log.training_day] = max(log.prescription.amount_high, tops.get(log.training_day, 0))
    last = exposures[-EXPOSURES_AT_THE_TOP:]
    return all(tops.get(exposure.day) is not None and exposure.value >= tops[exposure.day] for exposure in last)


def _maximum(log: SetLog) -> float | None:
    load = Undefined("unknown") if log.system_load_kg is None else float(log.system_load_kg)
    rir = float(log.rir) if log.rir is not None else None
    value = estimated_maximum_from_set(load, log.repetitions or 0, rir)
    return None if isinstance(value, Undefined) else value


def _best(logs: list[SetLog], value_of: Callable[[SetLog], float | None]) -> list[Exposure]:
    best: dict[datetime.date, float] = {}
    for log in logs:
        value = value_of(log)
        if value is not None:
            best[log.training_day] = max(best.get(log.training_day, value), value)
    if not best:
        return [Exposure(logs[-1].training_day, 0.0)]
    return [Exposure(day, best[day]) for day in sorted(best)]


def observations(client: Client, *, today: datetime.date, sets: list[SetLog] | None = None) -> list[Observation]:
    """One per movement that is still trained, not saved. Maxima are judged together, the rest each for itself."""
    since = today - datetime.timedelta(weeks=WINDOW_WEEKS)
    trained = [series for series in series_of(client, sets) if series.exposures[-1].day > since]
    start = client.training_since or min((series.exposures[0].day for series in trained), default=today)
    weeks, day = max(0.0, (today - start).days / 7), float((today - start).days)
    points = {
        str(series.lineage): [(float((e.day - start).days), e.value) for e in series.exposures if e.value > 0]
        for series in trained
    }
    in_kg = {str(series.lineage) for series in trained if series.unit == "kg"}
    verdicts = {key: judge_trend(each, weeks, as_of_day=day) for key, each in points.items() if key not in in_kg}
    if in_kg:
        told = _check_ins(client, start=start, today=today)
        movements = {key: points[key] for key in sorted(in_kg)}
        verdicts |= judge_movements(movements, weeks, as_of_day=day, check_ins=told)
    return [_observe(client, series, verdicts[str(series.lineage)]) for series in trained]


def _check_ins(client: Client, *, start: datetime.date, today: datetime.date) -> list[Point]:
    """The sums of complete check-ins by day, as far back as the numbers of the movements are looked at."""
    since = max(start, today - datetime.timedelta(weeks=HISTORY_WEEKS))
    told = CheckIn.objects.current().filter(client=client, told_on__gte=since, told_on__lte=today).order_by("told_on")
    sums = [(float((each.told_on - start).days), index_of(each)) for each in told]
    return [(day, value) for day, value in sums if not isinstance(value, Undefined)]


def _observe(client: Client, series: Series, verdict: TrendVerdict) -> Observation:
    capped = series.stops_at_the_top and verdict.verdict == Verdict.STALLED
    return Observation(
        practice_id=client.practice_id,
        client=client,
        lineage=series.lineage,
        movement_name=series.movement_name,
        verdict=Verdict.UNCLEAR.name if capped else verdict.verdict.name,
        reason=_("it stops at the top of what is prescribed, so more cannot be seen") if capped else verdict.reason,
        numbers={
            "n": verdict.n,
            "span_weeks": verdict.span_weeks,
            "slope_pct_per_week": verdict.slope_pct_per_week,
            "ci": list(verdict.ci) if verdict.ci else None,
            "unit": series.unit,
            "last_day": str(series.exposures[-1].day),
        },
    )
