"""The front of a gown, drawn from its pieces, its finished measures and its smocking; millimetres."""

from collections.abc import Sequence
from dataclasses import dataclass

from gowngroup.catalog.drawing.front import MARGIN_MM, GownDrawing, frame, placed_stitches
from gowngroup.catalog.drawing.svg import Point, closed_path, open_path, view_box
from gowngroup.catalog.drawing.wrap import wrap_drawing
from gowngroup.catalog.drawing.yoke import yoke_drawing
from gowngroup.catalog.planner import GownNeed, GownPiece

CURVE_STEPS = 16
SEAMS_MM = 14.0
RECTANGULAR_FILL = 0.97


@dataclass(frozen=True, slots=True, kw_only=True)
class _Body:
    """Half widths and heights of a gown lying flat, from the middle of its neck."""

    neck_mm: float
    chest_mm: float
    hem_mm: float
    dip_mm: float
    underarm_mm: float
    length_mm: float
    sleeve_mm: float
    cuff_mm: float


def gown_drawing(need: GownNeed) -> GownDrawing | None:
    """The front view of a gown, or None while it has no pieces."""
    own = [piece for piece in need.pieces if not piece.is_companion]
    return _front_view(need, own[0], {piece.part: piece for piece in reversed(own)}) if own else None


def _front_view(need: GownNeed, first: GownPiece, parts: dict[str, GownPiece]) -> GownDrawing:
    if need.measure_mm("sleeve_girth_mm") and "front" in parts:
        return _round_necked(need, parts["front"])
    if {"front yoke", "front panel", "sleeve"} <= parts.keys():
        return yoke_drawing(need, parts)
    if need.measure_mm("width_mm") and "wrap" in parts:
        return wrap_drawing(need, parts["wrap"])
    if "front" in parts and parts["front"].pattern.fill < RECTANGULAR_FILL:
        return _own_front(parts["front"])
    if "sleeve" in parts:
        return _yoked(need, parts)
    return _wrapped(first)


def _round_necked(need: GownNeed, front: GownPiece) -> GownDrawing:
    raglan = front.pattern.edge("raglan_right").walked
    girth_mm = {measure.key: measure.length_mm for measure in need.measures}
    body = _Body(
        neck_mm=girth_mm["neck_mm"] / 4,
        chest_mm=girth_mm["chest_mm"] / 4,
        hem_mm=girth_mm["hem_sweep_mm"] / 4,
        dip_mm=girth_mm["neck_mm"] / 10,
        underarm_mm=raglan.end[1] - raglan.start[1],
        length_mm=girth_mm["length_mm"],
        sleeve_mm=girth_mm["sleeve_length_mm"],
        cuff_mm=girth_mm["sleeve_girth_mm"] / 2,
    )
    return _drawing(body, seams=_raglans(body), stitches=_yoke_stitches(need, body))


def _drawing(body: _Body, *, seams: Sequence[str], stitches: Sequence[str]) -> GownDrawing:
    right = [*_sleeve(body), (body.hem_mm, body.length_mm)]
    hem = [
        (x, body.length_mm + 0.03 * body.length_mm * (1 - (x / body.hem_mm) ** 2))
        for x in _steps(body.hem_mm)
    ]
    outline = [*_neckline(body), *right, *reversed(hem), *((-x, y) for x, y in reversed(right))]
    reach_mm = max(x for x, _y in outline)
    return GownDrawing(
        view_box=view_box(
            -reach_mm - MARGIN_MM, -MARGIN_MM, reach_mm + MARGIN_MM, body.length_mm * 1.03 + MARGIN_MM
        ),
        cloth=(closed_path(outline),),
        seams=tuple(seams),
        stitches=tuple(stitches),
    )


def _steps(half_mm: float) -> list[float]:
    return [half_mm * (2 * i / CURVE_STEPS - 1) for i in range(CURVE_STEPS + 1)]


def _neckline(body: _Body) -> list[Point]:
    return [(x, body.dip_mm * (1 - (x / body.neck_mm) ** 2)) for x in _steps(body.neck_mm)]


def _sleeve(body: _Body) -> list[Point]:
    """Top of the sleeve, its hem, and the underarm, on the right; the sleeve slopes as arms do."""
    slope, along = 0.55, 0.835  # of a line falling at about 33 degrees
    top: Point = (body.neck_mm + along * body.sleeve_mm, slope * body.sleeve_mm)
    low: Point = (top[0] - slope * body.cuff_mm, top[1] + along * body.cuff_mm)
    underarm_x_mm = min(body.chest_mm, 0.94 * low[0])
    return [top, low, (underarm_x_mm, max(body.underarm_mm, low[1] * 0.9))]


def _raglans(body: _Body) -> list[str]:
    underarm = _sleeve(body)[-1]
    return [open_path(((side * body.neck_mm, 0.0), (side * underarm[0], underarm[1]))) for side in (-1, 1)]


def _yoke_stitches(need: GownNeed, body: _Body) -> list[str]:
    """The front half of the stitches, laid round the neck as they are blocked."""
    guide = need.pleating
    if guide is None or len(guide.rows) < 2:
        return []
    per_row_mm = (guide.rows[-1].finished_mm - guide.rows[0].finished_mm) / 4 / (len(guide.rows) - 1)

    def place(across: float, row: float) -> Point:
        depth_mm = 6.0 + row * guide.row_space_mm
        half_mm = body.neck_mm + per_row_mm * (row + 0.6)
        return across * half_mm, body.dip_mm * (1 - across**2) + depth_mm

    return placed_stitches(need, place, share=0.5)


def _yoked(need: GownNeed, parts: dict[str, GownPiece]) -> GownDrawing:
    sleeve, yoke, panel = parts["sleeve"], parts.get("yoke"), parts.get("smocked panel") or parts.get("front")
    chest_mm = (need.measure_mm("chest_mm") or 2 * sleeve.width_mm) / 4
    neck_mm = (need.measure_mm("neck_mm") or 2 * chest_mm) / 4
    yoke_mm = yoke.length_mm - SEAMS_MM if yoke else 0.3 * chest_mm
    skirt_mm = panel.length_mm if panel else 3 * chest_mm
    body = _Body(
        neck_mm=neck_mm,
        chest_mm=chest_mm,
        hem_mm=1.5 * chest_mm,
        dip_mm=0.45 * neck_mm,
        underarm_mm=yoke_mm + 0.5 * chest_mm,
        length_mm=need.measure_mm("length_mm") or yoke_mm + skirt_mm,
        sleeve_mm=chest_mm - neck_mm + sleeve.length_mm,
        cuff_mm=sleeve.width_mm / 2.6,
    )
    half_mm = (need.measure_mm("smocked_width_mm") or 1.6 * chest_mm) / 2
    space_mm = need.pleating.row_space_mm if need.pleating else 10.0

    def place(across: float, row: float) -> Point:
        return across * half_mm, yoke_mm + 5.0 + row * space_mm

    has_yoke = bool(yoke or parts.get("smocked panel"))
    across = [open_path(((-half_mm, yoke_mm), (half_mm, yoke_mm)))] if has_yoke else []
    return _drawing(body, seams=[*across, *_raglans(body)], stitches=placed_stitches(need, place, share=1.0))


def _own_front(front: GownPiece) -> GownDrawing:
    """The front piece of the group's own, as it is cut."""
    outline = [(x - front.width_mm / 2, y) for x, y in front.outline]
    return GownDrawing(view_box=frame(outline), cloth=(closed_path(outline),), seams=(), stitches=())


def _wrapped(piece: GownPiece) -> GownDrawing:
    """A wrap folded round: the right side over the left."""
    half_mm, length_mm = piece.width_mm / 4, piece.length_mm
    outline = [(-half_mm, 0.0), (half_mm, 0.0), (1.1 * half_mm, length_mm), (-1.1 * half_mm, length_mm)]
    fold = ((-0.9 * half_mm, 0.0), (0.5 * half_mm, 0.45 * length_mm), (0.5 * half_mm, length_mm))
    return GownDrawing(
        view_box=view_box(
            -1.1 * half_mm - MARGIN_MM, -MARGIN_MM, 1.1 * half_mm + MARGIN_MM, length_mm + MARGIN_MM
        ),
        cloth=(closed_path(outline),),
        seams=(open_path(fold),),
        stitches=(),
    )
