"""A gown whose pieces the group enters itself for each size, as rectangles or as outlines of its own."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from gowngroup.catalog.models import Design, DesignSize, OutlinePiece, RectanglePiece
from gowngroup.catalog.planner.cut import Cut
from gowngroup.catalog.planner.outlines import outline_as_piece
from gowngroup.catalog.planner.rows import UM_PER_MM
from gowngroup.catalog.planner.smocked import SmockedWidth
from gowngroup.catalog.planner.values import GownPiece, PlannerSettings
from gowngroup.planning import rectangles, smocking
from gowngroup.records.templatetags.gown import mm_length

ALMOST_MM = 1.0


def own_cut(design_size: DesignSize, chart: smocking.Chart | None, settings: PlannerSettings) -> Cut:
    """Pieces and smocked width of a design whose pieces are entered."""
    pieces = own_pieces(design_size)
    width = _width(design_size, chart, settings)
    measures_mm = {key: float(value) for key, value in design_size.overrides.items()}
    return Cut(
        pieces=pieces,
        width=width,
        measures_mm=measures_mm | ({"smocked_width_mm": width.finished_mm[-1]} if width else {}),
        edges_mm={},
        faults=_faults(pieces, width),
    )


def own_pieces(design_size: DesignSize) -> tuple[GownPiece, ...]:
    """The pieces entered for a size, ready to cut."""
    if design_size.revision.design.kind == Design.Kind.OUTLINES:
        return outline_pieces(design_size.outlines.all())
    return tuple(_rectangle_piece(row) for row in design_size.pieces.all())


def _rectangle_piece(row: RectanglePiece) -> GownPiece:
    pattern = rectangles.rectangle_as_piece(
        rectangles.RectanglePiece(
            name=row.name,
            count=row.piece_count,
            width_mm=row.width_um / UM_PER_MM,
            length_mm=row.length_um / UM_PER_MM,
            may_turn=row.may_turn,
        )
    )
    return GownPiece(name=row.name, part=row.part, pattern=pattern)


def outline_pieces(rows: Iterable[OutlinePiece]) -> tuple[GownPiece, ...]:
    """Outlines as pieces to cut."""
    return tuple(GownPiece(name=row.name, part=row.part, pattern=outline_as_piece(row)) for row in rows)


def _width(
    design_size: DesignSize, chart: smocking.Chart | None, settings: PlannerSettings
) -> SmockedWidth | None:
    if not design_size.pleat_count or not design_size.smocked_width_um:
        return None
    finished_mm = design_size.smocked_width_um / UM_PER_MM
    return SmockedWidth(
        pleat_count=design_size.pleat_count,
        flat_mm=smocking.flat_width_mm(design_size.pleat_count, settings.pleater),
        finished_mm=(finished_mm,) * (chart.row_count if chart else 1),
    )


def _panels(pieces: Iterable[GownPiece]) -> list[GownPiece]:
    return [piece for piece in pieces if piece.part == RectanglePiece.Part.SMOCKED_PANEL]


def _faults(pieces: tuple[GownPiece, ...], width: SmockedWidth | None) -> tuple[str, ...]:
    if not pieces:
        return (_("No pieces have been entered for this size yet."),)
    panels = _panels(pieces)
    if width is None:
        return (_("The smocked panel needs its number of pleats and its finished width."),) if panels else ()
    if not panels:
        return (_("Say which piece is the smocked panel."),)
    return _narrow_sentences(panels, width)


def panel_sentences(design_size: DesignSize, settings: PlannerSettings) -> tuple[str, ...]:
    """Which smocked panel is too narrow for the pleats of its size; none while the pleats are not known."""
    width = _width(design_size, None, settings)
    return _narrow_sentences(_panels(own_pieces(design_size)), width) if width else ()


def _narrow_sentences(panels: Iterable[GownPiece], width: SmockedWidth) -> tuple[str, ...]:
    return tuple(
        _("The %(piece)s is %(found)s wide; %(count)d pleats take %(needed)s of flat cloth.")
        % {
            "piece": panel.name,
            "found": mm_length(panel.width_mm),
            "count": width.pleat_count,
            "needed": mm_length(width.flat_mm),
        }
        for panel in panels
        if panel.width_mm < width.flat_mm - ALMOST_MM
    )
