"""Drawings worked out from the real data, as SVG path data in millimetres or pleats."""

from gowngroup.catalog.drawing.chart_frame import MOST_ROW_MM
from gowngroup.catalog.drawing.chart_labels import RowLabels
from gowngroup.catalog.drawing.charts import (
    ChartDrawing,
    band_count,
    chart_detail,
    dash_name,
    dash_of,
    sample_chart,
    screen_chart,
    whole_chart,
)
from gowngroup.catalog.drawing.front import GownDrawing
from gowngroup.catalog.drawing.gowns import gown_drawing
from gowngroup.catalog.drawing.pieces import PieceDrawing, PiecesDrawing, pieces_drawing
from gowngroup.catalog.drawing.row_chart import RowChart, row_chart
from gowngroup.catalog.drawing.svg import closed_path, open_path, view_box

__all__ = [
    "MOST_ROW_MM",
    "ChartDrawing",
    "GownDrawing",
    "PieceDrawing",
    "PiecesDrawing",
    "RowChart",
    "RowLabels",
    "band_count",
    "chart_detail",
    "closed_path",
    "dash_name",
    "dash_of",
    "gown_drawing",
    "open_path",
    "pieces_drawing",
    "row_chart",
    "sample_chart",
    "screen_chart",
    "view_box",
    "whole_chart",
]
