"""What the desk refuses."""

from django.utils.translation import gettext_lazy as _


class CoachingError(Exception):
    message = _("This is not possible.")

    def __str__(self) -> str:
        return str(self.message)


class HarderThanSuggested(CoachingError):
    message = _("Harder than the rules suggest: please say why.")


class NotHarderHere(CoachingError):
    message = _("Here nothing may get harder: a lock, the screening or an area to protect stands against it.")


class NoBlockToContinue(CoachingError):
    message = _("There is no block to go on from.")


class Undecided(CoachingError):
    message = _("Some suggestions are not decided yet.")


class CopyUnderWay(CoachingError):
    message = _("A copy is being made already. It takes a minute or two.")
