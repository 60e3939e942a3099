"""The full-size pattern: its pieces and lines, the tiles of paper they are spread over, and one large page."""

from gowngroup.printing.planner.pattern.key import heading, line_key
from gowngroup.printing.planner.pattern.one_page import LargePage, header_mm, large_page, page_size_mm
from gowngroup.printing.planner.pattern.papers import PAPERS, PatternPaper, UnknownPaper, paper_named
from gowngroup.printing.planner.pattern.pattern import NoPattern, Pattern, pattern_of
from gowngroup.printing.planner.pattern.tile_map import TileMap, empty_words, tile_map
from gowngroup.printing.planner.pattern.tiles import TiledPattern, TilePage, tiled_pattern
from gowngroup.printing.planner.pattern.words import LARGE_MM, USUAL_MM

__all__ = [
    "LARGE_MM",
    "PAPERS",
    "USUAL_MM",
    "LargePage",
    "NoPattern",
    "Pattern",
    "PatternPaper",
    "TileMap",
    "TilePage",
    "TiledPattern",
    "UnknownPaper",
    "empty_words",
    "header_mm",
    "heading",
    "large_page",
    "line_key",
    "page_size_mm",
    "paper_named",
    "pattern_of",
    "tile_map",
    "tiled_pattern",
]
