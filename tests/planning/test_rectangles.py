"""Designs of plain rectangles become pattern pieces like any other."""

import pytest

from gowngroup.planning.drafting.outlines import piece_faults
from gowngroup.planning.rectangles import BadRectangle, RectanglePiece, rectangle_as_piece

WRAP = RectanglePiece(name="wrap", count=2, width_mm=300.0, length_mm=220.0, may_turn=False)


def test_a_rectangle_is_cut_as_it_is() -> None:
    """The cut outline is the rectangle, its full count cut alike, turned only where it may be."""
    piece = rectangle_as_piece(WRAP)
    assert piece.cut_shapes == (((0, 0), (300, 0), (300, 220), (0, 220)),) * 2
    assert piece.cut_size_mm == (300, 220)
    assert (piece.fill, piece.may_turn, piece.name) == (1.0, False, "wrap")


def test_a_rectangle_has_nothing_wrong() -> None:
    """Looked at like a drafted piece a rectangle has a simple outline and a true grain line."""
    assert list(piece_faults(rectangle_as_piece(WRAP), 1.0)) == []


@pytest.mark.parametrize(
    ("field", "bad"),
    [
        ("count", RectanglePiece(name="wrap", count=0, width_mm=1, length_mm=1)),
        ("width_mm", RectanglePiece(name="wrap", count=1, width_mm=float("nan"), length_mm=1)),
        ("length_mm", RectanglePiece(name="wrap", count=1, width_mm=1, length_mm=-3)),
    ],
)
def test_a_rectangle_needs_its_numbers(field: str, bad: RectanglePiece) -> None:
    """A rectangle without a width, length or count is refused by the name of what is missing."""
    with pytest.raises(BadRectangle, match=field) as refusal:
        rectangle_as_piece(bad)
    assert refusal.value.field == field
