"""Pre-participation screening by the published algorithm: outcome, intensity ceiling and expiry."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from enum import Enum, IntEnum, StrEnum

from methods.ranges import require_between, require_not_negative
from methods.referral import ReferFirst


class Intensity(IntEnum):
    """How hard someone may work. Ordered: a ceiling allows everything up to itself."""

    NONE = 0
    LIGHT = 1
    MODERATE = 2
    VIGOROUS = 3


class ScreeningCode(StrEnum):
    """The six cells: N not a regular exerciser, R regular."""

    N1 = "N1"
    N2 = "N2"
    N3 = "N3"
    R1 = "R1"
    R2 = "R2"
    R3 = "R3"


class Outcome(Enum):
    """What follows from a screening."""

    INCOMPLETE = "incomplete"
    OK = "ok"
    OK_MODERATE_ONLY = "ok_moderate_only"
    CLEARANCE_NEEDED = "clearance_needed"
    STOP_REFER = "stop_refer"


VALID_MONTHS = 12.0  # ask again after a year and after any change of health
MAX_CLEARANCE_AGE_MONTHS = 12.0

REGULAR_MIN_MINUTES = 30
REGULAR_MIN_DAYS_A_WEEK = 3
REGULAR_MIN_MONTHS = 3


@dataclass(frozen=True, slots=True)
class ScreeningDecision:
    """A screening outcome. `ceiling` is what builder, resolver and suggestions obey until `valid_months` are over."""

    code: ScreeningCode | None
    outcome: Outcome
    ceiling: Intensity
    valid_months: float
    needs_clearance: bool
    plain_words_key: str

    @property
    def may_train(self) -> bool:
        """Whether a block may start."""
        return self.ceiling > Intensity.NONE


@dataclass(frozen=True, slots=True)
class Clearance:
    """What a clinician allowed, as the coach recorded it.

    `limit` is the hardest effort the clinician named: a clearance without a named limit is recorded as LIGHT.
    `after_answers` says that it was given knowing the answers of this screening (so after the symptoms began).
    """

    limit: Intensity
    age_months: float
    after_answers: bool

    def __post_init__(self) -> None:
        if self.age_months < 0:
            raise ValueError(f"age_months must not be negative, got {self.age_months}")

    @property
    def is_current(self) -> bool:
        """Whether it is at most twelve months old."""
        return self.age_months <= MAX_CLEARANCE_AGE_MONTHS


def is_regular_exerciser(days_a_week: float | None, minutes: float | None, months: float | None) -> bool | None:
    """Say whether someone counts as a regular exerciser: moderate, 30 minutes, 3 days a week, 3 months.

    None when an answer is missing and the others do not already settle it.

    References
    ----------
    .. [1] D. Riebe et al., Med Sci Sports Exerc, vol. 47, pp. 2473-2479, 2015. doi:10.1249/MSS.0000000000000664

    Evidence: V.

    Examples
    --------
    >>> is_regular_exerciser(3, 45, 1.5)
    False
    """
    for name, value in (("days_a_week", days_a_week), ("minutes", minutes), ("months", months)):
        if value is not None:
            require_not_negative(**{name: value})
    enough = [
        None if value is None else value >= least
        for value, least in (
            (days_a_week, REGULAR_MIN_DAYS_A_WEEK),
            (minutes, REGULAR_MIN_MINUTES),
            (months, REGULAR_MIN_MONTHS),
        )
    ]
    if False in enough:
        return False
    return None if None in enough else True


def screen(
    *,
    regular: bool | None,
    symptoms: bool | None,
    disease: bool | None,
    desired: Intensity,
    clearance_age_months: float | None = None,
) -> ScreeningDecision:
    """Decide whether someone may start, up to which intensity and for how long.

    Parameters
    ----------
    regular : bool or None
        Planned moderate activity of 30 minutes on 3 days a week for 3 months.
    symptoms : bool or None
        Any of the nine signs or symptoms, at rest or in activity.
    disease : bool or None
        Known cardiovascular, metabolic or renal disease. Lung disease alone does not count.
    desired : Intensity above NONE
        What the person wants to do.
    clearance_age_months : float >= 0, or None without one
        Age of a clearance that allows vigorous exercise. Only R2 looks at it; a clearance with limits, or for
        another cell, goes through `with_clearance`. [months]

    Raises
    ------
    ValueError
        If nothing is desired, or the age is negative.

    Notes
    -----
    ====  ========  ====================================================  =================
    cell  outcome   meaning                                               ceiling
    ====  ========  ====================================================  =================
    N1    OK        start light to moderate                               moderate
    N2    clear     clearance before starting                             none
    N3    clear     clearance before starting                             none
    R1    OK        continue                                              vigorous
    R2    OK        moderate without clearance, vigorous with one of the  moderate,
                    last 12 months and no change in symptoms              vigorous
    R3    stop      stop, seek clearance                                  none
    ====  ========  ====================================================  =================

    House rules, all on the careful side: N1 stays at moderate until a new screening finds a regular exerciser
    (the algorithm says "may progress gradually"); a missing answer is INCOMPLETE with no training, whatever the
    others say; an outcome is valid for 12 months, an R2 clearance only for what is left of its own 12, and any
    change of health ends both. The algorithm covers the heart risk of aerobic effort; the six cells were taken
    from memory and two independent transcriptions, not from the paper itself.

    References
    ----------
    .. [1] D. Riebe et al., Med Sci Sports Exerc, vol. 47, pp. 2473-2479, 2015. doi:10.1249/MSS.0000000000000664

    Evidence: V (the three questions), M (the six cells), T (validity, N1 at moderate).

    Examples
    --------
    >>> screen(regular=False, symptoms=False, disease=True, desired=Intensity.LIGHT).outcome.name
    'CLEARANCE_NEEDED'
    """
    if desired <= Intensity.NONE:
        raise ValueError("desired must be light, moderate or vigorous")
    if clearance_age_months is not None:
        require_not_negative(clearance_age_months=clearance_age_months)
    if regular is None or symptoms is None or disease is None:
        return _incomplete(symptoms, disease)
    code = _cell(regular=regular, symptoms=symptoms, disease=disease)
    if code is ScreeningCode.R3:
        return _refused(code, Outcome.STOP_REFER)
    if code in (ScreeningCode.N2, ScreeningCode.N3):
        return _refused(code, Outcome.CLEARANCE_NEEDED)
    if code is ScreeningCode.R2:
        return _known_disease(desired, clearance_age_months)
    ceiling = Intensity.VIGOROUS if code is ScreeningCode.R1 else Intensity.MODERATE
    return _allowed(code, ceiling, desired, VALID_MONTHS)


def _cell(*, regular: bool, symptoms: bool, disease: bool) -> ScreeningCode:
    letter = "R" if regular else "N"
    if symptoms:
        return ScreeningCode(letter + "3")
    return ScreeningCode(letter + ("2" if disease else "1"))


def _incomplete(symptoms: bool | None, disease: bool | None) -> ScreeningDecision:
    known = bool(symptoms or disease)
    words = "screening.incomplete_ask_professional" if known else "screening.incomplete"
    return ScreeningDecision(None, Outcome.INCOMPLETE, Intensity.NONE, 0.0, known, words)


def _refused(code: ScreeningCode, outcome: Outcome) -> ScreeningDecision:
    return ScreeningDecision(code, outcome, Intensity.NONE, 0.0, True, f"screening.{code.lower()}")


def _allowed(code: ScreeningCode, ceiling: Intensity, desired: Intensity, valid_months: float) -> ScreeningDecision:
    outcome = Outcome.OK if desired <= ceiling else Outcome.OK_MODERATE_ONLY
    words = f"screening.{code.lower()}" + ("" if outcome is Outcome.OK else "_moderate_only")
    return ScreeningDecision(code, outcome, ceiling, valid_months, False, words)


def _known_disease(desired: Intensity, clearance_age_months: float | None) -> ScreeningDecision:
    moderate = _allowed(ScreeningCode.R2, Intensity.MODERATE, Intensity.MODERATE, VALID_MONTHS)
    if clearance_age_months is not None and clearance_age_months <= MAX_CLEARANCE_AGE_MONTHS:
        left = MAX_CLEARANCE_AGE_MONTHS - clearance_age_months
        return replace(moderate, ceiling=Intensity.VIGOROUS, valid_months=left, plain_words_key="screening.r2_cleared")
    if desired > Intensity.MODERATE:
        # Moderate work may go on meanwhile: the ceiling says so, the outcome says what is missing.
        return replace(
            moderate,
            outcome=Outcome.CLEARANCE_NEEDED,
            needs_clearance=True,
            plain_words_key="screening.r2_clearance_for_vigorous",
        )
    return replace(moderate, outcome=Outcome.OK_MODERATE_ONLY, plain_words_key="screening.r2_moderate_only")


# The hardest effort a clearance can open in each cell. Those who did not exercise start at moderate at most.
_OPENED_BY_CLEARANCE = {
    ScreeningCode.N2: Intensity.MODERATE,
    ScreeningCode.N3: Intensity.MODERATE,
    ScreeningCode.R2: Intensity.VIGOROUS,
    ScreeningCode.R3: Intensity.VIGOROUS,
}
_NEEDS_CLEARANCE_AFTER_ANSWERS = (ScreeningCode.N3, ScreeningCode.R3)


def with_clearance(decision: ScreeningDecision, clearance: Clearance, *, desired: Intensity) -> ScreeningDecision:
    """Combine a screening outcome with a clearance that the coach recorded.

    Parameters
    ----------
    decision : ScreeningDecision
    clearance : Clearance
    desired : Intensity above NONE

    Notes
    -----
    The ceiling is never above the clinician's limit, and never above what the cell can be opened to (N2 and N3:
    moderate; R2 and R3: what the clinician named). A limit counts for ever, also in N1 and R1 and also when the
    clearance has run out; the permission counts for 12 months. Where symptoms were reported, only a clearance given
    in the knowledge of them opens anything. Missing answers stay INCOMPLETE.

    Evidence: T (house rule).

    Examples
    --------
    >>> inactive = screen(regular=False, symptoms=False, disease=True, desired=Intensity.MODERATE)
    >>> with_clearance(inactive, Clearance(Intensity.VIGOROUS, 1, True), desired=Intensity.MODERATE).ceiling.name
    'MODERATE'
    """
    if desired <= Intensity.NONE:
        raise ValueError("desired must be light, moderate or vigorous")
    if decision.code is None:
        return decision
    if clearance.limit is Intensity.NONE:
        return replace(_refused(decision.code, Outcome.CLEARANCE_NEEDED), plain_words_key="screening.not_cleared")
    opens = decision.code in _OPENED_BY_CLEARANCE and clearance.is_current
    if decision.code in _NEEDS_CLEARANCE_AFTER_ANSWERS and not clearance.after_answers:
        opens = False
    if not opens:
        return _limited(decision, clearance.limit)
    ceiling = min(clearance.limit, _OPENED_BY_CLEARANCE[decision.code])
    allowed = _allowed(decision.code, ceiling, desired, MAX_CLEARANCE_AGE_MONTHS - clearance.age_months)
    return replace(allowed, plain_words_key=f"screening.{decision.code.lower()}_cleared")


def _limited(decision: ScreeningDecision, limit: Intensity) -> ScreeningDecision:
    if limit >= decision.ceiling:
        return decision
    return replace(decision, ceiling=limit, plain_words_key="screening.limited_by_clinician")


def refer_first(decision: ScreeningDecision, groups: Collection[ReferFirst]) -> ScreeningDecision:
    """Withhold training from those who must ask a professional first, whatever the algorithm said.

    Evidence: T (house rule).

    Examples
    --------
    >>> well = screen(regular=True, symptoms=False, disease=False, desired=Intensity.MODERATE)
    >>> refer_first(well, [ReferFirst.PREGNANT]).ceiling.name
    'NONE'
    """
    if not groups:
        return decision
    return replace(
        decision,
        outcome=Outcome.STOP_REFER,
        ceiling=Intensity.NONE,
        valid_months=0.0,
        needs_clearance=True,
        plain_words_key="screening.refer_first",
    )


def effort_intensity(
    *,
    rpe: float | None = None,
    rir: float | None = None,
    breath_holding: bool = False,
    unloaded: bool = False,
    warm_up: bool = False,
) -> Intensity:
    """Map what a prescription asks for to an intensity that a ceiling can be compared with.

    Parameters
    ----------
    rpe : float 1 to 10 or None
        Prescribed effort.
    rir : float >= 0 or None
        Prescribed repetitions in reserve.
    breath_holding : bool
        The movement wants a braced, held breath, or the head below the heart.
    unloaded : bool
        Easy mobility, stretching or breathing work without load.
    warm_up : bool
        A warm-up or ramp set, moderate by what it is as long as nobody states an effort.

    Raises
    ------
    ValueError
        If a number lies outside its scale.

    Notes
    -----
    House rule, unverified: RPE up to 6 of 10 and at least 3 in reserve, without holding the breath, is moderate; RPE
    up to 3 is light; everything else is vigorous. Where both are given both must hold. A prescription that states
    neither is vigorous, because nobody can say that it is not; so is every test of maximum repetitions (rir 0).

    Evidence: T (house rule, unverified).

    Examples
    --------
    >>> effort_intensity(rir=3).name, effort_intensity(rir=1).name, effort_intensity().name
    ('MODERATE', 'VIGOROUS', 'VIGOROUS')
    """
    if rpe is not None:
        require_between(1, 10, rpe=rpe)
    if rir is not None:
        require_not_negative(rir=rir)
    if breath_holding:
        return Intensity.VIGOROUS
    if rpe is None and rir is None and (unloaded or warm_up):
        return Intensity.LIGHT if unloaded else Intensity.MODERATE
    if (rpe is None and rir is None) or (rpe is not None and rpe > 6) or (rir is not None and rir < 3):
        return Intensity.VIGOROUS
    return Intensity.LIGHT if rpe is not None and rpe <= 3 else Intensity.MODERATE


def maximal_test_allowed(ceiling: Intensity) -> bool:
    """Say whether a test to the limit may be planned: only under a vigorous ceiling.

    Evidence: T (house rule).

    Examples
    --------
    >>> maximal_test_allowed(Intensity.MODERATE)
    False
    """
    return ceiling is Intensity.VIGOROUS
