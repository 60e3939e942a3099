"""How the inspector's table says no."""

from gowngroup.records.errors import Refusal, Taken


class GownMovedOn(Taken):
    """The gown is somewhere else by now than when it was shown."""


class NotInOrder(Refusal):
    """A gown cannot pass while something is not in order or metal was found."""


class ReasonMissing(Refusal):
    """Anything but a pass needs its reason."""


class NotDryAndSteamed(Refusal):
    """Only bone dry and steamed gowns go to their second check."""


class NoGowns(Refusal):
    """No gown was chosen."""


class WrongForDesign(Refusal):
    """The design is not made in this size or for this purpose."""
