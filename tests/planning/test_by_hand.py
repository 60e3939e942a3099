import math

import pytest

from gowngroup.planning.lay import Strip
from gowngroup.planning.lay.by_hand import lay_by_hand
from gowngroup.planning.lay.check import lay_faults
from tests.planning.invented_gowns import invented_gowns, piece, rectangle

WIDTHS_MM = (1100.0, 1480.0)


@pytest.mark.parametrize("width_mm", WIDTHS_MM)
def test_hand_layout_is_an_honest_baseline(width_mm: float) -> None:
    """The hand layout uses at least 60 % of its cloth and may itself be cut."""
    gowns = invented_gowns(24)
    cloth = Strip(usable_width_mm=width_mm, length_mm=math.inf)
    lay = lay_by_hand(gowns, cloth)
    assert lay.used_share >= 0.6
    assert lay_faults(lay, [each for gown in gowns for each in gown], cloth) == ()


def test_each_gown_starts_on_fresh_cloth() -> None:
    """The second gown's piece is not put beside the first gown's although it would fit there."""
    gowns = [[piece("a", rectangle(400, 100))], [piece("b", rectangle(400, 100))]]
    lay = lay_by_hand(gowns, Strip(usable_width_mm=1000, length_mm=math.inf))
    assert lay.length_mm == 200


def test_short_pieces_are_stacked_where_that_saves_cloth() -> None:
    """Two short pieces are put above one another beside a long one of the same gown."""
    gown = [
        piece("long", rectangle(600, 300)),
        piece("a", rectangle(400, 150)),
        piece("b", rectangle(400, 150)),
    ]
    assert lay_by_hand([gown], Strip(usable_width_mm=1000, length_mm=math.inf)).length_mm == 300
