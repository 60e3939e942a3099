"""Smocking charts as data: rows of stitches, none of them tied to a pleat count."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

Stitch = Literal["cable", "stem", "outline", "wave", "trellis"]
Rise = Literal["level", "half", "full", "halves", "thirds", "quarters"]
Level = Literal["top", "bottom"]
Thread = Literal["above", "below"]
Start = Literal["centre", "left", "right"]

_SPACES_PER_RISE = {"level": Fraction(0), "half": Fraction(1, 2), "full": Fraction(1)}
_SPACES_PER_STEP = {"thirds": Fraction(1, 3), "quarters": Fraction(1, 4)}


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartRow:
    """One worked row; rows are numbered by pleating thread, 1 at the top, and 1½ is halfway to the next.

    `top_row` is the height of the upper turns; `steps` the slanting stitches between two turns (0 for level
    stitches); `rise` "halves" is `rise_half_spaces` halves of a row space; `centre_at` tells whether the turn over
    the centre valley lies at the top or the bottom.
    """

    name: str
    stitch: Stitch
    top_row: Fraction
    floss_role: str
    steps: int = 0
    rise: Rise = "level"
    strand_count: int = 3
    start: Start = "centre"
    centre_at: Level = "bottom"
    first_thread: Thread = "below"
    meets_row_above: bool = False
    is_back_smocking: bool = False
    rise_half_spaces: int = 0

    @property
    def rise_spaces(self) -> Fraction:
        """Height between lower and upper turns, in row spaces."""
        if self.rise == "halves":
            return Fraction(self.rise_half_spaces, 2)
        if self.rise in _SPACES_PER_STEP:
            return _SPACES_PER_STEP[self.rise] * self.steps
        return _SPACES_PER_RISE[self.rise]

    @property
    def bottom_row(self) -> Fraction:
        """Height of the lower turns, as a row number."""
        return self.top_row + self.rise_spaces

    @property
    def repeat_pleats(self) -> int:
        """Pleats in one repeat: 1 for stem and outline, 2 for cable, else 2k + 2."""
        return 1 if self.stitch in ("stem", "outline") else 2 * self.steps + 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """A whole smocking design; `row_count` design rows are pleated for it, holding rows not counted."""

    name: str
    row_count: int
    rows: tuple[ChartRow, ...]
