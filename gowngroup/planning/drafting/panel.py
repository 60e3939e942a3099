"""The right half of a raglan panel: neck, raglan seam, side seam and hem, from which every piece is built."""

from collections.abc import Callable
from dataclasses import dataclass

from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.geometry import Path, Point, curve, joined, line, mirrored, path, path_length_mm

_BISECTIONS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Raglan:
    """A raglan seam from the neck: along the grain through the smocking, then curved out to the underarm.

    `side_slope` is how far the seam below it runs outwards per mm; the curve ends square to that seam.
    """

    straight_mm: float
    depth_mm: float
    width_mm: float
    fullness: float
    side_slope: float

    def walked(self, corner_x_mm: float) -> Path:
        """The seam line from the neck corner down to the underarm."""
        bend: Point = (corner_x_mm, self.straight_mm)
        underarm: Point = (corner_x_mm + self.width_mm, self.depth_mm)
        reach_mm = self.fullness * self.width_mm
        straight = (line((corner_x_mm, 0.0), bend),) if self.straight_mm else ()
        return path(
            *straight,
            curve(
                bend,
                (corner_x_mm, self.straight_mm + self.fullness * (self.depth_mm - self.straight_mm)),
                (underarm[0] - reach_mm, underarm[1] + reach_mm * self.side_slope),
                underarm,
            ),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """The four paths of a right half, counter-clockwise from the centre of the neck to the centre of the hem."""

    neck: Path
    raglan: Path
    side: Path
    hem: Path


def half_panel(
    *, neck_mm: float, neck_drop_mm: float, raglan: Raglan, length_mm: float, hem_curve_mm: float
) -> Panel:
    """A right half whose neck edge is `neck_mm` long along its curve, `length_mm` long at the centre.

    The hem leaves the centre level and curves over its last `hem_curve_mm` to meet the side seam square.
    """
    neck = neck_half(neck_mm, neck_drop_mm)
    raglan_path = raglan.walked(neck.end[0])
    side, hem = side_and_hem(
        raglan_path.end, slope=raglan.side_slope, length_mm=length_mm, hem_curve_mm=hem_curve_mm
    )
    return Panel(neck=neck, raglan=raglan_path, side=side, hem=hem)


def side_and_hem(
    underarm: Point, *, slope: float, length_mm: float, hem_curve_mm: float
) -> tuple[Path, Path]:
    """A side seam from the underarm, running outwards by `slope`, and the right half of the hem below it."""
    underarm_x_mm, underarm_y_mm = underarm
    side_y_mm = length_mm - hem_curve_mm * slope / 2
    side_x_mm = underarm_x_mm + (side_y_mm - underarm_y_mm) * slope
    level: Point = (side_x_mm - hem_curve_mm, length_mm)
    corner: Point = (side_x_mm - hem_curve_mm / 2, length_mm)
    side_end: Point = (side_x_mm, side_y_mm)
    hem = path(
        curve(side_end, _towards(side_end, corner), _towards(level, corner), level),
        line(level, (0.0, length_mm)),
    )
    return path(line(underarm, side_end)), hem


def both_halves(right: Path, *, is_outwards: bool) -> Path:
    """A path right across a piece; `is_outwards` where the right half starts at the centre."""
    left = mirrored(right)
    return joined(left, right) if is_outwards else joined(right, left)


def fullness_for_length(build: Callable[[float], Path], *, partner: Path) -> float:
    """The fullness (0.1 to 1) at which a raglan seam is as long as its partner; raises CannotDraft."""
    low, high, length_mm = 0.1, 1.0, path_length_mm(partner)
    if not path_length_mm(build(low)) <= length_mm <= path_length_mm(build(high)):
        raise CannotDraft("raglans_cannot_meet", length_mm=length_mm)
    return bisected(lambda fullness: path_length_mm(build(fullness)) - length_mm, low, high)


def bisected(rising: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising function crosses zero between two numbers."""
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        if rising(middle) < 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def neck_half(length_mm: float, drop_mm: float) -> Path:
    """Half a neck edge this long along its curve, from the centre, which lies `drop_mm` lower than its end."""
    if not drop_mm:
        return path(line((0.0, 0.0), (length_mm, 0.0)))
    width_mm = bisected(lambda width: path_length_mm(_dipped(width, drop_mm)) - length_mm, 0.0, length_mm)
    return _dipped(width_mm, drop_mm)


def _dipped(width_mm: float, drop_mm: float) -> Path:
    middle_mm = width_mm / 2
    return path(curve((0.0, drop_mm), (middle_mm, drop_mm), (middle_mm, 0.0), (width_mm, 0.0)))


def _towards(point: Point, corner: Point) -> Point:
    """Control point two thirds of the way to the corner, so that the cubic is the parabola it would give."""
    return point[0] + (corner[0] - point[0]) * 2 / 3, point[1] + (corner[1] - point[1]) * 2 / 3
