"""Closed vocabularies of clips, the review queue and reviews."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class ClipState(models.TextChoices):
    UPLOADING = "uploading", _("Uploading")
    RECEIVED = "received", _("Received, being prepared")
    READY = "ready", _("Ready")
    FAILED = "failed", _("Could not be used")
    ERASED = "erased", _("Erased")


class CameraSide(models.TextChoices):
    LEFT = "left", _("My left side")
    RIGHT = "right", _("My right side")
    FRONT = "front", _("From the front")
    BACK = "back", _("From behind")


class SubmissionKind(models.TextChoices):
    CLIP = "clip", _("Clip")
    QUESTION = "question", _("Question")
    CHECK_IN = "check_in", _("Check-in")


class Lane(models.IntegerChoices):
    """Why it is urgent. Within the open lanes the earliest promise comes first (methods.queue)."""

    RED_FLAG = 0, _("Warning sign")
    PAIN_HIGH = 1, _("Strong pain or clearance")
    PAIN_SOME = 2, _("Some pain, or the first clip")
    FORM = 3, _("Form and questions")
    ROUTINE = 4, _("Routine")


class SubmissionState(models.TextChoices):
    WAITING = "waiting", _("Waiting")
    ANSWERED = "answered", _("Answered")
    WITHDRAWN = "withdrawn", _("Withdrawn")


class Verdict(models.TextChoices):
    """What the coach says about the form seen. Anything but the first keeps the next step from getting harder."""

    SOUND = "sound", _("Sound: carry on")
    ADJUST = "adjust", _("Adjust one thing, same work")
    EASIER = "easier", _("Go to an easier version")
    STOP = "stop", _("Stop this movement and talk to me")
    NOT_SEEN = "not_seen", _("I could not see enough")
