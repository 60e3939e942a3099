"""Cloth folded lengthwise: mirror images are cut from two layers at once, the rest from the open cloth."""

import math
from dataclasses import replace
from itertools import chain

import pytest
from shapely import Polygon
from shapely.affinity import scale

from gowngroup.planning.batch_plan import plan_batch
from gowngroup.planning.lay import ClothTooShort, Flaw, LayPiece, Strip, lay_rows
from gowngroup.planning.lay.check import lay_faults
from gowngroup.planning.lay.engines import QUICK_ENGINES
from gowngroup.planning.lay.folded import folded, folded_stretch_mm, twins
from gowngroup.planning.lay.values import outline_size_mm, placed_outline
from gowngroup.planning.trial_gowns import trial_gowns
from tests.planning.invented_gowns import piece, rectangle
from tests.planning.test_batch_plan import full_order

CLOTH = Strip(usable_width_mm=1000, length_mm=math.inf, gap_mm=10)
FOLDED = folded(lay_rows)
LEFT = ((0.0, 0.0), (200.0, 0.0), (120.0, 300.0), (0.0, 300.0))
RIGHT = tuple((200.0 - x, y) for x, y in LEFT)
GOWNS = tuple(chain.from_iterable(trial_gowns(6)))


def keys(pairs: list[tuple[LayPiece, LayPiece]]) -> list[set[str]]:
    return [{one.key, other.key} for one, other in pairs]


def test_mirror_images_and_even_pieces_are_twins() -> None:
    """A left and a right make a pair, and so do two that look the same in the mirror; two lefts do not."""
    pieces = (
        piece("left", LEFT),
        piece("even", rectangle(100, 50)),
        piece("left too", LEFT),
        piece("right", RIGHT),
        piece("even too", rectangle(100, 50)),
    )
    pairs, singles = twins(pieces, widest_mm=500)
    assert keys(pairs) == [{"left too", "right"}, {"even", "even too"}]
    assert [each.key for each in singles] == ["left"]


def test_twins_of_one_kit_come_first() -> None:
    """A piece left over in one kit is paired with one left over in another; whole kits keep their own."""
    pieces = [piece(f"{kit}{number}", LEFT, kit_key=kit) for kit, number in (("K1", 1), ("K2", 1))]
    pieces += [piece("K2 right", RIGHT, kit_key="K2"), piece("K3 right", RIGHT, kit_key="K3")]
    assert keys(twins(pieces, widest_mm=500)[0]) == [{"K21", "K2 right"}, {"K11", "K3 right"}]


@pytest.mark.parametrize(
    "right", [replace(piece("b", RIGHT), may_turn=False), replace(piece("b", RIGHT), is_matched=True)]
)
def test_pieces_that_may_not_lie_alike_are_no_twins(right: LayPiece) -> None:
    """One that may not turn, or must meet a print, is laid apart from one that need not."""
    assert twins((piece("a", LEFT), right), widest_mm=500)[0] == []


def test_what_is_wider_than_the_half_lies_on_the_open_cloth() -> None:
    """Two pieces wider than half the cloth come behind the fold, on the whole width."""
    pieces = (piece("a", rectangle(496, 100)), piece("b", rectangle(496, 100)))
    lay = FOLDED(pieces, CLOTH)
    assert (folded_stretch_mm(pieces, CLOTH, lay), lay_faults(lay, pieces, CLOTH)) == (0, ())


def test_gowns_folded_may_be_cut() -> None:
    """Trial gowns laid in pairs pass the independent check, and the two halves are mirror images of each other."""
    cloth = Strip(usable_width_mm=1480, length_mm=math.inf, gap_mm=3, flaws=(Flaw(from_mm=200, to_mm=230),))
    lay = FOLDED(GOWNS, cloth)
    assert lay_faults(lay, GOWNS, cloth) == ()
    end_mm, by_key = folded_stretch_mm(GOWNS, cloth, lay), {each.key: each for each in GOWNS}
    double = [
        Polygon(placed_outline(by_key[place.piece_key], place))
        for place in lay.placements
        if place.y_mm + outline_size_mm(by_key[place.piece_key].outline)[1] <= end_mm + 1e-6
    ]
    middle = (cloth.usable_width_mm / 2, 0)
    mirrored = [scale(each, xfact=-1, origin=middle) for each in double]
    assert len(double) > len(GOWNS) / 2
    assert all(any(one.symmetric_difference(two).area < 1 for two in double) for one in mirrored)


def test_cloth_too_short_for_both_parts_is_refused() -> None:
    """The length needed is that of the folded stretch and of what follows it."""
    pieces = (piece("left", LEFT), piece("right", RIGHT), piece("back", rectangle(800, 200)))
    with pytest.raises(ClothTooShort, match="need 510 mm"):
        FOLDED(pieces, replace(CLOTH, length_mm=400))


def test_an_open_lay_has_no_folded_stretch() -> None:
    """Twins laid on the open cloth are not cut from two layers."""
    pieces = (piece("a", LEFT), piece("b", RIGHT))
    assert folded_stretch_mm(pieces, CLOTH, lay_rows(pieces, CLOTH)) == 0
    assert folded_stretch_mm(pieces, CLOTH, FOLDED(pieces, CLOTH)) > 0


def test_nothing_to_lay_takes_no_cloth() -> None:
    """No piece, no cloth."""
    assert FOLDED((), CLOTH).length_mm == 0


def test_a_plan_is_folded_where_asked() -> None:
    """Every lay of a plan whose cloth is to be folded is laid in pairs and may be cut."""
    plan = plan_batch(replace(full_order(), cutting_way="folded"), engines=QUICK_ENGINES)
    assert {cut.lay.engine for cut in plan.cuts} == {"folded"}
    assert all(lay_faults(cut.lay, cut.pieces, cut.strip) == () for cut in plan.cuts)
