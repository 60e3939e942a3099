"""The papers a pattern is tiled over, and what one page shows."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.planning.tiling import TileSize
from gowngroup.records.errors import Refusal

OVERLAP_MM = 10.0
SIDE_MM, TOP_MM, BOTTOM_MM = 8.0, 8.0, 12.0  # margins most printers keep to (common practice, no source)
HEADER_MM, LARGE_HEADER_MM = 15.0, 19.0  # three lines of text
FRAME_MM = 0.5  # round the frame, so that its line is drawn whole
SPARE_MM = 1.0
TEXT_SIDE_MM = 14.0  # as on every sheet


class UnknownPaper(Refusal):
    """The pattern was asked for on paper that is not known here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternPaper:
    """A paper size; what of a page is left for the pattern depends on the size of the type above it."""

    name: str
    width_mm: float
    height_mm: float

    @property
    def text_width_mm(self) -> float:
        """Width between the margins of a page of text."""
        return self.width_mm - 2 * TEXT_SIDE_MM

    def tile(self, *, has_large_print: bool) -> TileSize:
        """What one page shows between its margins and below its header."""
        header_mm = LARGE_HEADER_MM if has_large_print else HEADER_MM
        return TileSize(
            width_mm=self.width_mm - 2 * SIDE_MM - 2 * FRAME_MM,
            height_mm=self.height_mm - TOP_MM - BOTTOM_MM - header_mm - SPARE_MM - 2 * FRAME_MM,
            overlap_mm=OVERLAP_MM,
        )


# ISO 216 and ANSI/ASME Y14.1.
PAPERS = (
    PatternPaper(name="A4", width_mm=210.0, height_mm=297.0),
    PatternPaper(name="Letter", width_mm=215.9, height_mm=279.4),
)


def paper_named(name: str) -> PatternPaper:
    """The paper of this name; raises UnknownPaper."""
    for paper in PAPERS:
        if paper.name == name:
            return paper
    raise UnknownPaper(
        _(
            "A pattern is printed on %(papers)s; there is no paper called “%(name)s” here. Please choose again."
        )
        % {"papers": _(" or ").join(paper.name for paper in PAPERS), "name": name[:40]},
        field="paper",
    )
