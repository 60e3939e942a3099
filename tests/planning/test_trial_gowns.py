from itertools import chain

from gowngroup.planning.drafting import DRAFT_KINDS
from gowngroup.planning.lay.values import outline_size_mm, pieces_area_mm2
from gowngroup.planning.trial_gowns import TRIAL_DESIGNS, trial_gowns

GOWNS = trial_gowns(28)


def test_designs_come_in_turn() -> None:
    """Fourteen designs of every kind come in turn, each a kit of its own."""
    assert {kind for kind, _ in TRIAL_DESIGNS} == set(DRAFT_KINDS)
    assert GOWNS[0][0].outline == GOWNS[14][0].outline
    assert len({gown[0].outline for gown in GOWNS}) == len(TRIAL_DESIGNS) == 14
    assert len({piece.key for piece in chain.from_iterable(GOWNS)}) == sum(map(len, GOWNS))


def test_designs_leave_boxes_far_from_full() -> None:
    """The trial gowns fill less than 0.93 of their boxes, so that laying on true outlines can show what it saves."""
    pieces = list(chain.from_iterable(GOWNS))
    boxes_mm2 = sum(
        width * length for width, length in map(outline_size_mm, (each.outline for each in pieces))
    )
    assert pieces_area_mm2(pieces) < 0.93 * boxes_mm2
