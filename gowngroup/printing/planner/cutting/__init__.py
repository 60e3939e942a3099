"""The cutting sheet of a lay: drawn to scale, as lists to tick and as a table for cutting without the drawing."""

from gowngroup.printing.planner.cutting.drawing import Drawing, drawings_of
from gowngroup.printing.planner.cutting.pieces import CutPiece, cut_pieces
from gowngroup.printing.planner.cutting.sheet import CuttingSheet, NoCuttingSheet, cutting_sheet

__all__ = [
    "CutPiece",
    "CuttingSheet",
    "Drawing",
    "NoCuttingSheet",
    "cut_pieces",
    "cutting_sheet",
    "drawings_of",
]
