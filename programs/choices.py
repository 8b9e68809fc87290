"""Closed vocabularies of movements, blocks and logs."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Pattern(models.TextChoices):
    VERTICAL_PULL = "vpull", _("Vertical pull")
    HORIZONTAL_PULL = "hpull", _("Horizontal pull")
    HORIZONTAL_PUSH = "hpush", _("Horizontal push")
    VERTICAL_PUSH = "vpush", _("Vertical push")
    DIP = "dip", _("Dip")
    SQUAT = "squat", _("Squat and knee")
    HINGE = "hinge", _("Hinge")
    CORE_COMPRESSION = "core_comp", _("Trunk: flexion and hip flexion")
    CORE_ANTI_EXTENSION = "core_ant", _("Trunk: resisting extension")
    CORE_LATERAL = "core_lat", _("Trunk: resisting rotation and side bend")
    HANG = "hang_scap", _("Hang and shoulder blade")
    SHOULDER_MOBILITY = "sh_mob", _("Shoulder and wrist mobility")
    HIP_MOBILITY = "hip_mob", _("Hip, spine and ankle mobility")
    CALF = "calf", _("Calf and shin")
    ARM = "arm_grip", _("Arms and grip")
    RAISE = "raise", _("Raise the heart rate")


class Muscle(models.TextChoices):
    """What a set counts for: wholly where it is the main worker, half where it helps."""

    LAT = "lat", _("Lats")
    UPPER_BACK = "upper_back", _("Upper back")
    BICEPS = "biceps", _("Biceps")
    TRICEPS = "triceps", _("Triceps")
    FOREARM = "forearm", _("Forearm and grip")
    CHEST = "chest", _("Chest")
    SHOULDER = "shoulder", _("Shoulder")
    ROTATOR_CUFF = "cuff", _("Rotator cuff")
    ABDOMINALS = "abs", _("Abdominals")
    OBLIQUES = "obliques", _("Side of the trunk")
    LOW_BACK = "low_back", _("Lower back")
    HIP_FLEXOR = "hip_flexor", _("Hip flexors")
    GLUTE = "glute", _("Glutes")
    HAMSTRING = "hamstring", _("Hamstrings")
    QUAD = "quad", _("Quads")
    ADDUCTOR = "adductor", _("Adductors")
    CALF = "calf", _("Calves")
    SHIN = "shin", _("Shins")


class Measure(models.TextChoices):
    REPETITIONS = "reps", _("reps")
    SECONDS = "seconds", _("seconds")
    METRES = "metres", _("metres")


class LoadKind(models.TextChoices):
    """What the body works against. Decides which load inputs make sense."""

    BODY_FULL = "body_full", _("whole body mass")
    BODY_SHARE = "body_share", _("a share of body mass")
    BODY_PLUS = "body_plus", _("body mass and added load")
    ASSISTED = "assisted", _("body mass less help")
    EXTERNAL = "external", _("external load")
    BAND = "band", _("band")
    LEVER = "lever", _("body mass at a lever, not scored in kg")
    NONE = "none", _("no load")


class ShareBasis(models.TextChoices):
    MEASURED = "measured", _("measured")
    DERIVED = "derived", _("derived from statics")
    GUESS = "guess", _("a guess")
    CONVENTION = "convention", _("by convention")
    NOT_SCORED = "", _("not scored")


class BlockState(models.TextChoices):
    DRAFT = "draft", _("Draft")
    PUBLISHED = "published", _("Published")
    REPLACED = "replaced", _("Replaced by a later revision")


class SectionKind(models.TextChoices):
    RAISE = "raise", _("Raise the heart rate")
    MOBILITY = "mobility", _("Mobility")
    RAMP = "ramp", _("Ramp-up sets")
    STRENGTH = "strength", _("Strength")
    CORE = "core", _("Trunk")
    COOL_DOWN = "cool_down", _("Cool-down")


# Where the work is: raising the heart rate, mobility, ramp and cool-down are not counted, rated, stepped or lightened.
WORK_SECTIONS = frozenset({SectionKind.STRENGTH, SectionKind.CORE})


class GroupKind(models.TextChoices):
    """How prescriptions are done together. A prescription alone is a single."""

    SINGLE = "single", _("Alone")
    PAIR = "pair", _("Pair")
    CIRCUIT = "circuit", _("Circuit")
    ROUNDS = "rounds", _("Rounds in a time")
    EVERY_MINUTE = "every", _("Every minute")


# Everybody does as many rounds: a set is one.
# What is left of a minute, or of the time, is the rest.
BY_THE_CLOCK = frozenset({GroupKind.ROUNDS, GroupKind.EVERY_MINUTE})
IN_ROUNDS = frozenset({GroupKind.CIRCUIT, GroupKind.ROUNDS, GroupKind.EVERY_MINUTE})


class SetKind(models.TextChoices):
    WARM_UP = "warm_up", _("Warm-up or ramp")
    WORK = "work", _("Work")
    TOP = "top", _("Top set")
    BACK_OFF = "back_off", _("Back-off")
    MAX_REPS = "max_reps", _("Max reps")
    CLUSTER = "cluster", _("Cluster")


# What goes up by the published steps. Sets to the maximum have no target, and clusters a count within the set.
STEPPED_SETS = frozenset({SetKind.WORK, SetKind.TOP, SetKind.BACK_OFF})


class RepScheme(models.TextChoices):
    RANGE = "range", _("within the range")
    SAME_EVERY_SET = "same", _("the same reps every set")


class SessionState(models.TextChoices):
    PLANNED = "planned", _("Planned")
    AS_PLANNED = "as_planned", _("Done as planned")
    WITH_NUMBERS = "with_numbers", _("Done, with numbers")
    PARTLY = "partly", _("Partly done")
    SKIPPED = "skipped", _("Skipped")
    EXCUSED = "excused", _("Excused")
    MOVED = "moved", _("Moved")
    UNKNOWN = "unknown", _("Not recorded")
    WITHDRAWN = "withdrawn", _("Withdrawn by a new revision")


class Outcome(models.TextChoices):
    """What the client says about a whole session."""

    AS_PLANNED = "as_planned", _("Done as planned")
    WITH_NUMBERS = "with_numbers", _("Done, with numbers")
    PARTLY = "partly", _("Partly done")
    SKIPPED = "skipped", _("Skipped")


class SkipReason(models.TextChoices):
    TIME = "time", _("No time")
    TIRED = "tired", _("Too tired")
    PAIN = "pain", _("Something hurts")
    ILL = "ill", _("Ill")
    TRAVEL = "travel", _("Travelling")
    EQUIPMENT = "equipment", _("Equipment missing")
    OTHER = "other", _("Other")


# Reasons beyond anybody's choice: such a session does not count as missed.
EXCUSES = frozenset({SkipReason.ILL, SkipReason.TRAVEL})


class LoggedSide(models.TextChoices):
    BOTH = "both", _("Both sides")
    LEFT = "left", _("Left")
    RIGHT = "right", _("Right")


class Grip(models.TextChoices):
    UNSET = "", _("any")
    PRONATED = "pronated", _("pronated")
    SUPINATED = "supinated", _("supinated")
    NEUTRAL = "neutral", _("neutral")


class BaselineState(models.TextChoices):
    DONE = "done", _("Done")
    SKIPPED = "skipped", _("Left out")


class BaselineEnd(models.TextChoices):
    """How a test is to end, and what ended it."""

    RESERVE = "reserve", _("With some left, as asked")
    FORM = "form", _("The form went")
    MAXIMUM = "maximum", _("Not one more was possible")
    TIME = "time", _("The time was over")
    MEASURED = "measured", _("Measured")
    STOPPED = "stopped", _("Stopped early")


class BaselineStop(models.TextChoices):
    """What stopped a test early. Some are warning signs of the list (methods.red_flags), in its words."""

    PAIN = "pain", _("Something hurt")
    CHEST = "chest", _("Pressure, tightness or pain in the chest")
    FAINT = "faint", _("Fainted or nearly fainted")
    BREATH = "breath", _("Short of breath far more than the effort explains")
    BEAT = "beat", _("A racing or irregular heartbeat together with feeling ill")
    DIZZY = "dizzy", _("Dizzy or sick")
    GRIP = "grip", _("The grip or the footing was not safe")
    OTHER = "other", _("Something else")


class BaselineSkip(models.TextChoices):
    PAIN = "pain", _("Something hurts")
    NOT_THERE = "not_there", _("A thing is missing or not safe")
    TIRED = "tired", _("Too tired today")
    TIME = "time", _("No time")
    UNSURE = "unsure", _("I would rather not")
    OTHER = "other", _("Something else")


class NormSex(models.TextChoices):
    """As the published tables divide people. Asked for them alone, and only if somebody likes."""

    FEMALE = "female", _("The rows for women")
    MALE = "male", _("The rows for men")


class MaxOfWhat(models.TextChoices):
    EXTERNAL = "external", _("what is lifted or added, without the body")
    SYSTEM = "system", _("all that moves: the body's share and what is added")


class MaxSource(models.TextChoices):
    TESTED = "tested", _("Tested")
    ESTIMATED = "estimated", _("Estimated from a set")
    TOLD = "told", _("Told by the client")


class Strength(models.TextChoices):
    """What a visitor of a public session says about themself."""

    NEW = "new", _("New to this")
    SOME = "some", _("Some practice")
    TRAINED = "trained", _("Trained")
