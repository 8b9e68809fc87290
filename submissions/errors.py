"""What the submissions' room refuses, each with a sentence for the person who is told."""

from django.utils.translation import gettext_lazy as _


class SubmissionsError(Exception):
    """A refusal that a page or the API turns into a message."""

    message = _("This is not possible.")

    def __str__(self) -> str:
        return str(self.message)


class VideoConsentMissing(SubmissionsError):
    message = _("Your consent to video is needed before a clip can be kept.")


class EmptyFile(SubmissionsError):
    message = _("The file is empty. Please choose the clip again.")


class ClipTooLarge(SubmissionsError):
    message = _("The file is too large. Please trim the clip to one set, or film at 1080p.")


class DemonstrationTooLarge(SubmissionsError):
    message = _("The file is too large. Show one or two repetitions, filmed at 1080p.")


class TooManyOpenUploads(SubmissionsError):
    message = _("Several uploads are still open. Finish one or take one back first.")


class NoRoom(SubmissionsError):
    message = _("There is no room for the clip at the moment. Please try again later; what was sent is kept.")


class UploadBusy(SubmissionsError):
    message = _("This clip is being sent from somewhere else at the moment.")


class UploadGone(SubmissionsError):
    message = _("This upload waited too long and was removed. Please send the clip again.")


class StorageUnavailable(SubmissionsError):
    message = _("Clips cannot be reached at the moment. Nothing is lost; please try again in some minutes.")


class WrongOffset(SubmissionsError):
    message = _("The upload continues from another place.")


class MoreThanAnnounced(SubmissionsError):
    message = _("More was sent than the size announced for this upload.")


class ChecksumMismatch(SubmissionsError):
    message = _("A piece of the clip arrived damaged and is needed again.")


class AlreadyReviewed(SubmissionsError):
    message = _("Someone answered this before you. Nothing of yours was sent; it is still here for you to read.")


class CorrectedMeanwhile(SubmissionsError):
    message = _("This review was corrected while you were writing. Nothing of yours was sent; it is still here.")


class ClipNotReady(SubmissionsError):
    message = _("The clip is not ready to be reviewed.")


class VerdictMissing(SubmissionsError):
    message = _("Please choose a verdict on the form you saw.")


class NoSuchMoment(SubmissionsError):
    message = _("A note points at a moment that the clip does not have.")


class CheckInChanged(SubmissionsError):
    message = _("The client has told this check-in anew while you were reading. Please look again.")


class QuestionUnanswered(SubmissionsError):
    message = _("There is a question in this check-in. Please answer it with a few words.")
