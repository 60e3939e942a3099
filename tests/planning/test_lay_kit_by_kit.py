import math
from dataclasses import replace

import pytest

from gowngroup.planning.lay import ClothTooShort, Flaw, LayPiece, Strip, lay_rows
from gowngroup.planning.lay.check import lay_faults
from gowngroup.planning.lay.kit_by_kit import kit_by_kit
from tests.planning.invented_gowns import invented_gowns, piece, rectangle

CLOTH = Strip(usable_width_mm=500, length_mm=math.inf, gap_mm=2)
BY_KIT = kit_by_kit(lay_rows)
TWO = (
    piece("a", rectangle(200, 101), kit_key="K1"),
    piece("b", rectangle(200, 101), kit_key="K2"),
)


def starts(pieces: tuple[LayPiece, ...], cloth: Strip) -> list[float]:
    return [place.y_mm for place in BY_KIT(pieces, cloth).placements]


def test_each_kit_lies_on_a_length_of_its_own() -> None:
    """The second kit starts on a whole step beyond the first although it would fit beside it."""
    assert starts(TWO, CLOTH) == [0, 110]


def test_kits_keep_off_flaws_and_on_repeats() -> None:
    """Flaws count from the beginning of the cloth, and on a print each kit starts on a whole repeat."""
    assert starts(TWO, replace(CLOTH, flaws=(Flaw(from_mm=150, to_mm=160),))) == [0, 160]
    assert starts(TWO, replace(CLOTH, flaws=(Flaw(from_mm=20, to_mm=30),))) == [30, 140]
    assert starts(tuple(replace(each, is_matched=True) for each in TWO), replace(CLOTH, repeat_mm=64)) == [
        0,
        128,
    ]


def test_lay_by_kits_may_be_cut() -> None:
    """Three gowns laid kit by kit pass the independent check and no kit reaches into another's length."""
    cloth = Strip(usable_width_mm=1100, length_mm=math.inf, flaws=(Flaw(from_mm=700, to_mm=720),))
    pieces = tuple(each for gown in invented_gowns(3) for each in gown)
    lay = BY_KIT(pieces, cloth)
    assert lay_faults(lay, pieces, cloth) == ()
    assert [place.piece_key[:4] for place in lay.placements] == sorted(
        place.piece_key[:4] for place in lay.placements
    )


def test_cloth_too_short_for_all_kits_is_refused() -> None:
    """The length needed is that of all kits one after the other."""
    with pytest.raises(ClothTooShort, match="need 215 mm"):
        BY_KIT(TWO, replace(CLOTH, length_mm=150))
