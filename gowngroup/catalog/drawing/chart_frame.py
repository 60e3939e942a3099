"""Where the pleats and rows of a drawn chart lie, in mm."""

from dataclasses import dataclass

from gowngroup.planning.smocking import CompiledChart

LETTER_MM = 3.9  # 11 pt, the least a sheet may print
MARGIN_MM = 9.0  # room for the row numbers in that size
TOP_MM, BOTTOM_MM = 3.0, 7.0
LEAST_ROW_MM, MOST_ROW_MM = 3.2, 9.0
LEAST_PLEAT_MM, MOST_PLEAT_MM = 1.7, 6.4


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartFrame:
    """The pleats from the first drawn to the last, and the rows, with the place of each."""

    first: int
    last: int
    pleat_mm: float
    row_mm: float
    row_count: int
    letter_mm: float

    def x(self, pleat: float) -> float:
        """Where a pleat stands."""
        return self.margin_mm + (pleat - self.first + 0.5) * self.pleat_mm

    def y(self, spaces: float) -> float:
        """How low a height in row spaces below row 1 lies."""
        return TOP_MM + spaces * self.row_mm

    @property
    def margin_mm(self) -> float:
        """Room for the row numbers."""
        return MARGIN_MM * self.letter_mm / LETTER_MM

    @property
    def pleat_count(self) -> int:
        """Pleats drawn."""
        return self.last - self.first + 1

    @property
    def right_mm(self) -> float:
        """Where the pleats end on the right."""
        return self.margin_mm + self.pleat_count * self.pleat_mm

    @property
    def bottom_mm(self) -> float:
        """How low the last row lies."""
        return self.y(max(self.row_count - 1, 1))


def below_mm(letter_mm: float) -> float:
    """Room for the words below the last row."""
    return BOTTOM_MM * letter_mm / LETTER_MM


def chart_frame(
    compiled: CompiledChart, pleats: tuple[int, int], room_mm: tuple[float, float], letter_mm: float
) -> ChartFrame:
    """The frame in which so many pleats and all rows fill a width and height in mm."""
    first, last = pleats
    spaces = max(compiled.chart.row_count - 1, 1)
    margin_mm = MARGIN_MM * letter_mm / LETTER_MM
    row_mm = (room_mm[1] - TOP_MM - below_mm(letter_mm)) / spaces
    return ChartFrame(
        first=first,
        last=last,
        pleat_mm=min((room_mm[0] - margin_mm) / (last - first + 1), MOST_PLEAT_MM),
        row_mm=min(max(row_mm, LEAST_ROW_MM), MOST_ROW_MM),
        row_count=compiled.chart.row_count,
        letter_mm=letter_mm,
    )


def in_mm(length: float) -> str:
    """A length as path data write it."""
    return f"{length:.2f}".rstrip("0").rstrip(".")
