"""What an inspector looks at in each check, in the order of work (common practice, no source)."""

from collections.abc import Callable
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from gowngroup.gowns.models import Gown, GownCheck

Round = GownCheck.Round


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One thing that must be in order before a gown passes a check."""

    key: str
    words: str | Promise


LABEL = Question(key="label", words=_("The label is sewn in: size, wash and fibre, and no name."))
NO_LABEL = Question(
    key="no_label", words=_("Nothing is sewn in or written on the gown itself; its code is on the bag only.")
)
FIRST = (
    Question(key="measures", words=_("Neck, chest, length and sleeves are within the tolerances.")),
    Question(
        key="opens_flat", words=_("It opens fully and lies flat; nothing ties at the neck or behind it.")
    ),
    Question(key="seams", words=_("Seams are flat and closed; no thick seam or knot on the centre back.")),
)
SECOND = (
    Question(key="tug", words=_("Every seam and trim holds when tugged.")),
    Question(key="marks", words=_("No pen or pencil marks are left.")),
    Question(key="blood", words=_("No spots of blood, rust or oil.")),
    Question(key="smell", words=_("It smells of nothing: no smoke, no scent, no cupboard.")),
    Question(key="hair", words=_("No hair and no fluff.")),
    Question(key="threads", words=_("No loose threads or floats inside for tiny fingers to catch in.")),
)


def questions(gown: Gown, round_: str) -> tuple[Question, ...]:
    """What has to be looked at in a round; a memorial gown bears no label and no code."""
    if round_ == Round.SECOND:
        return SECOND
    return (NO_LABEL if gown.is_memorial() else LABEL, *FIRST)


def round_of(gown: Gown, last_round: Callable[[], str | None]) -> str | None:
    """Which check a gown can have now; one that was put away wrongly is checked again as it was.

    None for a gown that has to be mended or washed through first, or has left.
    """
    if gown.state in (Gown.State.BACK, Gown.State.TO_WASH):
        return Round.FIRST
    if gown.state in (Gown.State.WASHED, Gown.State.PASSED):
        return Round.SECOND
    if gown.state in (Gown.State.SET_ASIDE, Gown.State.PRACTICE):
        return last_round() or Round.FIRST
    return None
