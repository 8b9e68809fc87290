"""How a session changes from week to week: the steps a coach wrote beside each row, and less of it in a deload week."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import ROUND_DOWN, Decimal

from methods.easing import DELOAD_EXTRA_RIR, DELOAD_LOAD_SHARE, deload_sets
from methods.units import kg_from
from programs.choices import WORK_SECTIONS, LoadKind, SetKind
from programs.domain.rows import Row, level_rounds
from programs.errors import FromDeloadWeek

MOST_SETS, MOST_AMOUNT, MOST_LOAD, MOST_PERCENT = 20, 3600, Decimal(1000), Decimal(100)
# Ratings of effort begin at 1.
LEAST_RPE = Decimal(1)
# Lighter loads come out in whole steps of this, downwards.
LOAD_STEPS = {"kg": Decimal("0.5"), "lb": Decimal(1)}


def rows_in_week(rows: Sequence[Row], *, written_in: int, week: int, deload_week: int | None) -> list[Row]:
    """The rows of one week as they are in a later one. The deload week itself takes no step, and none starts from it.

    Raises FromDeloadWeek.
    """
    if written_in == deload_week:
        raise FromDeloadWeek
    times = len([later for later in range(written_in + 1, week + 1) if later != deload_week])
    stepped_rows = [stepped(row, times) for row in rows]
    return level_rounds([deloaded(row) for row in stepped_rows]) if week == deload_week else stepped_rows


def stepped(row: Row, times: int) -> Row:
    """A row after so many weekly steps. Nothing falls below one rep, one set, or no load; a cluster stays one."""
    if times < 1:
        return row
    more = replace(
        row,
        sets=_within(row.sets + times * row.step_sets, 1, MOST_SETS),
        amount_low=_within(row.amount_low + times * row.step_amount, 1, MOST_AMOUNT),
        amount_high=_within(row.amount_high + times * row.step_amount, (row.cluster_reps or 0) + 1, MOST_AMOUNT),
    )
    return _with_load(_with_effort(more, times * row.step_rir), times * row.step_load)


def _within(number: int, least: int, most: int) -> int:
    return max(least, min(most, number))


def _with_effort(row: Row, change: Decimal) -> Row:
    """Fewer in reserve is the same as a higher rating, on the same scale (Zourdos et al. 2016)."""
    if row.target_rir is not None:
        return replace(row, target_rir=max(Decimal(0), min(Decimal(10), row.target_rir + change)))
    if row.target_rpe is not None:
        return replace(row, target_rpe=max(LEAST_RPE, min(Decimal(10), row.target_rpe - change)))
    return row


def _with_load(row: Row, change: Decimal) -> Row:
    if not change:
        return row
    if row.percent_of_max is not None:
        # What a former publishing worked out goes with the old percentage.
        percent = max(Decimal("0.1"), min(MOST_PERCENT, row.percent_of_max + change))
        return replace(row, percent_of_max=percent, load_entered=None, load_unit="", load_kg=None)
    if row.load_entered is None:
        return row
    return with_load(row, max(Decimal(0), min(MOST_LOAD, row.load_entered + change)))


def with_load(row: Row, entered: Decimal) -> Row:
    return replace(row, load_entered=entered, load_kg=kg_from(entered, row.load_unit))


def deloaded(row: Row) -> Row:
    """A row in a deload week (methods.easing.deload): half the sets, two more in reserve, a tenth less load.

    A set to the limit becomes a work set. Warm-up sets and what is not strength stay.
    """
    if row.section not in WORK_SECTIONS or row.kind == SetKind.WARM_UP:
        return row
    is_all_out = row.kind == SetKind.MAX_REPS
    kind = SetKind.WORK.value if is_all_out else row.kind
    minutes = None if row.minutes is None else deload_sets(row.minutes)
    less = replace(row, kind=kind, sets=deload_sets(row.sets), minutes=minutes)
    return _lighter(_with_more_in_reserve(less, is_all_out=is_all_out))


def _with_more_in_reserve(row: Row, *, is_all_out: bool) -> Row:
    """Said as it was said. An effort that nobody stated stays so, but of what was all that could be done."""
    more = Decimal(str(DELOAD_EXTRA_RIR))
    if row.target_rir is None and row.target_rpe is None:
        return replace(row, target_rir=more) if is_all_out else row
    return _with_effort(row, more)


def _lighter(row: Row) -> Row:
    share = Decimal(str(DELOAD_LOAD_SHARE))
    if row.percent_of_max is not None and row.movement.load_kind == LoadKind.BODY_PLUS:
        # A tenth of a maximum with the body in it is most of what is added: half the sets are less enough.
        return row
    if row.percent_of_max is not None:
        percent = (row.percent_of_max * share).quantize(Decimal("0.1"), rounding=ROUND_DOWN)
        return replace(row, percent_of_max=max(Decimal("0.1"), percent), load_entered=None, load_unit="", load_kg=None)
    if row.load_entered is None:
        return row
    step = LOAD_STEPS[row.load_unit]
    lighter = (row.load_entered * share // step) * step
    # The smallest weight there is stays: without it, it would be another movement.
    return with_load(row, lighter) if lighter else row
