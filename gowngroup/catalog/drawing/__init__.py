"""Drawings worked out from the real data, as SVG path data in millimetres or pleats."""

from gowngroup.catalog.drawing.charts import ChartDrawing, RowLabel, StitchLine, chart_drawing, sample_drawing
from gowngroup.catalog.drawing.gowns import GownDrawing, gown_drawing
from gowngroup.catalog.drawing.pieces import PieceDrawing, PiecesDrawing, pieces_drawing
from gowngroup.catalog.drawing.svg import closed_path, open_path, view_box

__all__ = [
    "ChartDrawing",
    "GownDrawing",
    "PieceDrawing",
    "PiecesDrawing",
    "RowLabel",
    "StitchLine",
    "chart_drawing",
    "closed_path",
    "gown_drawing",
    "open_path",
    "pieces_drawing",
    "sample_drawing",
    "view_box",
]
