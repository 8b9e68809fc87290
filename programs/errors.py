"""What the training room refuses, each with a sentence for the person who is told."""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext_lazy as _

from clients import errors as clients_errors


class ProgramsError(Exception):
    """A refusal that a page or the API turns into a message."""

    message = _("This is not possible.")

    def __str__(self) -> str:
        return str(self.message)


class NotADraft(ProgramsError):
    message = _("This block is published and stays as it is. A change is a new revision.")


class DraftGone(ProgramsError):
    message = _("Somebody removed this draft meanwhile.")


class EmptyWeek(ProgramsError):
    """There is nothing to copy."""

    def __init__(self, week: int) -> None:
        super().__init__()
        self.week = week

    def __str__(self) -> str:
        return str(_("Week %(week)d has no session to go on from.")) % {"week": self.week}


class WeeksHoldSessions(ProgramsError):
    """A block is to be shortened by weeks that are written already."""

    message = _("The weeks that would be cut off hold sessions. They stay until you say that they may go.")


class FromDeloadWeek(ProgramsError):
    """The other weeks would all become lighter ones."""

    message = _("The weeks cannot be stepped from the deload week. Step them from another one.")


class EditedMeanwhile(ProgramsError):
    """Someone saved in between; `version` is theirs."""

    message = _("Someone else saved this block meanwhile. What you typed is still here: compare, then save again.")

    def __init__(self, version: int) -> None:
        super().__init__()
        self.version = version


class MovementEditedMeanwhile(EditedMeanwhile):
    message = _("Someone else saved this movement meanwhile. What you typed is still here: compare, then save again.")


class LineEditedMeanwhile(EditedMeanwhile):
    message = _("Someone else saved this line meanwhile. What you typed is still here: compare, then save again.")


class LineRefused(ProgramsError):
    """A line that breaks the rules of lines; `flaws` has one sentence each."""

    message = _("These steps do not make a line.")

    def __init__(self, flaws: Sequence[str]) -> None:
        super().__init__()
        self.flaws = list(flaws)


class MovementRefused(ProgramsError):
    """A movement that breaks the rules of the library; `flaws` has one sentence each."""

    message = _("The library's rules do not allow this movement.")

    def __init__(self, flaws: Sequence[str]) -> None:
        super().__init__()
        self.flaws = list(flaws)


@dataclass(frozen=True)
class Fault:
    """Something wrong in a file: where it stands (a JSON pointer, a line) and what to do about it."""

    place: str
    reason: str


class BlockFileRefused(ProgramsError):
    """A block file with faults; nothing of it was kept. `faults` has the first of them, in reading order."""

    message = _("Nothing was imported. Correct the file, then send it again.")
    most = 50

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__()
        self.faults = list(faults[: self.most])
        self.has_more = len(faults) > self.most


class WeekOutsideBlock(ProgramsError):
    message = _("The block has no such week.")


class EmptyBlock(ProgramsError):
    message = _("There is nothing to publish yet: at least one session needs a movement.")


class AlreadyPublished(ProgramsError):
    message = _("This block was published already.")


class NothingToSchedule(ProgramsError):
    message = _("No session of this block falls on or after the first day.")


class _RefusedPrescriptions(ProgramsError):
    """Carries the names of the movements that were in the way."""

    def __init__(self, movements: Sequence[str]) -> None:
        super().__init__()
        self.movements = list(dict.fromkeys(movements))

    def __str__(self) -> str:
        return f"{self.message} ({', '.join(self.movements)})"


class AboveCeiling(_RefusedPrescriptions, clients_errors.AboveCeiling):
    message = _("This is harder than the screening allows.")


class BarredAreaLoaded(_RefusedPrescriptions):
    message = _("This loads an area that must not be loaded.")


class ReasonNeeded(_RefusedPrescriptions):
    """The coach may, and says why."""

    message = _("Say why: this stresses an area that the client protects.")


class EntryRefused(ProgramsError):
    """An entry of the log that cannot be kept; `errors` has the messages by field."""

    message = _("This could not be kept.")

    def __init__(self, errors: Mapping[str, Sequence[object]]) -> None:
        super().__init__()
        self.errors = {field: [str(message) for message in messages] for field, messages in errors.items()}


class EntryConflict(ProgramsError):
    """Something else stands where the entry would go; `current` is the id of what stands."""

    message = _("Other numbers were saved here before.")

    def __init__(self, current: uuid.UUID) -> None:
        super().__init__()
        self.current = current


class NotMovable(ProgramsError):
    message = _("This session was logged, moved or withdrawn already, so it stays on its day.")


class FeedNotThere(ProgramsError):
    message = _("There is no calendar at this address.")


class ChangedMeanwhile(ProgramsError):
    message = _("Somebody published another revision of this block meanwhile. Please look at that one.")


class ClientHasLeft(ProgramsError):
    message = _("This client has left: nothing can be published for them.")


class DraftChanged(ProgramsError):
    """What would be published is not what was read."""

    message = _(
        "Somebody changed this draft since you opened this page. It stands here as it is now: read it, then publish."
    )


class RevisionOpen(ProgramsError):
    message = _("A revision of this block is open as a draft. Publish it first, or repeat the week in it.")


class NextWeekBegun(ProgramsError):
    message = _("A later week has begun already. Repeat that one.")


class AnotherBlockFollows(ProgramsError):
    message = _("Sessions of another block are on the coming days. They would give way, so change that block first.")


class BlockTooLong(ProgramsError):
    message = _("A block has sixteen weeks at most.")


class DayExcused(ProgramsError):
    message = _("That day is excused. Choose another one, or take the excuse back first.")


class ExcusedAlready(ProgramsError):
    message = _("Some of these days are excused already. Look at the list, then choose the days that are missing.")


class ExcuseTakenBack(ProgramsError):
    message = _("Somebody took this back already.")


class ExcuseOutOfReach(ProgramsError):
    message = _("Choose days from four weeks ago to half a year ahead, in order, and sixty at most.")


class DayOutOfReach(ProgramsError):
    message = _("Choose a day from today on, two weeks ahead at most.")


class BaselineNotOffered(ProgramsError):
    """A baseline test that is not for this client today; says why where it is known."""

    message = _("This test is not offered today.")

    def __init__(self, why: str = "") -> None:
        super().__init__()
        self.why = why

    def __str__(self) -> str:
        return self.why or str(self.message)


class MaximalNotAllowed(BaselineNotOffered):
    message = _("This test is not done to the limit here.")


class NothingTold(ProgramsError):
    message = _("Something is missing: how much it was, how it ended, or why it was left out.")


class RunFinished(ProgramsError):
    message = _("This baseline is finished. A new one starts from the list.")


class BaselineConflict(ProgramsError):
    message = _("Something else was kept under this form already. Please open the test again.")


class PlacedUnread(ProgramsError):
    message = _("Read what changed for this client first, and say so.")


class BegunAlready(ProgramsError):
    """The same template for the same client and week, and nobody has touched that draft: it is the same wish."""

    message = _("A draft of this template for this week is there already.")

    def __init__(self, block_uuid: uuid.UUID) -> None:
        super().__init__()
        self.block_uuid = block_uuid


class NotAMaximum(BaselineNotOffered):
    message = _("This is no maximum that percentages can go by.")


class NoReferenceMax(_RefusedPrescriptions):
    message = _("A percentage needs a reference max of the movement that leaves something to lift.")


class NothingToShow(ProgramsError):
    message = _("There is nothing to publish yet: the session needs a movement.")


class VisibleChanged(ProgramsError):
    message = _(
        "Somebody changed this session since you opened this page. It stands here as it is now: read it once more."
    )


class NamesTheClient(ProgramsError):
    """A page for everybody would name the client; `texts` are the ones that do."""

    message = _("This holds the client's name.")

    def __init__(self, texts: Sequence[str]) -> None:
        super().__init__()
        self.texts = list(texts)

    def __str__(self) -> str:
        return f"{self.message} ({', '.join(f'“{text}”' for text in self.texts)})"
