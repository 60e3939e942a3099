import pytest

from gowngroup.planning.lay.contours import Contours
from gowngroup.planning.lay.values import Outline

# A sleeve 0.3 wide and 0.2 long that tapers by 0.06 on either side, upright and turned; and a plain box.
UPRIGHT: Outline = ((0.0, 0.0), (0.3, 0.0), (0.24, 0.2), (0.06, 0.2))
TURNED: Outline = ((0.06, 0.0), (0.24, 0.0), (0.3, 0.2), (0.0, 0.2))
BOX: Outline = ((0.0, 0.0), (0.1, 0.0), (0.1, 0.2), (0.0, 0.2))
SIZES = ((0.3, 0.2), (0.3, 0.2), (0.1, 0.2))


def contours(moved: frozenset[int] = frozenset()) -> Contours:
    return Contours([[UPRIGHT], [TURNED], [BOX]], SIZES, [(0, 1), (1, 0), (2,)], moved)


@pytest.mark.parametrize("is_right", [False, True])
@pytest.mark.parametrize(("rise", "saved"), [(0.0, 0.06), (0.1, 0.09), (0.15, 0.105)])
def test_opposite_slopes_lie_against_each_other(rise: float, saved: float, is_right: bool) -> None:
    """A turned sleeve saves the taper beside an upright one, more on a higher floor, and never more than there is."""
    found = contours().beside(0, rise, is_right=is_right).each[1]
    assert saved - 0.001 <= found <= saved + 1e-9


def test_better_twin_counts() -> None:
    """The most of the twins is what a sleeve saves, whichever way up it waits."""
    found = contours().beside(0, 0.0, is_right=False)
    assert found.best[0] == found.best[1] == found.each[1] > found.each[0]


def test_no_more_than_half_is_saved() -> None:
    """High up beside a tapering wall a narrow box saves half its width at most."""
    narrow = Contours([[((0.0, 0.0), (0.2, 0.0), (0.0, 0.2))], [BOX]], ((0.2, 0.2), (0.1, 0.2)), [(0,), (1,)])
    assert narrow.beside(0, 0.19, is_right=False).each[1] == 0.05


def test_moved_forms_save_nothing() -> None:
    """A form that is moved along the cloth when put down lies beside its neighbour's box."""
    assert contours(frozenset({1})).beside(0, 0.1, is_right=False).each[1] == 0.0
