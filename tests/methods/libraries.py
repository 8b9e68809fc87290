"""Comparisons with reference libraries, once per function. Apart, because importing them takes longer than the room."""

from collections.abc import Callable

import numpy as np
import pandas as pd
import pymannkendall
import scipy.constants
import scipy.interpolate
import scipy.linalg
import scipy.optimize
import scipy.spatial.distance
import scipy.stats
import statsmodels.api as sm
from sklearn.datasets import load_linnerud
from statsmodels.stats.proportion import proportion_confint

from methods import (
    adherence,
    bodyweight,
    charts,
    geometry,
    growth,
    holds,
    load,
    measurement,
    queue,
    strength,
    trend,
    units,
    volume,
    wellness,
)
from tests.methods.registry import Check, Checks, Tag

STEADY = [80, 81.5, 80.8, 83, 83.9, 83.2, 85.4, 86.1]
PLATES = [70, 70, 72.5, 72.5, 72.5, 75, 75, 75, 77.5, 77.5]
ONE_BAD_DAY = [50, 51, 52, 40, 53, 54, 55, 56, 57]
DAYS = [300.0, 0, 450, 0, 310, 0, 120]
WEEKS = [1000.0, 1200, 900, 1300]


def _normal_line() -> tuple[object, ...]:
    line = trend.theil_sen(range(9), ONE_BAD_DAY, exact=False)
    return line.slope, line.intercept, line.low, line.high


def _tied() -> tuple[float, ...]:
    test = trend.mann_kendall(PLATES)
    return test.s, test.variance, test.z, test.p_two_sided, test.tau_b


def _tied_by_libraries() -> tuple[float, ...]:
    test = pymannkendall.original_test(PLATES)
    return test.s, test.var_s, test.z, test.p, float(scipy.stats.kendalltau(range(10), PLATES).statistic)


def _slope_error(exposures: int) -> float:
    """The standard error of a least-squares slope with unit noise, times the two normal quantiles of the power."""
    design = sm.add_constant(np.arange(exposures))
    error = sm.OLS(np.zeros(exposures), design).fit().normalized_cov_params[1, 1] ** 0.5
    return float(error * (scipy.stats.norm.ppf(0.95) + scipy.stats.norm.ppf(0.80)))


def _filtered_by_statsmodels() -> tuple[float, ...]:
    model = sm.tsa.UnobservedComponents(STEADY, "local level")
    model.ssm.initialize_approximate_diffuse(1e12)
    return tuple(float(level) for level in model.smooth([1, 0.1]).filtered_state[0])


def _waiting_by_chain(offered: float, servers: int, longest: int = 400) -> float:
    """Probability of waiting in the stationary birth-and-death chain, cut at a length that is never reached."""
    rates = np.zeros((longest + 1, longest + 1))
    for n in range(longest):
        rates[n, n + 1], rates[n + 1, n] = offered, min(n + 1, servers)
    rates -= np.diag(rates.sum(axis=1))
    system = np.vstack([rates.T, np.ones(longest + 1)])
    shares = scipy.linalg.lstsq(system, np.append(np.zeros(longest + 1), 1.0))[0]
    return float(shares[servers:].sum())


def library_checks() -> list[Check]:
    """Compare with numpy, pandas, pymannkendall, scipy, scikit-learn's data and statsmodels."""
    found: dict[str, Checks] = {}

    def add(library: str, method: str, case: str, expected: object, got: Callable[[], object], near: float) -> None:
        module, name = method.split(".")
        found.setdefault(module, Checks(module)).add(Tag.LIBRARY, library, name, case, expected, got, near)

    add("scipy.constants", "units.kg_from", "1 lb", scipy.constants.pound, lambda: units.kg_from(1.0, "lb"), 1e-15)
    add("scipy.constants", "units.metres_from", "1 in", scipy.constants.inch, lambda: units.metres_from(1, "in"), 1e-15)
    by_pandas = pd.Series(range(9)).ewm(span=7, adjust=False).mean().tolist()
    add("pandas ewm", "load.ewma", "nine days", by_pandas, lambda: load.ewma([*range(9)], 7), 1e-12)
    slow = pd.Series(DAYS).ewm(span=28, adjust=False).mean().tolist()
    add("pandas ewm", "load.ewma_array", "a week", slow, lambda: list(load.ewma_array([DAYS], 28)[0]), 1e-9)
    same = float(np.mean(DAYS) / np.std(DAYS, ddof=1))
    add("numpy", "load.monotony", "a week, sample SD", same, lambda: load.monotony(DAYS, ddof=1), 1e-12)
    ratio = WEEKS[-1] / float(pd.Series(WEEKS).rolling(4).mean().iloc[-1])
    add(
        "pandas rolling", "load.rolling_ratio", "coupled", ratio, lambda: load.rolling_ratio(WEEKS, coupled=True), 1e-12
    )
    mean = float(pd.Series(WEEKS).rolling(4).mean().iloc[-1])
    add(
        "pandas rolling", "load.mean_of_previous_weeks", "four", mean, lambda: load.mean_of_previous_weeks(WEEKS), 1e-12
    )

    wilson = tuple(float(bound) for bound in proportion_confint(7, 19, method="wilson"))
    add("statsmodels", "adherence.wilson_interval", "7 of 19", wilson, lambda: adherence.wilson_interval(7, 19), 1e-9)
    add("pymannkendall, scipy", "trend.mann_kendall", "plate steps, ties", _tied_by_libraries(), _tied, 1e-6)
    exact = float(scipy.stats.kendalltau(range(8), STEADY, alternative="greater").pvalue)
    add("scipy kendalltau", "trend.mann_kendall_upper_p", "n 8, S 24", exact,
        lambda: trend.mann_kendall_upper_p(8, 24), 1e-9)  # fmt: skip
    slopes = tuple(float(x) for x in scipy.stats.theilslopes(ONE_BAD_DAY, range(9), 0.95))
    add("scipy theilslopes", "trend.theil_sen", "one bad day, normal interval", slopes, _normal_line, 1e-9)

    chins = [float(row[0]) for row in load_linnerud().data]
    add("scikit-learn's Linnerud data, pandas", "measurement.smallest_worthwhile_change", "chins",
        0.2 * float(pd.Series(chins).std()), lambda: measurement.smallest_worthwhile_change(chins), 1e-9)  # fmt: skip
    again = [c + d for c, d in zip(chins, (1, -2, 0, 3) * 5, strict=True)]
    error = float((pd.Series(again) - pd.Series(chins)).std() / 2**0.5)
    add(
        "pandas",
        "measurement.typical_error",
        "chins twice",
        error,
        lambda: measurement.typical_error(chins, again),
        1e-9,
    )
    change = float(scipy.stats.norm.ppf(0.95) * 2**0.5)
    add("scipy norm", "measurement.minimal_detectable_change", "1 at 90 %", change,
        lambda: measurement.minimal_detectable_change(1, confidence=0.90), 1e-9)  # fmt: skip
    add(
        "statsmodels OLS, scipy norm",
        "growth.smallest_detectable_rate_percent_per_week",
        "n 12, CV 1",
        _slope_error(12),
        lambda: growth.smallest_detectable_rate_percent_per_week(12, 1),
        1e-4,
    )
    before = np.array(DAYS)
    z = float((200 - np.tile(before, 2).mean()) / np.tile(before, 2).std(ddof=1))
    add("numpy", "wellness.own_z", "two weeks", z, lambda: wellness.own_z(200, DAYS * 2), 1e-9)

    add("statsmodels UnobservedComponents", "charts.local_level", "steady gain", _filtered_by_statsmodels(),
        lambda: charts.local_level(STEADY, noise_variance=1, step_variance=0.1).levels, 1e-4)  # fmt: skip
    smooth = pd.Series([80.0, *STEADY]).ewm(alpha=0.3, adjust=False).mean().tolist()[1:]
    add("pandas ewm", "charts.ewma_chart", "from its centre", tuple(smooth),
        lambda: charts.ewma_chart(STEADY, centre=80, sigma=1, weight=0.3).smoothed, 1e-9)  # fmt: skip
    add("scipy, stationary chain", "queue.erlang_c", "6 erlang, 8 servers", _waiting_by_chain(6, 8),
        lambda: queue.erlang_c(6, 1, 8).probability_of_waiting, 1e-8)  # fmt: skip
    cosine = 1 - scipy.spatial.distance.cosine((-20, -100), (-40, 90))
    add("scipy cosine", "geometry.three_point_angle_deg", "knee", float(np.degrees(np.arccos(cosine))),
        lambda: geometry.three_point_angle_deg((100, 50), (120, 150), (80, 240)), 1e-9)  # fmt: skip

    add("numpy interp", "strength.handbook_percent", "13.5", float(np.interp(13.5, [12, 15], [67, 65])),
        lambda: strength.handbook_percent(13.5), 1e-12)  # fmt: skip
    add("numpy interp", "strength.repetitions_at_percent_nuzzo", "72 %", float(np.interp(72, [70, 75], [15, 12])),
        lambda: strength.repetitions_at_percent_nuzzo(72), 1e-12)  # fmt: skip
    hands = scipy.interpolate.make_interp_spline([0, 0.3048, 0.6096], [0.64, 0.55, 0.41], k=1)
    add("scipy linear spline", "bodyweight.push_up_share", "hands at 0.4 m", float(hands(0.4)),
        lambda: bodyweight.push_up_share(hands_elevation_m=0.4).value, 1e-12)  # fmt: skip
    add(
        "numpy interp",
        "bodyweight.row_share_from_vertical",
        "52 degrees",
        float(np.interp(52, [45, 60], [0.5288, 0.6808])),
        lambda: bodyweight.row_share_from_vertical(52).value,
        1e-12,
    )
    kept = float(scipy.optimize.brentq(lambda q: 1 + q + q * q - 2.4, 0, 1))
    add("scipy brentq", "volume.retention_per_set", "24 of 30", kept, lambda: volume.retention_per_set(24, 10), 1e-9)
    effort = float(scipy.optimize.brentq(lambda f: 22.69 * f**-2.27 - 75, 0.1, 0.95))
    add("scipy brentq", "holds.intensity_for_endurance_frey_law", "trunk, 75 s", effort,
        lambda: holds.intensity_for_endurance_frey_law(75, "trunk"), 1e-9)  # fmt: skip
    return [check for checks in found.values() for check in checks]
