"""Closed vocabularies of people, consent, screening, equipment and pain."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Role(models.TextChoices):
    OWNER = "owner", _("Owner")
    COACH = "coach", _("Coach")


class ClientState(models.TextChoices):
    ENQUIRY = "enquiry", _("Enquiry")
    INVITED = "invited", _("Invited")
    INTAKE = "intake", _("Answering the intake")
    ACTIVE = "active", _("Active")
    PAUSED = "paused", _("Paused")
    ENDED = "ended", _("Ended")


class AssignmentKind(models.TextChoices):
    LEAD = "lead", _("Lead coach")
    SECOND = "second", _("Second coach")
    COVER = "cover", _("Cover")


class MassUnit(models.TextChoices):
    KG = "kg", _("kg")
    LB = "lb", _("lb")


class LengthUnit(models.TextChoices):
    CM = "cm", _("cm")
    IN = "in", _("in")


class Weekday(models.IntegerChoices):
    MONDAY = 0, _("Monday")
    TUESDAY = 1, _("Tuesday")
    WEDNESDAY = 2, _("Wednesday")
    THURSDAY = 3, _("Thursday")
    FRIDAY = 4, _("Friday")
    SATURDAY = 5, _("Saturday")
    SUNDAY = 6, _("Sunday")


class ConsentKind(models.TextChoices):
    HEALTH = "health", _("Health data")
    VIDEO = "video", _("Video")


class ConsentAction(models.TextChoices):
    GIVEN = "given", _("Given")
    WITHDRAWN = "withdrawn", _("Withdrawn")


class Ceiling(models.TextChoices):
    """The hardest effort that screening allows; the words of methods.screening.Intensity."""

    NONE = "none", _("no training yet")
    LIGHT = "light", _("light effort")
    MODERATE = "moderate", _("moderate effort")
    VIGOROUS = "vigorous", _("vigorous effort")


class Lane(models.TextChoices):
    EMERGENCY = "emergency", _("Emergency")
    URGENT = "urgent", _("Urgent")
    SOON = "soon", _("Soon")


class ItemKind(models.TextChoices):
    """Things a movement can need. The last ones carry weight or a body, so they want a set-up check."""

    FLOOR = "floor", _("Clear floor space")
    WALL = "wall", _("A bare wall")
    TOWEL = "towel", _("A towel")
    STICK = "stick", _("A stick or broom handle")
    PAD = "pad", _("A pad or folded mat")
    STEP = "step", _("A low step (about 20 cm)")
    BOX = "box", _("A sturdy box (30 to 60 cm)")
    BACKPACK = "backpack", _("A backpack that can be filled")
    VEST = "vest", _("A weighted vest")
    DUMBBELL = "dumbbell", _("Dumbbells")
    KETTLEBELL = "kettlebell", _("Kettlebells")
    PARALLETTES = "parallettes", _("Parallettes")
    SLIDERS = "sliders", _("Sliders, or socks on a smooth floor")
    ROPE = "rope", _("A skipping rope")
    BAND = "band", _("A long loop band")
    CHAIR = "chair", _("A sturdy chair")
    TABLE = "table", _("A sturdy table")
    BAR = "bar", _("A pull-up bar")
    LOW_BAR = "low_bar", _("A waist-high bar")
    RINGS = "rings", _("Rings")
    STRAPS = "straps", _("Hanging straps")
    ANCHOR = "anchor", _("A fixed anchor for a band or the feet")
    DIP_BARS = "dip_bars", _("Dip bars")
    POLE = "pole", _("A fixed upright pole")
    CLIMBING_ROPE = "climbing_rope", _("A hanging rope")
    DOOR_ANCHOR = "door_anchor", _("A door anchor for a band")


ITEMS_WANTING_A_SET_UP_CHECK = frozenset(
    {
        ItemKind.BAND,
        ItemKind.CHAIR,
        ItemKind.TABLE,
        ItemKind.BAR,
        ItemKind.LOW_BAR,
        ItemKind.RINGS,
        ItemKind.STRAPS,
        ItemKind.ANCHOR,
        ItemKind.DIP_BARS,
        ItemKind.POLE,
        ItemKind.CLIMBING_ROPE,
        ItemKind.DOOR_ANCHOR,
        ItemKind.BOX,
        ItemKind.STEP,
    }
)


class Side(models.TextChoices):
    LEFT = "left", _("Left")
    RIGHT = "right", _("Right")
    BOTH = "both", _("Both")
    MIDDLE = "middle", _("Middle")


class Area(models.TextChoices):
    """Body regions, for areas to protect and for pain. Movements name the same codes."""

    HEAD = "head", _("Head")
    JAW = "jaw", _("Jaw")
    NECK = "neck", _("Neck")
    SHOULDER = "shoulder", _("Shoulder")
    UPPER_ARM = "upper_arm", _("Upper arm")
    ELBOW = "elbow", _("Elbow")
    WRIST = "wrist", _("Wrist or hand")
    CHEST = "chest", _("Chest")
    UPPER_BACK = "upper_back", _("Upper back")
    LOW_BACK = "low_back", _("Lower back")
    BELLY = "belly", _("Belly")
    GROIN = "groin", _("Groin or saddle area")
    HIP = "hip", _("Hip or buttock")
    THIGH_FRONT = "thigh_front", _("Front of the thigh")
    HAMSTRING = "hamstring", _("Back of the thigh")
    KNEE = "knee", _("Knee")
    CALF = "calf", _("Calf or shin")
    ANKLE = "ankle", _("Ankle")
    FOOT = "foot", _("Foot")


class NextMorning(models.TextChoices):
    USUAL = "usual", _("Back to my usual")
    RAISED = "raised", _("More than my usual")


class SinceWhen(models.TextChoices):
    TODAY = "today", _("Since today")
    DAYS = "days", _("For some days")
    WEEKS = "weeks", _("For one to six weeks")
    LONGER = "longer", _("For longer than six weeks")


class PainQuestion(models.TextChoices):
    """What a report of pain still owes; in this order. The words of the client's own page."""

    WARNING_SIGNS = "warning_signs", _("Before you go on: does a warning sign apply?")
    SORENESS = "soreness", _("Is it your usual muscle soreness?")
    HOW_MUCH = "how_much", _("How much does it hurt?")


# What stands in a report in place of the table's answer when it is usual muscle soreness (methods.pain).
SORENESS = "soreness"


class ReadKind(models.TextChoices):
    """What was looked at, in the record of reads."""

    CLIENT = "client", _("Client page")
    INTAKE = "intake", _("Intake answers")
    SCREENING = "screening", _("Screening outcome")
    PAIN = "pain", _("Pain reports")
    PROGRESS = "progress", _("Progress view")
    CLIP = "clip", _("Clip")
    EXPORT = "export", _("Export")
    NOTES = "notes", _("Notes")
    CHECK_IN = "check_in", _("Check-ins")


class EnquiryState(models.TextChoices):
    OPEN = "open", _("Open")
    ANSWERED = "answered", _("Answered")
    INVITED = "invited", _("Invited")
    DECLINED = "declined", _("Declined")
    UNWANTED = "unwanted", _("Not meant for us")


class GuardianAnswer(models.TextChoices):
    AGREED = "agreed", _("Agreed")
    REFUSED = "refused", _("Refused")
    WITHDRAWN = "withdrawn", _("Withdrawn")


class NoteKind(models.TextChoices):
    NOTE = "note", _("Note")
    CALL = "call", _("Call")


class PromisesMeanwhile(models.TextChoices):
    KEPT = "kept", _("Keep the promises; the cover coach answers in time")
    MOVED = "moved", _("Move them by the days away")
