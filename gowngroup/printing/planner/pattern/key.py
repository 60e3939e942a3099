"""What the lines of a pattern mean, and what stands above each tile."""

from django.utils.translation import gettext as _

from gowngroup.printing.planner.pattern.drawing import STYLES, Style
from gowngroup.printing.planner.pattern.papers import SIDE_MM, PatternPaper
from gowngroup.printing.planner.pattern.pattern import Pattern
from gowngroup.printing.planner.pattern.words import text_width_mm

TILE_NUMBER_MM = 72.0  # taken by “Tile 12 of 150 (column 10, row 12)” at 11 pt
HEADING_LINES = 2


def line_key(pattern: Pattern) -> tuple[tuple[Style, str], ...]:
    """The kinds of line the pattern has, each with its meaning, the cutting line first."""
    meanings = {
        "cut": _("cut here"),
        "seam": _("sew here"),
        "grain": _("grain: along the selvedge"),
        "notch": _("notch: a short snip; notches meet"),
        "row": _("pleater rows"),
    }
    return tuple(
        (style, meanings[style.name])
        for style in reversed(STYLES)
        if any(piece.lines.by_style[style.name] for piece in pattern.pieces)
    )


def heading(pattern: Pattern, paper: PatternPaper) -> str:
    """The design as it stands above each tile, cut short where with the size it would take more than two lines."""
    room_mm = HEADING_LINES * (paper.width_mm - 2 * SIDE_MM) - TILE_NUMBER_MM
    size_mm = text_width_mm(f", {pattern.size}", pattern.type_mm)
    name = pattern.design
    while text_width_mm(name, pattern.type_mm) + size_mm > room_mm * 0.9 and len(name) > 1:
        name = name.rstrip("…")[:-1] + "…"
    return name
