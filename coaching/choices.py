"""Closed vocabularies of the desk."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class AttentionKind(models.TextChoices):
    """Why a client needs the coach, most pressing first."""

    RED_FLAG = "red_flag", _("Warning sign")
    PAIN = "pain", _("Pain")
    CLEARANCE = "clearance", _("Waiting for clearance")
    DECLINE = "decline", _("Getting weaker")
    STALL = "stall", _("Stalled")
    NOT_RECORDING = "not_recording", _("Sessions not recorded")
    CHECK_IN = "check_in", _("Check-in overdue")
    BLOCK_ENDING = "block_ending", _("Block ends soon")
    NEEDS_BLOCK = "needs_block", _("Ready, without a block")


class AttentionAnswer(models.TextChoices):
    HANDLED = "handled", _("Handled")
    LATER = "later", _("Show again later")


class Decided(models.TextChoices):
    ACCEPTED = "accepted", _("Accepted")
    EDITED = "edited", _("Accepted with a change")
    DECLINED = "declined", _("Declined")
