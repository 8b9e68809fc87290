"""Comparisons with reference libraries, once per function. Apart, because importing them takes longer than the room."""

import pandas as pd
import pymannkendall
import scipy.stats
from sklearn.datasets import load_linnerud
from statsmodels.stats.proportion import proportion_confint

from methods import adherence, load, trend
from methods.measurement import smallest_worthwhile_change as swc
from tests.methods.registry import Check, Checks, Tag

L = Tag.LIBRARY
STEADY = [80, 81.5, 80.8, 83, 83.9, 83.2, 85.4, 86.1]
PLATES = [70, 70, 72.5, 72.5, 72.5, 75, 75, 75, 77.5, 77.5]
ONE_BAD_DAY = [50, 51, 52, 40, 53, 54, 55, 56, 57]


def _normal_line() -> tuple[object, ...]:
    line = trend.theil_sen(range(9), ONE_BAD_DAY, exact=False)
    return line.slope, line.intercept, line.low, line.high


def _tied() -> tuple[float, ...]:
    test = trend.mann_kendall(PLATES)
    return test.s, test.variance, test.z, test.p_two_sided


def library_checks() -> list[Check]:
    """Compare with pandas, pymannkendall, scipy, scikit-learn's data and statsmodels."""
    smooth, share, line = Checks("load"), Checks("adherence"), Checks("trend")
    by_pandas = pd.Series(range(9)).ewm(span=7, adjust=False).mean().tolist()
    smooth.add(
        L, "pandas ewm(span=7, adjust=False)", "ewma", "nine days", by_pandas, lambda: load.ewma([*range(9)], 7), 1e-12
    )
    wilson = tuple(float(bound) for bound in proportion_confint(7, 19, method="wilson"))
    share.add(L, "statsmodels proportion_confint", "wilson_interval", "7 of 19", wilson,
              lambda: adherence.wilson_interval(7, 19), 1e-9)  # fmt: skip
    test = pymannkendall.original_test(PLATES)
    expected = (test.s, test.var_s, test.z, test.p)
    line.add(L, "pymannkendall.original_test", "mann_kendall", "plate steps with ties", expected, _tied, 1e-6)
    exact = float(scipy.stats.kendalltau(range(8), STEADY).pvalue)
    line.add(L, "scipy.stats.kendalltau (exact)", "mann_kendall", "exact p without ties", exact,
             lambda: trend.mann_kendall(STEADY).p_two_sided, 1e-9)  # fmt: skip
    tau = float(scipy.stats.kendalltau(range(10), PLATES).statistic)
    line.add(
        L,
        "scipy.stats.kendalltau",
        "mann_kendall",
        "tau b with ties",
        tau,
        lambda: trend.mann_kendall(PLATES).tau_b,
        1e-9,
    )
    slopes = tuple(float(x) for x in scipy.stats.theilslopes(ONE_BAD_DAY, range(9), 0.95))
    line.add(L, "scipy.stats.theilslopes", "theil_sen", "one bad day, normal interval", slopes, _normal_line, 1e-9)
    exercise = load_linnerud().data
    chins, sit_ups = ([float(row[i]) for row in exercise] for i in range(2))
    line.add(L, "scikit-learn's Linnerud data, pandas std", "smallest_worthwhile_change", "chins",
             0.2 * float(pd.Series(chins).std()), lambda: swc(chins), 1e-9)  # fmt: skip
    by_scipy = float(scipy.stats.theilslopes(sit_ups, chins).slope)
    line.add(L, "scikit-learn's Linnerud data, scipy", "theil_sen", "sit-ups on chins", by_scipy,
             lambda: trend.theil_sen(chins, sit_ups, exact=False).slope, 1e-9)  # fmt: skip
    return [*smooth, *share, *line]
