"""Why a file cannot be a clip, in words its sender understands."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Reason(models.TextChoices):
    """The value is stored with the clip, the label is what the client reads."""

    EMPTY = "empty", _("The file is empty. Please choose the clip again and send it once more.")
    NOT_A_VIDEO = "not_a_video", _("This file is not a video we can read. Please send an MP4, MOV or WebM clip.")
    TRUNCATED = (
        "truncated",
        _("The end of the clip is missing. Check that it plays to its end on your phone, then send it again."),
    )
    AUDIO_ONLY = "audio_only", _("This file has sound but no picture. Please send the filmed clip.")
    TOO_LONG = "too_long", _("The clip is too long. Please trim it to one set and send it again.")
    TOO_MANY_FRAMES = (
        "too_many_frames",
        _("The clip holds too many pictures. Please film at normal speed, trim it to one set and send it again."),
    )
    TOO_LARGE_PICTURE = (
        "too_large_picture",
        _("The picture is larger than we can handle. Please film at 1080p or 4K and send it again."),
    )
    UNSUPPORTED_CODEC = (
        "unsupported_codec",
        _("The clip is recorded in a way we cannot read. Please film with your phone's own camera app."),
    )
    DAMAGED = "damaged", _("Part of the clip is damaged. Please send it again, or film the set once more.")
    TOOK_TOO_LONG = (
        "took_too_long",
        _("Preparing the clip took too long. Please trim it to one set and send it again."),
    )
    TOO_MUCH_DATA = "too_much_data", _("The clip is too large to prepare. Please film at 1080p and trim it to one set.")


class BadClip(Exception):
    """The file is at fault, not the machine: trying the same file again changes nothing."""

    def __init__(self, reason: Reason) -> None:
        super().__init__(reason.value)
        self.reason = reason


class ToolFailed(Exception):
    """The machine is at fault (no encoder, disk full, killed from outside): the same file may succeed later."""
