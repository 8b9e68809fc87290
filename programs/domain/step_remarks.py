"""Weekly steps beside what was published: a step is written before anybody knows how the week went."""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from methods.undefined import Undefined
from methods.units import kg_from
from methods.weekly import Place, Placed, count_step_place, load_step_place
from programs.choices import LoadKind, Measure
from programs.domain.rows import Row
from programs.models import Prescription


def step_remarks(dose: Row | Prescription) -> Iterator[str]:
    """Why a weekly step of load, reps or sets is larger than published; nothing where nobody published any."""
    yield from _told(_("load"), _load_step(dose))
    if dose.movement.measure == Measure.REPETITIONS:
        yield from _told(_("reps"), count_step_place("repetitions", dose.step_amount))
    yield from _told(_("sets"), count_step_place("sets", dose.step_sets))


def _told(quantity: str, placed: Placed | Undefined | None) -> Iterator[str]:
    if isinstance(placed, Placed) and placed.place == Place.ABOVE:
        unit = " %" if placed.range.about.endswith("per cent") else ""
        told = {"quantity": quantity, "most": f"{placed.range.most:g}{unit}", "source": placed.range.source}
        yield _("The weekly step of %(quantity)s is more than %(most)s (%(source)s).") % told


def _load_step(dose: Row | Prescription) -> Placed | None:
    """Of a load that is all there is to lift: beside the body it is a smaller part, which only a body mass tells."""
    if dose.step_load <= 0:
        return None
    if dose.percent_of_max:
        return load_step_place(float(dose.percent_of_max), float(dose.percent_of_max + dose.step_load))
    if dose.movement.load_kind != LoadKind.EXTERNAL or not dose.load_kg:
        return None
    after = dose.load_kg + kg_from(dose.step_load, dose.load_unit)
    return load_step_place(float(dose.load_kg), float(after))
