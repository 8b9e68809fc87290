"""How fast strength is expected to grow, by weeks of training."""

from math import log, sqrt

from methods.ranges import require_finite, require_not_negative

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

    Evidence: V (the ranges it passes through), A (the rate).

    Examples
    --------
    >>> round(growth_percent_steele(52), 1), round(growth_percent_steele(312), 1)
    (40.0, 57.9)
    """
    require_not_negative(weeks=weeks, rate=rate)
    return 100 * rate * log(weeks + 1)


def expected_rate_percent_per_week(training_weeks: float, rate: float = GROWTH_PER_LOG_WEEK) -> float:
    """Expect this rate of gain at a training age. [% per week]

    Evidence: A (the derivative of `growth_percent_steele`).

    Examples
    --------
    >>> round(expected_rate_percent_per_week(12), 3)
    0.616
    """
    require_not_negative(training_weeks=training_weeks, rate=rate)
    grown = 1 + rate * log(training_weeks + 1)
    return 100 * rate / ((training_weeks + 1) * grown)


def growth_percent_log(weeks: float, first_year_percent: float = 40.0) -> float:
    """Expect this gain by the plain logarithm of the weeks, from the gain of the first year. [%]

    Parameters
    ----------
    weeks : float, >= 1
    first_year_percent : float, >= 0
        Published for one session a week: 30 to 50. [%]

    Notes
    -----
    .. math:: gain = G_1 \\ln t / \\ln 52

    References
    ----------
    .. [1] J. Steele et al., Res Q Exerc Sport, vol. 94, pp. 913-930, 2023. doi:10.1080/02701367.2022.2070592

    Evidence: V (the ranges it passes through), A (the curve).

    Examples
    --------
    >>> round(growth_percent_log(12), 1)
    25.2
    """
    if not weeks >= 1:
        raise ValueError(f"weeks must be at least 1, got {weeks}")
    require_finite(weeks=weeks)
    require_not_negative(first_year_percent=first_year_percent)
    return first_year_percent * log(weeks) / log(52)


def smallest_detectable_rate_percent_per_week(exposures: int, cv_percent: float) -> float:
    """Give the smallest true rate that weekly exposures show with 80 % power, one-sided 5 %. [% per week]

    Parameters
    ----------
    exposures : int, >= 3
        One a week.
    cv_percent : float, >= 0
        Noise from session to session. [%]

    Notes
    -----
    .. math:: 2.486 CV / \\sqrt{n (n^2 - 1) / 12}

    Evidence: A (least squares with normal noise).

    Examples
    --------
    >>> round(smallest_detectable_rate_percent_per_week(8, 5), 2)
    1.92
    """
    if not exposures >= 3:
        raise ValueError(f"exposures must be at least 3, got {exposures}")
    require_not_negative(cv_percent=cv_percent)
    return 2.486 * cv_percent / sqrt(exposures * (exposures**2 - 1) / 12)
