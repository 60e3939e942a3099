"""Sheets of labels: where each label lies on the paper, in mm from its left and upper edge."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

PAPER_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1, size A
SLACK_MM = 0.005  # the standards give hundredths


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """The upper left corner of one label."""

    position: int
    left_mm: float
    top_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFault:
    """Why a sheet cannot be printed: which edge its labels pass or which neighbours they cover, and by how much."""

    reason: str  # left, upper, right, lower: past that edge; beside, below: over that neighbour
    excess_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """One sheet of labels; positions count from 1, row by row. With `tuck_mm` it is cut out of plain cloth or paper."""

    key: str
    paper_size: str
    column_count: int
    row_count: int
    label_width_mm: float
    label_height_mm: float
    pitch_x_mm: float
    pitch_y_mm: float
    left_mm: float
    top_mm: float
    name: str = ""
    tuck_mm: float = 0.0

    @property
    def paper_width_mm(self) -> float:
        """Width of its paper."""
        return PAPER_MM[self.paper_size][0]

    @property
    def paper_height_mm(self) -> float:
        """Height of its paper."""
        return PAPER_MM[self.paper_size][1]

    @property
    def label_count(self) -> int:
        """Labels on a sheet."""
        return self.column_count * self.row_count

    @property
    def places(self) -> tuple[Place, ...]:
        """Where each label lies."""
        return tuple(self.place(position) for position in range(1, self.label_count + 1))

    def place(self, position: int) -> Place:
        """Where the label at a position lies."""
        row, column = divmod(position - 1, self.column_count)
        return Place(
            position=position,
            left_mm=round(self.left_mm + column * self.pitch_x_mm, 3),
            top_mm=round(self.top_mm + row * self.pitch_y_mm, 3),
        )

    def shifted(self, *, right_mm: float, down_mm: float) -> "LabelSheet":
        """The same sheet as it must be printed on a printer that is out by as much the other way."""
        return replace(
            self, left_mm=round(self.left_mm + right_mm, 3), top_mm=round(self.top_mm + down_mm, 3)
        )


def sheet_faults(sheet: LabelSheet) -> tuple[SheetFault, ...]:
    """Why labels of a sheet would leave its paper or cover each other; lengths in mm, () where all is well.

    Source: plain geometry on the paper sizes of ISO 216 and ANSI/ASME Y14.1.
    """
    return tuple(
        SheetFault(reason=reason, excess_mm=round(excess_mm, 3))
        for reason, excess_mm in _excesses(sheet)
        if excess_mm > SLACK_MM
    )


def _excesses(sheet: LabelSheet) -> Iterator[tuple[str, float]]:
    last = sheet.place(sheet.label_count)
    yield "left", -sheet.left_mm
    yield "upper", -sheet.top_mm
    yield "right", last.left_mm + sheet.label_width_mm - sheet.paper_width_mm
    yield "lower", last.top_mm + sheet.label_height_mm - sheet.paper_height_mm
    if sheet.column_count > 1:
        yield "beside", sheet.label_width_mm - sheet.pitch_x_mm
    if sheet.row_count > 1:
        yield "below", sheet.label_height_mm - sheet.pitch_y_mm


_Row = tuple[str, str, int, int, float, float, float, float, float, float]
# Geometry of generic sheets as in LibreOffice's labels.xml (MPL data), in mm.
_ROWS: tuple[_Row, ...] = (
    ("a4-3x7", "A4", 3, 7, 63.50, 38.10, 66.04, 38.10, 7.20, 15.15),
    ("a4-2x7", "A4", 2, 7, 99.06, 38.10, 101.60, 38.10, 4.67, 15.15),
    ("a4-3x8", "A4", 3, 8, 64.00, 33.86, 66.54, 33.86, 6.46, 13.06),
    ("a4-5x13", "A4", 5, 13, 38.10, 21.17, 40.64, 21.17, 4.67, 10.90),
    ("letter-3x10", "Letter", 3, 10, 66.68, 25.40, 69.85, 25.40, 4.78, 12.70),
    ("letter-2x5", "Letter", 2, 5, 101.60, 50.80, 106.36, 50.80, 3.96, 12.70),
    ("letter-4x20", "Letter", 4, 20, 44.45, 12.70, 52.40, 12.70, 7.14, 12.70),
)
LABEL_SHEETS = tuple(
    LabelSheet(
        key=key,
        paper_size=paper_size,
        column_count=column_count,
        row_count=row_count,
        label_width_mm=width_mm,
        label_height_mm=height_mm,
        pitch_x_mm=pitch_x_mm,
        pitch_y_mm=pitch_y_mm,
        left_mm=left_mm,
        top_mm=top_mm,
    )
    for key, paper_size, column_count, row_count, width_mm, height_mm, pitch_x_mm, pitch_y_mm, left_mm, top_mm in _ROWS
)
TAPE_WIDTH_MM, TAPE_HEIGHT_MM, TUCK_MM = 62.0, 24.0, 6.0  # common practice, no source


def tape_sheet(paper_size: str) -> LabelSheet:
    """Labels to cut out for sewing in, edge to edge in the middle of the paper, 6 mm to tuck under at each end.

    Lengths in mm. Source: common practice, no source.
    """
    width_mm, height_mm = PAPER_MM[paper_size]
    column_count, row_count = 3, int((height_mm - 24.0) // TAPE_HEIGHT_MM)
    return LabelSheet(
        key=f"tape-{paper_size.lower()}",
        paper_size=paper_size,
        column_count=column_count,
        row_count=row_count,
        label_width_mm=TAPE_WIDTH_MM,
        label_height_mm=TAPE_HEIGHT_MM,
        pitch_x_mm=TAPE_WIDTH_MM,
        pitch_y_mm=TAPE_HEIGHT_MM,
        left_mm=round((width_mm - column_count * TAPE_WIDTH_MM) / 2, 3),
        top_mm=round((height_mm - row_count * TAPE_HEIGHT_MM) / 2, 3),
        tuck_mm=TUCK_MM,
    )
