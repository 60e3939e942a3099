"""How the shelf says no."""

from gowngroup.records.errors import Refusal, Short, Taken


class ShortOnShelf(Short):
    """The lot does not hold so much that is free, or on hand, or reserved."""


class BelowReserved(Short):
    """What was counted or measured is less than what a plan holds of the lot."""


class NothingToBook(Refusal):
    """An amount of zero or less was to be booked."""


class ReasonMissing(Refusal):
    """A correction without a reason."""


class DuplicateCode(Refusal):
    """Another lot bears this code."""


class WidthMissing(Refusal):
    """Cloth without a width cannot be planned."""


class NotAPackage(Refusal):
    """The lot is not made of unopened packages."""


class NotMeasurable(Refusal):
    """The lot is counted, or still packed, so that it cannot be washed and measured as one piece."""


class FlawOutside(Refusal):
    """A flaw lies outside the cloth, or ends before it begins."""


class DuplicateMaterial(Refusal):
    """A material of this kind, name and shade is on the list already."""


class MaterialInUse(Refusal):
    """How a material is measured cannot change while lots of it are in the books."""


class NotCounted(Refusal):
    """Cloth, lace, floss and their like are measured by length, not counted."""


class NoTrim(Refusal):
    """A width that only lace, ribbon and other trims have, or one of which nothing shows."""


class LotChanged(Taken):
    """The lot has moved on since it was shown."""
