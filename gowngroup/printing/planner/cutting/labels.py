"""What stands inside the pieces, and the notes beside the cloth with their leader lines; all in mm on paper."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, degrees, dist, radians, sin

import shapely
import shapely.affinity
from django.utils.translation import gettext as _

from gowngroup.planning.geometry import Point
from gowngroup.planning.tiling import Shape
from gowngroup.printing.planner.cutting.pieces import CutPiece
from gowngroup.printing.planner.cutting.scale import SMALLEST_SHARE
from gowngroup.printing.planner.pattern.words import LINE_SHARE, text_width_mm

SIZES = (1.0, (1 + SMALLEST_SHARE) / 2, SMALLEST_SHARE)
ROOM_MM, BASELINE, POLE_MM = 0.5, 0.36, 0.5
NOTE_LINE_SHARE = 1.15
SECTIONS = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)
SAME_MM = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A line of words: its anchor on the baseline, and by how much it is turned clockwise."""

    text: str
    x_mm: float
    y_mm: float
    type_mm: float
    anchor: str = "middle"
    is_bold: bool = False
    turn_deg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Words beside the cloth at about this height, led to a point of the drawing where there is one."""

    text: str
    y_mm: float
    point: Point | None = None


def inside(piece: CutPiece, shape: shapely.Polygon, type_mm: float) -> tuple[Text, ...]:
    """A piece's number and kit, set as large as they fit into what is seen of it; () where they do not."""
    middles, ways = _middles(shape), (0.0, -90.0, _long_way_deg(shape))
    for share in SIZES:
        for texts, turn_deg in _settings(piece, ways, is_largest=share == SIZES[0]):
            for middle in middles:
                if _has_room(shape, texts, middle, type_mm=share * type_mm, turn_deg=turn_deg):
                    return tuple(_lines(texts, middle, share * type_mm, turn_deg))
    return ()


def _settings(
    piece: CutPiece, ways: Sequence[float], *, is_largest: bool
) -> Iterator[tuple[tuple[str, ...], float]]:
    """From the fullest to the shortest: with the piece's name, with the kit in words, in one word, aslant."""
    number, kit = str(piece.number), _("kit %(kit)s") % {"kit": piece.kit_key}
    if is_largest:
        yield (number, kit, piece.name), 0.0
    yield (number, kit), 0.0
    yield from (((piece.mark,), turn_deg) for turn_deg in ways)


def _middles(shape: shapely.Polygon) -> tuple[Point, ...]:
    """Where words may be centred: the middle of the box, and where there is most room all round."""
    left, top, right, bottom = shape.bounds
    pole = shapely.maximum_inscribed_circle(shape, tolerance=POLE_MM).coords[0]
    return ((left + right) / 2, (top + bottom) / 2), (pole[0], pole[1])


def _long_way_deg(shape: Shape) -> float:
    """Which way a slender piece lies, as words run along it from left to right, clockwise from level."""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shape)).tolist()
    (x0, y0), (x1, y1) = max(pairwise(corners), key=lambda side: dist(*side))
    across, down = (x1 - x0, y1 - y0) if x1 >= x0 else (x0 - x1, y0 - y1)
    return degrees(atan2(down, across))


def _box(middle: Point, across_mm: float, down_mm: float, turn_deg: float) -> Shape:
    """A box round its middle, turned."""
    x, y = middle
    box = shapely.box(x - across_mm, y - down_mm, x + across_mm, y + down_mm)
    return shapely.affinity.rotate(box, turn_deg, origin=middle) if turn_deg else box


def _has_room(shape: Shape, texts: Sequence[str], middle: Point, *, type_mm: float, turn_deg: float) -> bool:
    across_mm = max(text_width_mm(text, type_mm) for text in texts) / 2 + ROOM_MM
    down_mm = len(texts) * LINE_SHARE * type_mm / 2 + ROOM_MM / 2
    return bool(shape.contains(_box(middle, across_mm, down_mm, turn_deg)))


def _lines(texts: Sequence[str], middle: Point, type_mm: float, turn_deg: float) -> Iterator[Text]:
    turn = radians(turn_deg)
    for index, text in enumerate(texts):
        aside_mm = (index - (len(texts) - 1) / 2) * LINE_SHARE * type_mm + BASELINE * type_mm
        yield Text(
            text=text,
            x_mm=middle[0] - sin(turn) * aside_mm,
            y_mm=middle[1] + cos(turn) * aside_mm,
            type_mm=type_mm,
            is_bold=index == 0,
            turn_deg=round(turn_deg, 1),
        )


def near(shape: Shape, text: str, taken: Sequence[Shape], *, cloth: Shape, type_mm: float) -> Text | None:
    """A word on free cloth right beside what is seen of a piece; None where there is none."""
    across_mm, down_mm = text_width_mm(text, type_mm) / 2 + ROOM_MM, LINE_SHARE * type_mm / 2
    for left, right, y_mm in _sections(shape):
        for aside_mm in (across_mm + SAME_MM, across_mm + down_mm):  # further off where the edge slants
            for x_mm in (right + aside_mm, left - aside_mm):
                box = _box((x_mm, y_mm), across_mm, down_mm, 0.0)
                if cloth.contains(box) and not any(box.intersects(each) for each in taken):
                    return next(_lines((text,), (x_mm, y_mm), type_mm, 0.0))
    return None


def point_in(shape: Shape, taken: Sequence[Shape], right_mm: float) -> Point:
    """Where a leader line may end in a piece so that on its way to the right it crosses the fewest words."""
    points = [((left + right) / 2, y_mm) for left, right, y_mm in _sections(shape)]
    return min(points, key=lambda point: _crossed_count(point, taken, right_mm))


def _crossed_count(point: Point, taken: Sequence[Shape], right_mm: float) -> int:
    line = shapely.LineString([point, (right_mm, point[1])])
    return sum(line.intersects(each) for each in taken)


def _sections(shape: Shape) -> Iterator[tuple[float, float, float]]:
    """Left and right edge of a piece at some heights, those in its middle first."""
    left, top, right, bottom = shape.bounds
    for share in SECTIONS:
        y_mm = top + share * (bottom - top)
        cut = shape.intersection(shapely.LineString([(left - 1, y_mm), (right + 1, y_mm)]))
        if not cut.is_empty:
            widest = max(shapely.get_parts(cut), key=lambda part: part.length)
            yield widest.bounds[0], widest.bounds[2], y_mm


def words_box(text: Text) -> Shape:
    """The room words take, whichever way they are turned."""
    reach_mm = BASELINE * text.type_mm
    turn = radians(text.turn_deg)
    middle = text.x_mm + sin(turn) * reach_mm, text.y_mm - cos(turn) * reach_mm
    return _box(middle, text_width_mm(text.text, text.type_mm) / 2, text.type_mm / 2, text.turn_deg)


def beside(
    notes: Sequence[Note], *, x_mm: float, top_mm: float, bottom_mm: float, type_mm: float
) -> tuple[tuple[Text, ...], tuple[tuple[Point, Point], ...]]:
    """The notes below one another beside the cloth, each near its height, and the leader lines to their points.

    Where there are more than fit at full size they are set closer and smaller, never below 8 pt.
    """
    ordered = sorted(notes, key=lambda note: note.y_mm)
    fitting = (bottom_mm - top_mm) / max(len(ordered), 1) / NOTE_LINE_SHARE
    note_mm = max(min(type_mm, fitting), SMALLEST_SHARE * type_mm)
    heights = _spread([note.y_mm for note in ordered], NOTE_LINE_SHARE * note_mm, top_mm, bottom_mm)
    texts, leaders = [], []
    for note, y_mm in zip(ordered, heights, strict=True):
        texts.append(
            Text(text=note.text, x_mm=x_mm, y_mm=y_mm + BASELINE * note_mm, type_mm=note_mm, anchor="start")
        )
        if note.point is not None:
            leaders.append((note.point, (x_mm - 0.6, y_mm)))
    return tuple(texts), tuple(leaders)


def _spread(wanted_mm: Sequence[float], line_mm: float, top_mm: float, bottom_mm: float) -> list[float]:
    """Middles of lines at least a line apart, as near as may be to where they are wanted."""
    heights: list[float] = []
    for y_mm in wanted_mm:
        heights.append(max(y_mm, heights[-1] + line_mm if heights else top_mm + line_mm / 2))
    low_mm = bottom_mm - line_mm / 2
    for index in range(len(heights) - 1, -1, -1):
        heights[index] = min(heights[index], low_mm)
        low_mm = heights[index] - line_mm
    return heights
