"""What baseline results say: against the client's own earlier ones, and against a table where its protocol was met."""

import datetime
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from clients.domain.body import age_on
from clients.domain.intake import last_finished
from clients.domain.screening import current_answers
from clients.models import Client
from methods.norms import Norm, pull_up_service_standard, push_up_class
from methods.repeatability import HoldSide, Noise, side_bridge_noise_mcgill
from methods.segments import Sex
from programs.choices import BaselineEnd, BaselineState, LoggedSide, NormSex
from programs.domain.dosing import plain
from programs.library.battery import BATTERY, BY_CODE
from programs.library.battery_schema import Amount
from programs.models import BaselineTest

# To the limit, or to the last clean one on the way there: both are what the tables and studies call exhaustion.
TO_THE_LIMIT = frozenset({BaselineEnd.MAXIMUM.value, BaselineEnd.FORM.value})
# How the push-up tables have people: men on the toes, women on the knees.
WAY_OF_THE_TABLES = {NormSex.MALE.value: "toes", NormSex.FEMALE.value: "knees"}
NORM_WORDS = {
    "excellent": gettext_lazy("excellent"),
    "very good": gettext_lazy("very good"),
    "good": gettext_lazy("good"),
    "fair": gettext_lazy("fair"),
    "needs improvement": gettext_lazy("needs improvement"),
    "above average": gettext_lazy("above average"),
    "average": gettext_lazy("average"),
    "below average": gettext_lazy("below average"),
    "poor": gettext_lazy("poor"),
    "very poor": gettext_lazy("very poor"),
    "below minimum": gettext_lazy("below its minimum"),
    "between": gettext_lazy("between its minimum and its maximum"),
    "maximum": gettext_lazy("at its maximum"),
}


@dataclass(frozen=True)
class Person:
    """What a table divides people by, as far as they told."""

    sex: str = ""
    born: datetime.date | None = None


@dataclass(frozen=True)
class Reading:
    """What tables say of one result, each by itself; or one sentence why none says anything."""

    norms: tuple[Norm, ...] = ()
    why_none: str = ""

    @property
    def said(self) -> list[tuple[str, Norm]]:
        return [(str(NORM_WORDS[norm.value]), norm) for norm in self.norms]


@dataclass(frozen=True)
class Shown:
    """One result for a page."""

    row: BaselineTest
    amount: str
    details: str
    # Against the one before it in the same set-up; empty for the first.
    change: str = ""
    reading: Reading | None = None


@dataclass(frozen=True)
class History:
    """One test on one side, newest first."""

    code: str
    name: str
    shown: tuple[Shown, ...]


def person_of(client: Client, sex: str) -> Person:
    intake = last_finished(client)
    born = current_answers(intake).get("born_on") if intake is not None else None
    return Person(sex, datetime.date.fromisoformat(str(born)) if born else None)


def histories(client: Client, person: Person) -> list[History]:
    """All that was done, by test and side, in the order of the battery."""
    done = BaselineTest.objects.current().filter(client=client, state=BaselineState.DONE)
    rows: dict[tuple[str, str], list[BaselineTest]] = {}
    for row in done.order_by("on", "told_at", "pk"):
        rows.setdefault((row.test, row.side), []).append(row)
    order = [test.code for test in BATTERY]
    found = sorted((key for key in rows if key[0] in BY_CODE), key=lambda key: (order.index(key[0]), key[1]))
    return [_history(code, rows[code, side], person) for code, side in found]


def _history(code: str, rows: Sequence[BaselineTest], person: Person) -> History:
    side = rows[0].side
    name = BY_CODE[code].name
    if side != LoggedSide.BOTH:
        name = f"{name}, {LoggedSide(side).label.lower()}"
    return History(code, name, tuple(_shown(rows, person))[::-1])


def _shown(rows: Sequence[BaselineTest], person: Person) -> Iterator[Shown]:
    for index, row in enumerate(rows):
        before = rows[:index]
        yield Shown(
            row, amount_words(row), details_words(row), change_words(before, row, person), norms_of(row, person)
        )


def amount_of(row: BaselineTest) -> Decimal:
    value = getattr(row, BY_CODE[row.test].amount.value)
    return Decimal(value)


def amount_words(row: BaselineTest) -> str:
    """How much of a result, with its unit; of a test that was left out, that."""
    if row.state == BaselineState.SKIPPED:
        return _("left out: %(why)s") % {"why": row.get_skip_reason_display().lower()}
    return unit_words(BY_CODE[row.test].amount, amount_of(row))


def unit_words(amount: Amount, value: Decimal) -> str:
    if amount is Amount.REPETITIONS:
        return ngettext("%(n)s rep", "%(n)s reps", int(value)) % {"n": plain(value)}
    return f"{plain(value)} {'s' if amount is Amount.SECONDS else 'cm'}"


def details_words(row: BaselineTest) -> str:
    return ", ".join(_details(row))


def _details(row: BaselineTest) -> Iterator[str]:
    yield from (way.name.lower() for way in BY_CODE[row.test].ways if way.code == row.way)
    if row.angle_deg is not None:
        yield _("%(angle)d° from the vertical") % {"angle": row.angle_deg}
    if row.height_cm is not None:
        yield _("seat %(height)d cm") % {"height": row.height_cm}
    if row.planned_end == BaselineEnd.MAXIMUM:
        yield _("to the limit")
    if row.rir is not None and row.ended_by != BaselineEnd.MAXIMUM:
        yield _("%(left)s left") % {"left": plain(row.rir)}
    if row.ended_by in {BaselineEnd.FORM, BaselineEnd.STOPPED}:
        yield row.get_ended_by_display().lower()
    if row.hurt:
        yield _("something hurt")


def _set_up(row: BaselineTest) -> tuple[object, ...]:
    """What has to be alike for two results to be compared: how it was set up, and how it ended."""
    is_at_limit = row.planned_end == BaselineEnd.MAXIMUM and row.ended_by in TO_THE_LIMIT
    end = (row.planned_end,) if is_at_limit else (row.planned_end, row.ended_by, row.rir)
    return (row.test, row.edition, row.side, row.way, row.angle_deg, row.height_cm, *end)


def change_words(before: Iterable[BaselineTest], row: BaselineTest, person: Person) -> str:
    """Against the newest earlier result in the same set-up; says so where there is none, or where noise is unknown."""
    earlier = list(before)
    if not earlier:
        return ""
    alike = [other for other in earlier if _set_up(other) == _set_up(row)]
    if row.ended_by == BaselineEnd.STOPPED or not alike:
        return _("Not compared: set up or ended differently from the times before.")
    change = amount_of(row) - amount_of(alike[-1])
    said = {"change": f"{'+' if change > 0 else ''}{unit_words(BY_CODE[row.test].amount, change)}"}
    said["on"] = date_format(alike[-1].on, "DATE_FORMAT")
    noise = noise_of(row, person)
    if noise is None:
        return _("%(change)s since %(on)s. The test's own noise is unknown: no published value was found.") % said
    said |= {"noise": f"{noise.change:.1f} {noise.unit}", "source": noise.source}
    if abs(change) > noise.change:
        return _("%(change)s since %(on)s: more than the test's own noise (%(noise)s; %(source)s).") % said
    return _("%(change)s since %(on)s: within the test's own noise (%(noise)s; %(source)s).") % said


def noise_of(row: BaselineTest, person: Person) -> Noise | None:
    """The published noise, for results that met the protocol it was found with. None where nobody published any."""
    if row.test == "side-bridge" and _went_to_the_limit(row):
        side: HoldSide = "left" if row.side == LoggedSide.LEFT else "right"
        return side_bridge_noise_mcgill(side, _sex(person))
    return None


def _went_to_the_limit(row: BaselineTest) -> bool:
    return row.planned_end == BaselineEnd.MAXIMUM and row.ended_by in TO_THE_LIMIT and not row.hurt


def _sex(person: Person) -> Sex | None:
    return None if not person.sex else "male" if person.sex == NormSex.MALE else "female"


def norms_of(row: BaselineTest, person: Person) -> Reading:
    """What each table says of a result, apart from each other; or why none does."""
    test, sex = BY_CODE[row.test], _sex(person)
    if not test.norm:
        return Reading(why_none=_("No norm: no table was found for this test."))
    if not _went_to_the_limit(row):
        return Reading(why_none=_("No norm: the tables are of tests to the limit, and this one was not."))
    if sex is None:
        return Reading(why_none=_("No norm: the tables divide by sex, and none was told for them."))
    if person.born is None:
        return Reading(why_none=_("No norm: the tables divide by age, and no date of birth was told."))
    if test.norm == "push-ups" and row.way != WAY_OF_THE_TABLES[person.sex]:
        return Reading(why_none=_("No norm: the tables have men on their toes and women on their knees."))
    norms = tuple(_graded(test.norm, int(row.repetitions or 0), age_on(person.born, row.on), sex))
    return Reading(norms) if norms else Reading(why_none=_("No norm: outside the ages of the tables."))


def _graded(table: str, repetitions: int, age: int, sex: Sex) -> Iterator[Norm]:
    """One answer a table: two publishers are never mixed into one."""
    graders = {
        "push-ups": (
            lambda: push_up_class(repetitions, age, sex, "csep"),
            lambda: push_up_class(repetitions, age, sex, "ymca"),
        ),
        "pull-ups": (lambda: pull_up_service_standard(repetitions, age, sex),),
    }
    for grade in graders[table]:
        try:
            yield grade()
        except ValueError:
            # Outside this table's ages; the other one may still speak.
            continue


NORMS = frozenset({"push-ups", "pull-ups"})
