"""A lay drawn to scale from its stored placements: one drawing unit is one millimetre of cloth."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from shapely import Point, Polygon, maximum_inscribed_circle

from gowngroup.planning.allocation import LotCut
from gowngroup.planning.lay.folded import folded_stretch_mm
from gowngroup.planning.lay.kit_by_kit import ENGINE as KIT_BY_KIT
from gowngroup.planning.lay.values import LayPiece, Outline, placed_outline
from gowngroup.records.reader import current_reader
from gowngroup.records.written import known

BAND_MM = 1400.0  # fits the height of a sheet of paper at the scale at which the width fits
RULER_MM, EDGE_MM, ARROW_MM, FOOT_MM = 95.0, 14.0, 44.0, 46.0
LARGEST_MM, NAME_MM, LETTER_SHARE = 44.0, 24.0, 0.5
CENTRE_TOLERANCE_MM = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPiece:
    """One piece where it lies: its outline, and the kit's number in its middle."""

    key: str
    kit_key: str
    name: str
    is_turned: bool
    start: str
    points: str  # counted from its start, so that pieces alike are written alike and pack small
    x: str
    y: str
    size: str
    name_y: str
    written: str
    top_mm: float
    bottom_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A mark of the ruler; only the long ones are numbered."""

    y: str
    label: str
    label_y: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A flawed stretch."""

    y: str
    height: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A stretch of the lay that fits a sheet of paper; pieces that cross its ends stand in both stretches."""

    number: int
    view_box: str
    top: str
    height: str
    end: str
    arrow: str
    pieces: tuple[DrawnPiece, ...]
    ticks: tuple[Tick, ...]
    flaws: tuple[Span, ...]
    is_last: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class KitStretch:
    """From where to where along the cloth a kit's pieces lie."""

    kit_key: str
    from_mm: float
    to_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LayDrawing:
    """The whole lay, stretch by stretch; `kits` tells each kit's own stretch where the cloth is cut kit by kit.

    `folded_mm` is how far along the cloth it is cut from two layers.
    """

    lot_key: str
    length_mm: float
    width_mm: float
    width: str
    has_nap: bool
    unit: str
    bands: tuple[Band, ...]
    kits: tuple[KitStretch, ...] = ()
    folded_mm: float = 0.0
    fold: str = ""

    @property
    def has_flaws(self) -> bool:
        """Is a flaw drawn in any stretch?"""
        return any(band.flaws for band in self.bands)

    @property
    def band_count(self) -> int:
        """How many stretches."""
        return len(self.bands)


def lay_drawing(cut: LotCut) -> LayDrawing:
    """The drawing of a lay: pieces exactly as stored, a ruler in the reader's unit, flaws and nap."""
    pieces = tuple(_drawn_pieces(cut))
    length_mm = cut.lay.length_mm
    count = max(1, ceil(length_mm / BAND_MM))
    return LayDrawing(
        lot_key=cut.lot_key,
        length_mm=length_mm,
        width_mm=cut.strip.usable_width_mm,
        width=_px(cut.strip.usable_width_mm),
        has_nap=cut.strip.has_nap,
        unit=current_reader().length_unit,
        bands=tuple(_band(cut, pieces, number, count) for number in range(count)),
        kits=_stretches(pieces) if cut.lay.engine == KIT_BY_KIT else (),
        folded_mm=folded_stretch_mm(cut.pieces, cut.strip, cut.lay),
        fold=_px(cut.strip.usable_width_mm / 2),
    )


def _stretches(pieces: Sequence[DrawnPiece]) -> tuple[KitStretch, ...]:
    """Each kit's stretch, in the order in which they come along the cloth."""
    found = [
        KitStretch(
            kit_key=key,
            from_mm=min(each.top_mm for each in pieces if each.kit_key == key),
            to_mm=max(each.bottom_mm for each in pieces if each.kit_key == key),
        )
        for key in {each.kit_key for each in pieces}
    ]
    return tuple(sorted(found, key=lambda each: each.from_mm))


def _drawn_pieces(cut: LotCut) -> Iterator[DrawnPiece]:
    by_key = {piece.key: piece for piece in cut.pieces}
    for place in cut.lay.placements:
        piece = by_key[place.piece_key]
        yield _drawn(piece, placed_outline(piece, place), is_turned=place.is_turned)


def _drawn(piece: LayPiece, outline: Outline, *, is_turned: bool) -> DrawnPiece:
    x, y, radius = _roomiest(Polygon(outline))
    size = min(LARGEST_MM, 2 * radius * 0.8, 2 * radius / (LETTER_SHARE * len(piece.kit_key)))
    name = known(piece.name)
    written = _name_that_fits(name, size, radius)
    shift = NAME_MM * 0.6 if written else 0.0
    heights, first = [point[1] for point in outline], outline[0]
    return DrawnPiece(
        key=piece.key,
        kit_key=piece.kit_key,
        name=name,
        is_turned=is_turned,
        start=f"{_px(first[0])} {_px(first[1])}",
        points=" ".join(f"{_px(px - first[0])},{_px(py - first[1])}" for px, py in outline),
        x=_px(x),
        y=_px(y + size * 0.35 - shift),
        size=_px(size),
        name_y=_px(y + size * 0.35 - shift + NAME_MM * 1.2),
        written=written,
        top_mm=min(heights),
        bottom_mm=max(heights),
    )


def _name_that_fits(name: str, size_mm: float, radius_mm: float) -> str:
    """A piece's name under its number, else what of it comes before a comma; nothing where neither has room."""
    if size_mm + NAME_MM * 1.3 >= 1.7 * radius_mm:
        return ""
    widest_mm = 1.8 * radius_mm
    names = (name, name.partition(",")[0])
    return next((each for each in names if NAME_MM * LETTER_SHARE * len(each) < widest_mm), "")


def _roomiest(polygon: Polygon) -> tuple[float, float, float]:
    """Where a number has most room, and how far it is to the edge; the middle of the piece where that does."""
    circle = maximum_inscribed_circle(polygon, tolerance=CENTRE_TOLERANCE_MM)
    left, top, right, bottom = polygon.bounds
    middle = Point((left + right) / 2, (top + bottom) / 2)
    room_mm = polygon.exterior.distance(middle) if polygon.contains(middle) else 0.0
    if room_mm > 0.8 * circle.length:
        return middle.x, middle.y, room_mm
    x, y = circle.coords[0]
    return x, y, circle.length


def _band(cut: LotCut, pieces: Sequence[DrawnPiece], number: int, count: int) -> Band:
    top_mm = number * BAND_MM
    is_last = number == count - 1
    bottom_mm = cut.lay.length_mm if is_last else top_mm + BAND_MM
    foot_mm = FOOT_MM if is_last else 0.0
    head_mm = EDGE_MM if number == 0 else 0.0
    width_mm = cut.strip.usable_width_mm + RULER_MM + ARROW_MM
    height_mm = bottom_mm - top_mm
    return Band(
        number=number + 1,
        view_box=f"{-RULER_MM:g} {top_mm - head_mm:g} {width_mm:.1f} {height_mm + head_mm + foot_mm:.1f}",
        top=_px(top_mm),
        height=_px(height_mm),
        end=_px(bottom_mm),
        arrow=_arrow(cut.strip.usable_width_mm + ARROW_MM / 2, top_mm + 0.2 * height_mm, height_mm / 2),
        pieces=tuple(each for each in pieces if each.top_mm < bottom_mm and each.bottom_mm > top_mm),
        ticks=tuple(_ticks(top_mm, bottom_mm)),
        flaws=tuple(
            Span(y=_px(flaw.from_mm), height=_px(flaw.to_mm - flaw.from_mm))
            for flaw in cut.strip.flaws
            if flaw.from_mm < bottom_mm and flaw.to_mm > top_mm
        ),
        is_last=is_last,
    )


def _arrow(x_mm: float, from_mm: float, most_mm: float) -> str:
    """An arrow along the cloth, as a path."""
    to_mm = from_mm + min(160.0, most_mm)
    head_mm = to_mm - 26
    return f"M{x_mm:.1f} {from_mm:.1f}V{to_mm:.1f}M{x_mm - 13:.1f} {head_mm:.1f}L{x_mm:.1f} {to_mm:.1f}L{x_mm + 13:.1f} {head_mm:.1f}"


def _ticks(top_mm: float, bottom_mm: float) -> Iterator[Tick]:
    """Every 10 cm, or every 6 inches, from the beginning of the cloth."""
    unit = current_reader().length_unit
    step_mm, step = (152.4, 6) if unit == "in" else (100.0, 10)
    for number in range(ceil(top_mm / step_mm), int(bottom_mm / step_mm) + 1):
        y_mm = number * step_mm
        yield Tick(y=_px(y_mm), label=str(number * step), label_y=_px(y_mm + 10))


def _px(length_mm: float) -> str:
    return f"{length_mm:.1f}"
