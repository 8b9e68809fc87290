"""What the invented practice makes of the library: a movement of its own, and a line that leads to it."""

from decimal import Decimal

from clients.choices import Area, ItemKind
from clients.models import Practice
from programs.choices import Grip, LoadKind, Measure, Muscle, Pattern, ShareBasis
from programs.domain.own_library import add_movement
from programs.domain.own_lines import OwnEdge, save_line
from programs.library.schema import ANCHOR, ELBOW, GRIP, codes_about
from programs.models import Movement

DOSE = {"sets": 3, "amount_low": 3, "amount_high": 5, "target_rir": 3}
CAUTIONS = [ELBOW, GRIP, ANCHOR]


def make_it_theirs(practice: Practice) -> None:
    own = add_movement(
        practice,
        facts={
            "name": "Rafter chin-up with a towel",
            "pattern": Pattern.VERTICAL_PULL.value,
            "measure": Measure.REPETITIONS.value,
            "load_kind": LoadKind.BODY_FULL.value,
            "share": Decimal(1),
            "share_basis": ShareBasis.GUESS.value,
            "share_source": "the practice's own figure",
            "equipment": [[ItemKind.BAR.value, ItemKind.TOWEL.value]],
            "details": {ItemKind.BAR.value: {"height_cm": 190}},
            "grips": [Grip.NEUTRAL.value],
            "lowering": False,
            "cautions": CAUTIONS,
            "caution_codes": sorted(codes_about(CAUTIONS)),
            "muscles": {Muscle.LAT.value: 1, Muscle.FOREARM.value: 1, Muscle.BICEPS.value: 0.5},
            "areas": [Area.SHOULDER.value, Area.ELBOW.value, Area.WRIST.value],
            "cues": ["Wring the towel, then pull it apart.", "Bring the knot to your collarbones."],
            "set_up": "A strong towel over the bar, an end in each hand. Step down before the hands open.",
            "film_from": "From the side at hip height, whole body in the frame.",
        },
    )
    hang, chin_up = (Movement.objects.get(practice=None, slug=slug) for slug in ("towel-hang", "chin-up"))
    save_line(
        practice,
        name="Towel line",
        edges=(
            OwnEdge(chin_up, hang, {**DOSE, "amount_low": 8, "amount_high": 12}, "The grip gives out before the arms."),
            OwnEdge(hang, own, DOSE, "Pull as long as the towel is held with ease."),
        ),
    )
