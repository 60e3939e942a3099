"""The drawing of a lay says what each piece is, as far as there is room."""

import pytest

from gowngroup.batches.planner.drawing import lay_drawing
from gowngroup.planning.allocation import LotCut
from gowngroup.planning.lay.values import ClothLay, LayPiece, PlacedPiece, Strip


@pytest.mark.parametrize(
    ("wide_mm", "long_mm", "written"),
    [
        (700.0, 500.0, "front panel, to be smocked"),
        (700.0, 230.0, "front panel"),
        (120.0, 60.0, ""),
    ],
)
def test_a_piece_bears_as_much_of_its_name_as_fits(wide_mm: float, long_mm: float, written: str) -> None:
    """Its whole name, what stands before the comma, or its kit's number alone."""
    piece = LayPiece(
        key="1/panel/1",
        kit_key="1",
        name="front panel, to be smocked",
        number=1,
        outline=((0.0, 0.0), (wide_mm, 0.0), (wide_mm, long_mm), (0.0, long_mm)),
    )
    place = PlacedPiece(piece_key=piece.key, x_mm=0.0, y_mm=0.0, is_turned=False)
    cut = LotCut(
        lot_key="1",
        kit_keys=("1",),
        strip=Strip(usable_width_mm=1100.0, length_mm=2000.0),
        pieces=(piece,),
        lay=ClothLay(placements=(place,), length_mm=long_mm, used_share=0.5, engine="rows"),
        before_cutting="nothing",
        left_mm=0.0,
        is_left_useful=False,
    )
    ((drawn,),) = (band.pieces for band in lay_drawing(cut).bands)
    assert (drawn.written, drawn.name) == (written, piece.name)
