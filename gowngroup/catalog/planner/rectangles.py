"""A gown whose pieces are typed in as rectangles for each size."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.catalog.models import DesignSize, RectanglePiece
from gowngroup.catalog.planner.rows import UM_PER_MM
from gowngroup.catalog.planner.smocked import SmockedWidth
from gowngroup.catalog.planner.values import GownPiece, PlannerSettings
from gowngroup.planning import rectangles, smocking

ALMOST_MM = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """The pieces of a gown, the width that is smocked, finished measures and edges that carry trims, in mm."""

    pieces: tuple[GownPiece, ...]
    width: SmockedWidth | None
    measures_mm: dict[str, float]
    edges_mm: dict[str, tuple[float, int]]
    faults: tuple[str, ...]


def rectangle_cut(design_size: DesignSize, chart: smocking.Chart | None, settings: PlannerSettings) -> Cut:
    """Pieces and smocked width of a design entered as rectangles."""
    rows = list(design_size.pieces.all())
    width = _width(design_size, chart, settings)
    measures_mm = {key: float(value) for key, value in design_size.overrides.items()}
    return Cut(
        pieces=tuple(gown_piece(row) for row in rows),
        width=width,
        measures_mm=measures_mm | ({"smocked_width_mm": width.finished_mm[-1]} if width else {}),
        edges_mm={},
        faults=_faults(rows, width),
    )


def gown_piece(row: RectanglePiece) -> GownPiece:
    """A rectangle as a piece to cut."""
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


def _faults(rows: list[RectanglePiece], width: SmockedWidth | None) -> tuple[str, ...]:
    if not rows:
        return (_("No pieces have been entered for this size yet."),)
    panels = [row for row in rows if row.part == RectanglePiece.Part.SMOCKED_PANEL]
    if width is None:
        return (_("The smocked panel needs its number of pleats and its finished width."),) if panels else ()
    if not panels:
        return (_("Say which piece is the smocked panel."),)
    return _narrow_sentences(panels, width)


def panel_sentences(design_size: DesignSize, settings: PlannerSettings) -> tuple[str, ...]:
    """Which smocked panel is too narrow for the pleats of its size; none while the pleats are not known."""
    width = _width(design_size, None, settings)
    panels = design_size.pieces.filter(part=RectanglePiece.Part.SMOCKED_PANEL)
    return _narrow_sentences(panels, width) if width else ()


def _narrow_sentences(panels: Iterable[RectanglePiece], width: SmockedWidth) -> tuple[str, ...]:
    return tuple(
        _("The %(piece)s is %(found).0f mm wide; %(count)d pleats take %(needed).0f mm of flat cloth.")
        % {
            "piece": panel.name,
            "found": panel.width_um / UM_PER_MM,
            "count": width.pleat_count,
            "needed": width.flat_mm,
        }
        for panel in panels
        if panel.width_um / UM_PER_MM < width.flat_mm - ALMOST_MM
    )
