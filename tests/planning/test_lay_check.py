import math
from collections.abc import Sequence
from dataclasses import replace
from threading import Barrier

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gowngroup.planning.lay import ClothLay, ClothTooShort, Flaw, LayPiece, PlacedPiece, Strip, lay_rows
from gowngroup.planning.lay.check import LayHasFaults, checked_lay, lay_faults
from gowngroup.planning.lay.engines import shortest_lay
from tests.planning.invented_gowns import invented_gown, piece, rectangle

CLOTH = Strip(usable_width_mm=1100, length_mm=2000)
GOWN = invented_gown("K1", 2)
LAY = lay_rows(GOWN, CLOTH)


def codes(lay: ClothLay, pieces: tuple[LayPiece, ...] = GOWN, cloth: Strip = CLOTH) -> set[str]:
    return {fault.code for fault in lay_faults(lay, pieces, cloth)}


def moved(lay: ClothLay, index: int, **change: float) -> ClothLay:
    places = list(lay.placements)
    places[index] = replace(places[index], **change)  # type: ignore[arg-type]
    return replace(lay, placements=tuple(places))


def two(x_mm: float, *, is_turned: bool = False) -> ClothLay:
    """A piece of 100 mm square at the corner and another one beside it at this x."""
    places = (
        PlacedPiece(piece_key="a", x_mm=0, y_mm=0),
        PlacedPiece(piece_key="b", x_mm=x_mm, y_mm=0, is_turned=is_turned),
    )
    return ClothLay(placements=places, length_mm=100, used_share=0.5, engine="test")


SQUARES = (piece("a", rectangle(100, 100)), piece("b", rectangle(100, 100), may_turn=False))


def test_good_lay_has_no_fault() -> None:
    """A lay by rows of a whole gown passes."""
    assert codes(LAY) == set()


@settings(deadline=None)  # a busy machine is no fault
@given(st.integers(0, len(GOWN) - 1), st.integers(0, len(GOWN) - 1))
def test_planted_overlap_is_found(first: int, second: int) -> None:
    """Any piece put on top of any other is found."""
    target = LAY.placements[second]
    lay = moved(LAY, first, x_mm=target.x_mm, y_mm=target.y_mm)
    assert (first == second) or "overlap" in codes(lay)


@settings(deadline=None)  # a busy machine is no fault
@given(st.integers(0, len(GOWN) - 1), st.floats(0.02, 5000))
def test_piece_pushed_off_the_cloth_is_found(index: int, out_mm: float) -> None:
    """Any piece that sticks out over the selvedge or the end is found."""
    assert "outside" in codes(moved(LAY, index, x_mm=-out_mm))
    assert "outside" in codes(moved(LAY, index, y_mm=LAY.length_mm - 20 + out_mm))


@settings(deadline=None)  # a busy machine is no fault
@given(st.integers(0, len(GOWN) - 1))
def test_missing_and_repeated_pieces_are_found(index: int) -> None:
    """A piece left out and a piece laid twice are found by name."""
    places = LAY.placements
    assert codes(replace(LAY, placements=places[:index] + places[index + 1 :])) == {"missing"}
    assert "repeated" in codes(replace(LAY, placements=(*places, places[index])))


def test_unknown_piece_is_found() -> None:
    """A placement of a piece nobody asked for is found."""
    stray = PlacedPiece(piece_key="stray", x_mm=0, y_mm=0)
    assert codes(replace(LAY, placements=(*LAY.placements, stray))) == {"unknown"}


def test_touching_pieces_are_no_overlap() -> None:
    """Pieces that share one cut, or overlap by less than the tolerance, may be cut."""
    assert codes(two(100), SQUARES) == set()
    assert codes(two(99.995), SQUARES) == set()
    assert codes(two(99.95), SQUARES) == {"overlap"}


def test_gap_is_kept() -> None:
    """Pieces nearer than the gap are found with their names."""
    cloth = replace(CLOTH, gap_mm=3)
    (fault,) = lay_faults(two(102), SQUARES, cloth)
    assert (fault.code, fault.piece_keys, round(fault.amount, 3)) == ("gap", ("a", "b"), 2)
    assert codes(two(103), SQUARES, cloth) == set()


def test_small_piece_inside_a_large_one_is_found() -> None:
    """A piece that lies wholly within another is an overlap, although no edges cross."""
    small = (piece("a", rectangle(300, 300)), piece("b", rectangle(20, 20)))
    lay = replace(moved(two(100), 1, y_mm=100), length_mm=300)
    assert codes(lay, small) == {"overlap"}


def test_forbidden_turn_is_found() -> None:
    """A piece that may not turn is found when turned."""
    assert codes(two(100, is_turned=True), SQUARES) == {"turned"}


def test_nap_runs_one_way() -> None:
    """On cloth with a nap, pieces lying both ways up are found."""
    may_turn = (SQUARES[0], replace(SQUARES[1], may_turn=True))
    assert codes(two(100, is_turned=True), may_turn, replace(CLOTH, has_nap=True)) == {"nap"}


def test_piece_on_a_flaw_is_found() -> None:
    """A piece that touches a flawed stretch is found."""
    assert codes(two(100), SQUARES, replace(CLOTH, flaws=(Flaw(from_mm=99, to_mm=120),))) == {"flaw"}


def test_piece_to_match_off_the_repeat_is_found() -> None:
    """On a print a piece to match that starts between repeats, or lies turned, is found; on plain cloth it is not."""
    matched = (SQUARES[0], replace(SQUARES[1], is_matched=True, may_turn=True))
    printed = replace(CLOTH, repeat_mm=64)
    lay = replace(moved(two(100), 1, y_mm=65), length_mm=165)
    (fault,) = lay_faults(lay, matched, printed)
    assert (fault.code, fault.piece_keys, fault.amount) == ("repeat", ("b",), 1)
    assert codes(replace(moved(lay, 1, y_mm=64), length_mm=164), matched, printed) == set()
    assert codes(two(100, is_turned=True), matched, printed) == {"repeat"}
    assert codes(lay, matched) == set()


def test_lay_longer_than_the_cloth_is_found() -> None:
    """A lay that claims more length than the lot has is found."""
    assert "beyond" in codes(replace(two(100), length_mm=2500), SQUARES)


def test_crossing_or_empty_outline_is_found() -> None:
    """An outline that crosses itself or has no area is found before anything else is said."""
    crossing = ((0.0, 0.0), (100.0, 100.0), (100.0, 0.0), (0.0, 100.0))
    flat = ((0.0, 0.0), (50.0, 0.0))
    assert codes(two(100), (piece("a", crossing), piece("b", flat))) == {"outline"}


def test_lay_of_nothing_has_no_fault() -> None:
    """No pieces on no cloth is a lay without fault."""
    assert codes(lay_rows((), CLOTH), ()) == set()


def test_faulty_lay_is_never_kept() -> None:
    """A lay with a fault raises and names the pieces."""
    with pytest.raises(LayHasFaults, match="overlap: a 1 of kit kit, b 1 of kit kit"):
        checked_lay(two(50), SQUARES, CLOTH)


def test_shorter_lay_wins() -> None:
    """Of two engines the one with the shorter lay is taken."""

    def one_by_one(pieces: object, cloth: Strip) -> ClothLay:
        places = (PlacedPiece(piece_key="a", x_mm=0, y_mm=0), PlacedPiece(piece_key="b", x_mm=0, y_mm=100))
        return ClothLay(placements=places, length_mm=200, used_share=0.1, engine="one by one")

    assert shortest_lay(SQUARES, CLOTH, engines=(one_by_one, lay_rows)).engine == "rows"
    assert shortest_lay(SQUARES, CLOTH, engines=(one_by_one,)).engine == "one by one"


def test_engine_that_errs_is_reported() -> None:
    """An engine whose lay has a fault is an error, not a lay quietly dropped."""
    with pytest.raises(LayHasFaults):
        shortest_lay(SQUARES, CLOTH, engines=(lambda pieces, cloth: two(50), lay_rows))


def test_no_engine_finds_room() -> None:
    """Where no engine fits the pieces on the cloth the least length needed is told."""
    with pytest.raises(ClothTooShort) as caught:
        shortest_lay(GOWN, replace(CLOTH, length_mm=100))
    assert math.isclose(caught.value.needed_mm, LAY.length_mm)


def test_engines_work_at_the_same_time() -> None:
    """Engines that wait for each other both get their turn: none is begun only when another has ended."""
    both = Barrier(2)

    def waiting(pieces: Sequence[LayPiece], cloth: Strip) -> ClothLay:
        both.wait(timeout=60)
        return lay_rows(pieces, cloth)

    assert shortest_lay(SQUARES, CLOTH, engines=(waiting, waiting)).engine == "rows"
