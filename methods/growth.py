"""How fast strength is expected to grow, by weeks of training."""

from math import log

GROWTH_PER_LOG_WEEK = 0.40 / log(53)


def growth_percent_steele(weeks: float, rate: float = GROWTH_PER_LOG_WEEK) -> float:
    """Expect this gain in strength after so many weeks of training. [%]

    Notes
    -----
    .. math:: gain = 100 b \\ln(w + 1)

    b makes 40 % in the first year, inside the published 30 to 50; it then gives 58 % after six years, inside the
    published 50 to 60.

    References
    ----------
    .. [1] J. Steele et al., Res Q Exerc Sport, vol. 94, pp. 913-930, 2023. doi:10.1080/02701367.2022.2070592

    Examples
    --------
    >>> round(growth_percent_steele(52), 1), round(growth_percent_steele(312), 1)
    (40.0, 57.9)
    """
    if weeks < 0 or rate < 0:
        raise ValueError("weeks and rate must not be negative")
    return 100 * rate * log(weeks + 1)


def expected_rate_percent_per_week(training_weeks: float, rate: float = GROWTH_PER_LOG_WEEK) -> float:
    """Expect this rate of gain at a training age. [% per week]

    Examples
    --------
    >>> round(expected_rate_percent_per_week(12), 3)
    0.616
    """
    if training_weeks < 0:
        raise ValueError(f"training_weeks must not be negative, got {training_weeks}")
    grown = 1 + rate * log(training_weeks + 1)
    return 100 * rate / ((training_weeks + 1) * grown)
