"""The drawing of a gown as it stands on a sheet, scaled into the room there is."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.catalog.drawing import GownDrawing
from gowngroup.printing.lean_lines import TOLD_APART_MM, lean_path

LINE_MM, FINE_MM = 0.35, 0.12


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedGown:
    """A drawing with its size on paper, each cloth over those before it; line widths in the drawing's own mm."""

    title: str
    view_box: str
    width_mm: float
    height_mm: float
    line_width: float
    fine_width: float
    cloth: tuple[str, ...]
    pleats: str
    seams: str
    stitches: str


def printed_gown(
    drawing: GownDrawing, *, name: str, size: str, width_mm: float, height_mm: float
) -> PrintedGown:
    """The drawing as large as fits into a width and height in mm."""
    _left, _top, across, down = (float(number) for number in drawing.view_box.split())
    scale = min(width_mm / across, height_mm / down)
    apart = TOLD_APART_MM / scale
    return PrintedGown(
        title=_("Drawing of the gown: %(name)s, %(size)s") % {"name": name, "size": size},
        view_box=drawing.view_box,
        width_mm=round(across * scale, 2),
        height_mm=round(down * scale, 2),
        line_width=round(LINE_MM / scale, 2),
        fine_width=round(FINE_MM / scale, 2),
        cloth=tuple(lean_path(data, apart) for data in drawing.cloth),
        pleats=lean_path("".join(drawing.pleats), apart),
        seams=lean_path("".join(drawing.seams), apart),
        stitches=lean_path("".join(drawing.stitches), apart),
    )
