"""Why a drop-off may not be packed, leave or be signed for."""

from gowngroup.records.errors import Refusal, Taken


class WardTakesNothing(Refusal):
    """The ward is paused on that day, or is no longer served."""


class WardRefusesGown(Refusal):
    """A rule of the ward forbids this gown."""


class GownIsElsewhere(Taken):
    """The gown is not on the shelf: packed for a ward, delivered, or not passed yet."""


class DropOffMovedOn(Taken):
    """The drop-off is no longer in the state it was shown in."""


class NothingPacked(Refusal):
    """A drop-off leaves with at least one gown."""


class NothingOnTheShelf(Refusal):
    """No gown on the shelf suits what the ward asks for."""


class ImpossibleDay(Refusal):
    """The day lies in the past or too far ahead."""


class WhoSigned(Refusal):
    """The printed name of who signed is missing."""


class ReasonMissing(Refusal):
    """Something unusual is done without saying why."""


class NoReceiptToPrint(Taken):
    """The drop-off has no receipt to print: it has not left, or came back."""


class NotSignedYet(Taken):
    """Only what the ward has signed for goes on file."""
