import json
import math
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon
from shapely.affinity import rotate

from gowngroup.planning.lay import CannotLay, Lay, Piece, Placement, lay_out, nesting
from gowngroup.planning.lay.check import outline_faults
from gowngroup.planning.lay.outlines import placed, turned
from gowngroup.planning.lay.values import Outline

WIDTH_MM = 500.0
SLEEVE = Piece("sleeve", ((0, 20), (150, 0), (150, 200), (0, 180)), 5, (0.0, 180.0))
YOKE = Piece("yoke", ((10, 10), (90, 10), (90, 60), (50, 40), (10, 60)), 4, (0.0, 90.0, 180.0, 270.0))
WRAP = Piece("wrap", ((0, 0), (260, 0), (260, 310), (0, 310)), 2)
PIECES = (SLEEVE, YOKE, WRAP)


def steady(pieces: tuple[Piece, ...], width_mm: float = WIDTH_MM, gap_mm: float = 0.0) -> Lay:
    return lay_out(pieces, strip_width_mm=width_mm, gap_mm=gap_mm, seconds=0)


def box(key: str, along_mm: float, across_mm: float, quantity: int = 1) -> Piece:
    return Piece(key, ((0, 0), (along_mm, 0), (along_mm, across_mm), (0, across_mm)), quantity)


@pytest.mark.parametrize("seconds", [0, 2])
@pytest.mark.parametrize("gap_mm", [0.0, 4.0])
def test_every_copy_lies_once_without_overlap(seconds: float, gap_mm: float) -> None:
    """By search and by nesting every copy is placed once, on the strip, the gap kept."""
    lay = lay_out(PIECES, strip_width_mm=WIDTH_MM, gap_mm=gap_mm, seconds=seconds)
    assert outline_faults(lay, PIECES, strip_width_mm=WIDTH_MM, gap_mm=gap_mm) == ()
    assert len(lay.placements) == 11


def test_length_and_share_are_those_of_the_outlines() -> None:
    """The lay ends where the furthest piece ends and counts true area."""
    lay = steady(PIECES)
    by_id = {piece.id: piece for piece in PIECES}
    polygons = [Polygon(placed(by_id[place.id], place)) for place in lay.placements]
    assert math.isclose(lay.length_mm, max(polygon.bounds[2] for polygon in polygons))
    assert math.isclose(lay.share_used, sum(each.area for each in polygons) / (WIDTH_MM * lay.length_mm))


def test_reordered_pieces_give_the_identical_lay() -> None:
    """The order pieces are given in does not change the steady lay, not even between pieces of the same box."""
    mirrored = Piece("mirrored sleeve", tuple((x, 200 - y) for x, y in SLEEVE.outline), 4, (0.0, 180.0))
    lopsided = Piece("cuff", ((0, 0), (150, 60), (150, 200), (0, 140)), 3, (0.0, 180.0))
    pieces = (*PIECES, mirrored, lopsided)
    assert steady(pieces) == steady(pieces[::-1]) == steady((lopsided, WRAP, mirrored, YOKE, SLEEVE))


@pytest.mark.parametrize("factor", [2.0, 0.5, 3.0])
def test_everything_larger_gives_the_same_lay_larger(factor: float) -> None:
    """Pieces and strip twice as large give a lay twice as long."""
    larger = tuple(
        replace(piece, outline=tuple((x * factor, y * factor) for x, y in piece.outline)) for piece in PIECES
    )
    lay = steady(larger, WIDTH_MM * factor, 4.0 * factor)
    assert abs(lay.length_mm - factor * steady(PIECES, gap_mm=4.0).length_mm) <= 0.1


@settings(deadline=None, max_examples=10)  # a busy machine is no fault
@given(st.lists(st.tuples(st.floats(5, 300), st.floats(5, 500), st.integers(1, 3)), min_size=1, max_size=8))
def test_no_lay_beats_the_area(sizes: list[tuple[float, float, int]]) -> None:
    """Whatever the boxes, the lay has no fault and is no shorter than their area allows."""
    pieces = tuple(box(f"P{number}", *size) for number, size in enumerate(sizes))
    lay = steady(pieces)
    assert outline_faults(lay, pieces, strip_width_mm=WIDTH_MM) == ()
    assert lay.share_used <= 1 + 1e-9


def test_piece_as_wide_as_the_strip_is_laid() -> None:
    """A piece that fills the width is no bad input, by search or by nesting."""
    for seconds in (0, 2):
        lay = lay_out([box("front", 300, 500), box("cuff", 20, 60)], strip_width_mm=500, seconds=seconds)
        assert math.isclose(lay.length_mm, 320, abs_tol=0.1)


def test_nothing_to_lay_takes_no_cloth() -> None:
    """No pieces make a lay of no length."""
    assert lay_out([], strip_width_mm=WIDTH_MM) == Lay(placements=(), length_mm=0.0, share_used=0.0)


def test_many_pieces_are_laid() -> None:
    """1,400 pieces are laid, each once."""
    pieces = (replace(SLEEVE, quantity=700), replace(YOKE, quantity=700))
    assert outline_faults(steady(pieces), pieces, strip_width_mm=WIDTH_MM) == ()


BOW_TIE: Outline = ((0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0))


@pytest.mark.parametrize(
    ("piece", "reason"),
    [
        (Piece("x", BOW_TIE), "outline"),
        (Piece("x", ((0, 0), (math.nan, 0), (10, 10))), "outline"),
        (Piece("x", ((0, 0), (math.inf, 0), (10, 10))), "outline"),
        (Piece("x", ((0, 0), (10, 0))), "outline"),
        (Piece("x", ((0, 0), (10, 0), (20, 0))), "outline"),
        (Piece("x", ((0, 0), (10, 0), ("ten", 10))), "outline"),  # type: ignore[arg-type]
        (box("x", 10, 10, 0), "quantity"),
        (replace(box("x", 10, 10), quantity=math.nan), "quantity"),  # type: ignore[arg-type]
        (replace(box("x", 10, 10), quantity=1.5), "quantity"),  # type: ignore[arg-type]
        (replace(box("x", 10, 10), turns=()), "turns"),
        (replace(box("x", 10, 10), turns=(math.nan,)), "turns"),
        (replace(box("x", 10, 10), turns=("half",)), "turns"),  # type: ignore[arg-type]
        (box("x", 10, 501), "too_wide"),
    ],
)
def test_bad_piece_is_named(piece: Piece, reason: str) -> None:
    """A piece no lay can be made of is refused with its id and the reason."""
    with pytest.raises(CannotLay, match="piece x: ") as caught:
        lay_out([box("good", 10, 10), piece], strip_width_mm=WIDTH_MM)
    assert (caught.value.piece_id, caught.value.reason) == ("x", reason)


def test_repeated_id_is_named() -> None:
    """Two pieces of the same id are refused."""
    with pytest.raises(CannotLay, match="piece x: another piece has the same id"):
        lay_out([box("x", 10, 10), box("x", 20, 20)], strip_width_mm=WIDTH_MM)


@pytest.mark.parametrize(
    ("width_mm", "gap_mm", "seconds", "reason"),
    [
        (0, 0, 1, "strip"),
        (math.nan, 0, 1, "strip"),
        (9, -1, 1, "gap"),
        (9, 0, math.inf, "seconds"),
        (9, 0, math.nan, "seconds"),
        (9, 0, 1e300, "seconds"),
        (9, 0, 10**400, "seconds"),
        (1e300, 0, 1, "strip"),
        (9, 1e300, 1, "gap"),
    ],
)
def test_bad_strip_is_refused(width_mm: float, gap_mm: float, seconds: float, reason: str) -> None:
    """A strip without a width, a gap below nought and time without an end are refused."""
    with pytest.raises(CannotLay) as caught:
        lay_out([], strip_width_mm=width_mm, gap_mm=gap_mm, seconds=seconds)
    assert (caught.value.piece_id, caught.value.reason) == (None, reason)


@pytest.mark.parametrize("seed", [1.5, -1, math.nan, "one", None])
def test_seed_is_a_whole_number(seed: Any) -> None:
    """A seed that is no whole number, or below nought, is refused with or without pieces."""
    with pytest.raises(CannotLay, match="the seed must be a whole number"):
        lay_out([], strip_width_mm=WIDTH_MM, seed=seed)


@pytest.mark.parametrize("pieces", [None, 7, "one", [{"id": "x"}], [None], WRAP])
def test_what_is_no_piece_is_named(pieces: Any) -> None:
    """Whatever else comes in place of pieces is refused and shown."""
    with pytest.raises(CannotLay, match="this is no Piece") as caught:
        lay_out(pieces, strip_width_mm=WIDTH_MM)
    assert caught.value.piece_id


def test_ids_are_text_or_numbers() -> None:
    """An id may be a number and comes back as it was told; it is the same as its text; nothing else is an id."""
    one, two = replace(SLEEVE, id=1), replace(SLEEVE, id="two")  # type: ignore[arg-type]
    assert {place.id for place in steady((one, two)).placements} == {1, "two"}
    with pytest.raises(CannotLay, match="piece 1: another piece has the same id"):
        steady((one, replace(SLEEVE, id="1")))
    with pytest.raises(CannotLay, match="piece None: its id must be text or a whole number"):
        steady((replace(SLEEVE, id=None),))  # type: ignore[arg-type]


def test_more_pieces_than_memory_holds_are_refused() -> None:
    """A slip of the keyboard in a quantity is refused before anything is laid."""
    with pytest.raises(CannotLay, match="more than 100,000 pieces"):
        lay_out([box("x", 10, 10, 10**400)], strip_width_mm=WIDTH_MM)


def test_odd_but_lawful_pieces_are_laid_as_they_were_told() -> None:
    """Lists for tuples, clockwise, a corner told twice, far from the origin, any turns: each laid at a turn allowed."""
    arrow = [
        [9000, 0],
        [9000, 0],
        [8900, 40],
        [8950, 0],
        [8900, -40],
        [9000, 0],
    ]  # as JSON has it, ring closed
    pieces = (
        Piece("arrow", arrow, 4, [12.3, 720.0, -90.0]),  # type: ignore[arg-type]
        Piece("clockwise", ((0, 0), (0, 120), (80, 120), (80, 0)), 3.0, (0.0, 123.4)),  # type: ignore[arg-type]
    )
    for seconds in (0.1, 2):
        lay = lay_out(pieces, strip_width_mm=WIDTH_MM, seconds=seconds, gap_mm=2.0)
        assert outline_faults(lay, pieces, strip_width_mm=WIDTH_MM, gap_mm=2.0) == ()
        assert {each.turn for each in lay.placements if each.id == "arrow"} <= {12.3, 720.0, -90.0}
        assert {each.turn for each in lay.placements if each.id == "clockwise"} <= {0.0, 123.4}


def test_broken_child_leaves_the_steady_lay(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the nesting child is killed the search's lay is still given."""
    monkeypatch.setattr(nesting, "CHILD", (sys.executable, "-c", "import os; os.kill(os.getpid(), 9)"))
    lay = lay_out(PIECES, strip_width_mm=WIDTH_MM, seconds=2)
    assert outline_faults(lay, PIECES, strip_width_mm=WIDTH_MM) == ()


@pytest.mark.parametrize("far_mm", [1e6, 1e9])
def test_pieces_far_from_the_origin_are_laid_as_near_ones(far_mm: float) -> None:
    """Where in the plane a piece was drawn changes neither its place on the strip nor the share used."""
    far = tuple(
        replace(piece, outline=tuple((x + far_mm, y - far_mm) for x, y in piece.outline)) for piece in PIECES
    )
    lay, near = steady(far), steady(PIECES)
    assert outline_faults(lay, far, strip_width_mm=WIDTH_MM) == ()
    assert (lay.length_mm, lay.share_used) == pytest.approx((near.length_mm, near.share_used))


def test_engine_is_asked_about_pieces_near_the_origin(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The engine's single precision holds nine digits at most, so a piece drawn a kilometre away is brought near."""
    ask = f"import os, sys; open(os.path.join({str(tmp_path)!r}, str(os.getpid())), 'w').write(sys.stdin.read())"
    monkeypatch.setattr(nesting, "CHILD", (sys.executable, "-c", ask))
    lay_out(
        [replace(YOKE, outline=tuple((x + 1e6, y) for x, y in YOKE.outline))], strip_width_mm=500, seconds=2
    )
    asked = [json.loads(path.read_text())["pieces"] for path in tmp_path.iterdir()]
    corners = [corner for pieces in asked for outline, *_ in pieces for corner in outline]
    assert corners
    assert max(abs(each) for corner in corners for each in corner) < WIDTH_MM


@given(st.floats(-720, 720))
def test_turn_is_counter_clockwise_about_the_origin(turn: float) -> None:
    """Outlines turn as shapely turns them."""
    ours = Polygon(turned(YOKE.outline, turn))
    assert ours.symmetric_difference(rotate(Polygon(YOKE.outline), turn, origin=(0, 0))).area < 1e-6


def test_independent_check_finds_planted_faults() -> None:
    """A piece left out, off the strip, on top of another or nearer than the gap is found by its id."""
    pieces = (box("a", 100, 100), box("b", 100, 100))
    good = Lay(
        placements=(Placement("a", 0.0, 0, 0), Placement("b", 0.0, 0, 100)), length_mm=100, share_used=0.4
    )

    def faults(b_mm: float, gap_mm: float = 0.0) -> tuple[str, ...]:
        lay = replace(good, placements=(good.placements[0], Placement("b", 0.0, 0, b_mm)))
        return outline_faults(lay, pieces, strip_width_mm=500, gap_mm=gap_mm)

    assert (faults(100), faults(99), faults(401), faults(102, 3)) == ((), ("a",), ("b",), ("a",))
    assert outline_faults(replace(good, placements=good.placements[:1]), pieces, strip_width_mm=500) == ("b",)
