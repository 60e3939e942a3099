"""Label sheets as data: where each label lies on the paper, in mm from its left and upper edge."""

from dataclasses import dataclass

INSIDE_MM = 2.0  # kept free along each label's edge, since printers and hands are never exact


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """One generic sheet of labels; positions count from 1, row by row."""

    key: str
    name: str
    paper_size: str
    paper_width_mm: float
    paper_height_mm: float
    column_count: int
    row_count: int
    label_width_mm: float
    label_height_mm: float
    pitch_x_mm: float
    pitch_y_mm: float
    left_mm: float
    top_mm: float

    @property
    def label_count(self) -> int:
        """Labels on a sheet."""
        return self.column_count * self.row_count

    @property
    def places(self) -> tuple["Place", ...]:
        """Where each label lies."""
        return tuple(self.place(position) for position in range(1, self.label_count + 1))

    def place(self, position: int) -> "Place":
        """Where the label at a position lies."""
        row, column = divmod(position - 1, self.column_count)
        return Place(
            position=position,
            left_mm=round(self.left_mm + column * self.pitch_x_mm, 3),
            top_mm=round(self.top_mm + row * self.pitch_y_mm, 3),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """The upper left corner of one label."""

    position: int
    left_mm: float
    top_mm: float


# Geometry as in LibreOffice's labels.xml (MPL data), for the generic 21-label sheet on A4 (ISO 216).
LABEL_SHEETS = (
    LabelSheet(
        key="a4-3x7",
        name="A4, 3 × 7 labels of 63.5 × 38.1 mm",
        paper_size="A4",
        paper_width_mm=210.0,
        paper_height_mm=297.0,
        column_count=3,
        row_count=7,
        label_width_mm=63.50,
        label_height_mm=38.10,
        pitch_x_mm=66.04,
        pitch_y_mm=38.10,
        left_mm=7.20,
        top_mm=15.15,
    ),
)
USUAL_SHEET = LABEL_SHEETS[0]


def label_sheet(key: str) -> LabelSheet | None:
    """The sheet of this key, if there is one."""
    return next((sheet for sheet in LABEL_SHEETS if sheet.key == key), None)
