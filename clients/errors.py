"""What the people's room refuses, each with a sentence for the person who is told."""

from django.utils.translation import gettext_lazy as _


class ClientsError(Exception):
    """A refusal that a page or the API turns into a message."""

    message = _("This is not possible.")

    def __str__(self) -> str:
        return str(self.message)


class InvitationNotOpen(ClientsError):
    message = _("This invitation was used, withdrawn, or has run out. Ask your coach for a new one.")


class InvitedSomeoneElse(ClientsError):
    message = _("This invitation is for another e-mail address. Sign out first, then open it again.")


class AlreadyAClient(ClientsError):
    message = _("This person is already a client of this practice.")


class SignInLinkNotOpen(ClientsError):
    message = _("This link was used already, or has run out.")


class ConsentMissing(ClientsError):
    message = _("Please decide about the consents first.")


class GuardianNeeded(ClientsError):
    message = _("A guardian is needed before anything else.")


class IntakeIncomplete(ClientsError):
    message = _("Some questions are still open.")


class ClearanceMissing(ClientsError):
    message = _("A clearance from a licensed professional is needed before training starts.")


class Locked(ClientsError):
    message = _("Training is locked after a warning sign, until a clearance is recorded.")


class ScreeningExpired(ClientsError):
    message = _("The screening has run out. The health questions need fresh answers.")


class AboveCeiling(ClientsError):
    message = _("This is harder than the screening allows.")


class ReplacedMeanwhile(ClientsError):
    message = _("Somebody changed this in the meantime. Please look again.")


class AlreadyOwner(ClientsError):
    message = _("This person owns a practice of this name already.")


class EnquiryDecided(ClientsError):
    message = _("Somebody has decided about this enquiry already.")


class TooManyEnquiries(ClientsError):
    message = _("There are more enquiries right now than we can read. Please try again in an hour.")


class AbsenceOverlaps(ClientsError):
    message = _("There is an absence in this time already. End that one first.")


class CoverNeeded(ClientsError):
    message = _("Somebody has to keep the promises: name who covers, or move the promises.")


class NotOnTheTeam(ClientsError):
    message = _("This person is not on the practice's team.")


class LastOwner(ClientsError):
    message = _("A practice needs an owner. Make somebody else an owner first.")


class AlreadyOnTheTeam(ClientsError):
    message = _("This person is on the team already.")


class GuardianLinkNotOpen(ClientsError):
    message = _("This letter was replaced by a newer one, or has run out. Ask for a new one.")


class GuardianIsTheClient(ClientsError):
    message = _("This is your own address. The letter has to reach your parent or guardian.")


class LastPlace(ClientsError):
    message = _("This is the only place. Add another one first.")


class SetUpCheckIncomplete(ClientsError):
    message = _("Everything on the list has to be tested before it counts.")


class NotAPhoto(ClientsError):
    message = _("This file cannot be read as a photo. JPEG, PNG and WebP up to 15 MB can.")


class TooManyTries(ClientsError):
    message = _("There were too many wrong tries from here.")

    def __init__(self, *, seconds: int) -> None:
        super().__init__()
        self.seconds = seconds


class NoCheckInAsked(ClientsError):
    message = _("No check-in is asked for at the moment, or it was of a week that is over.")
