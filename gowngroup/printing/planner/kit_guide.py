"""The pleating guide of a kit sheet, drawn at true size: rows to thread, half spaces, spare pleats, a bar to measure."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.catalog.models import DesignRevision, Size
from gowngroup.catalog.planner import GownNeed
from gowngroup.catalog.planner.values import PleatingGuide
from gowngroup.planning.smocking import PleaterProfile
from gowngroup.printing import first_page
from gowngroup.printing.planner.pattern.words import text_width_mm
from gowngroup.printing.templatetags.sheets import fine_length
from gowngroup.records.reader import current_reader

GUIDE_WIDTH_MM, TALLEST_MM = 94.0, 160.0
CUT_EDGE_MM, END_MM, TICK_MM = 3.0, 4.0, 2.4
SMOCKED = ("front panel", "front")
BAR_MM = {"cm": 50.0, "in": 50.8}


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideWords:
    """Words in the drawing."""

    text: str
    x_mm: float
    y_mm: float
    anchor: str = "start"


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedGuide:
    """The guide as SVG path data in mm on paper; `scale` is 1 at true size and ½ where that would be too tall."""

    title: str
    width_mm: float
    height_mm: float
    letter_mm: float
    scale: float
    first_row_mm: float | None
    cut_edge: str
    rows: str
    holding_rows: str
    half_spaces: str
    pleats: str
    spare: str
    bar: str
    bar_mm: float
    words: tuple[GuideWords, ...]

    @property
    def caption(self) -> str:
        """What is drawn, and how to see that it is drawn right."""
        size = _("True size.") if self.scale == 1 else _("Half of true size.")
        bar = _("The thick bar measures %(length)s: if it does not, print again at 100 %%.") % {
            "length": _("2 in") if self.bar_mm > 50 else "5 cm"
        }
        return f"{size} {bar}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """Where the rows of the guide lie on paper, in mm."""

    guide: PleatingGuide
    pleater: PleaterProfile
    scale: float
    first_row_mm: float | None
    letter_mm: float

    @property
    def above(self) -> int:
        return (self.pleater.holding_row_count + 1) // 2

    @property
    def space_mm(self) -> float:
        return self.guide.row_space_mm * self.scale

    @property
    def left_mm(self) -> float:
        return text_width_mm(_("hold"), self.letter_mm) + 2.0

    @property
    def right_mm(self) -> float:
        return GUIDE_WIDTH_MM - text_width_mm("00 mm", self.letter_mm) - 3.0

    @property
    def edge_mm(self) -> float:
        """The cut edge, or the top of the drawing where nothing is known of it."""
        return CUT_EDGE_MM

    @property
    def first_mm(self) -> float:
        """The first row to thread, a holding row."""
        if self.first_row_mm is None:
            return CUT_EDGE_MM + self.letter_mm
        return max(
            CUT_EDGE_MM + self.first_row_mm * self.scale - self.above * self.space_mm, CUT_EDGE_MM + 1.0
        )

    def y(self, row: float) -> float:
        """Height of a row, 0 for the first that is threaded."""
        return self.first_mm + row * self.space_mm

    def x(self, pleat: float) -> float:
        """A pleat's place from the first, spare ones counted."""
        return self.left_mm + (pleat + 0.5) * self.guide.take_up_mm * self.scale

    @property
    def pleat_count(self) -> int:
        return int((self.right_mm - self.left_mm) / (self.guide.take_up_mm * self.scale))


def printed_guide(
    need: GownNeed, pleater: PleaterProfile, *, first_row_mm: float | None
) -> PrintedGuide | None:
    """The upper left corner of the pleated cloth; None where nothing is pleated.

    `first_row_mm` is how far row 1 lies below the cut edge, where the design says so.
    """
    guide = need.pleating
    if guide is None:
        return None
    letter_mm = round(first_page.type_mm(), 2)
    tall_mm = guide.row_space_mm * (guide.row_count - 1)
    place = _Place(
        guide=guide,
        pleater=pleater,
        scale=1.0 if tall_mm <= TALLEST_MM else 0.5,
        first_row_mm=first_row_mm,
        letter_mm=letter_mm,
    )
    last_mm = place.y(guide.row_count - 1)
    bar_mm = BAR_MM[current_reader().length_unit]
    words_mm = last_mm + END_MM + letter_mm * 1.1
    bar_y_mm = words_mm + 3.0
    return PrintedGuide(
        title=_title(guide),
        width_mm=GUIDE_WIDTH_MM,
        height_mm=round(bar_y_mm + 2.0, 2),
        letter_mm=letter_mm,
        scale=place.scale,
        first_row_mm=first_row_mm,
        cut_edge=""
        if first_row_mm is None
        else f"M{_mm(place.left_mm - 1)} {_mm(place.edge_mm)}H{_mm(place.right_mm + 2)}",
        rows="".join(_row(place, row) for row in range(guide.row_count) if _number(place, row)),
        holding_rows="".join(_row(place, row) for row in range(guide.row_count) if not _number(place, row)),
        half_spaces="".join(_row(place, row + 0.5) for row in range(guide.row_count - 1)),
        pleats="".join(_ticks(place, row) for row in range(guide.row_count)),
        spare=_spare(place, last_mm),
        bar=f"M{_mm(place.left_mm)} {_mm(bar_y_mm)}h{bar_mm}",
        bar_mm=bar_mm,
        words=tuple(_words(place, words_mm)),
    )


def first_row_mm(
    need: GownNeed, revision: DesignRevision, size: Size, figures: Mapping[str, float]
) -> float | None:
    """How far row 1 lies below the cut edge: as the size says, else as the figures did; None but for our own blocks."""
    if not revision.design.is_drafted():
        return None
    edges = {
        edge.name: edge for piece in need.pieces if piece.part in SMOCKED for edge in piece.pattern.edges
    }
    upper = edges.get("yoke_seam") or edges.get("neck")
    if upper is None:
        return None
    design_size = revision.sizes.filter(size=size).first()
    overrides = design_size.overrides if design_size else {}
    return upper.allowance_mm + float(overrides.get("first_row_mm", figures["draft_first_row_mm"]))


def _title(guide: PleatingGuide) -> str:
    return ngettext(
        "Pleating guide: %(count)d row to thread, %(space)s from row to row, the first and last ones holding rows",
        "Pleating guide: %(count)d rows to thread, %(space)s from row to row, the first and last ones holding rows",
        guide.row_count,
    ) % {"count": guide.row_count, "space": fine_length(guide.row_space_mm)}


def _number(place: _Place, row: int) -> int | None:
    """The number of a design row; none for a holding row."""
    number = row - place.above + 1
    return number if 1 <= number <= place.guide.design_row_count else None


def _row(place: _Place, row: float) -> str:
    return f"M{_mm(place.left_mm)} {_mm(place.y(row))}H{_mm(place.right_mm)}"


def _ticks(place: _Place, row: int) -> str:
    top_mm = place.y(row) - TICK_MM / 2
    return "".join(f"M{_mm(place.x(pleat))} {_mm(top_mm)}v{TICK_MM}" for pleat in range(place.pleat_count))


def _spare(place: _Place, last_mm: float) -> str:
    """A line where the spare pleats end and the smocked ones begin."""
    x_mm = place.x(place.pleater.spare_each_side_count - 0.5)
    return f"M{_mm(x_mm)} {_mm(place.first_mm - 1.5)}V{_mm(last_mm + END_MM)}"


def _words(place: _Place, baseline_mm: float) -> list[GuideWords]:
    middle_mm = place.letter_mm / 3
    names = [
        GuideWords(
            text=str(_number(place, row) or _("hold")),
            x_mm=round(place.left_mm - 1.4, 2),
            y_mm=round(place.y(row) + middle_mm, 2),
            anchor="end",
        )
        for row in range(place.guide.row_count)
    ]
    space = GuideWords(
        text=fine_length(place.guide.row_space_mm),
        x_mm=round(place.right_mm + 2.0, 2),
        y_mm=round(place.y(0.5) + middle_mm, 2),
    )
    edge = GuideWords(
        text=_("cut edge"),
        x_mm=round(place.right_mm, 2),
        y_mm=round(place.edge_mm + 0.95 * place.letter_mm, 2),
        anchor="end",
    )
    has_edge = place.first_row_mm is not None and place.first_mm - place.edge_mm > 1.3 * place.letter_mm
    spare = ngettext("%(count)d spare pleat", "%(count)d spare pleats", place.pleater.spare_each_side_count)
    below = GuideWords(
        text=spare % {"count": place.pleater.spare_each_side_count},
        x_mm=round(place.left_mm, 2),
        y_mm=round(baseline_mm, 2),
    )
    return [*((edge,) if has_edge else ()), *names, space, below]


def _mm(length: float) -> str:
    return f"{length:.2f}".rstrip("0").rstrip(".")
