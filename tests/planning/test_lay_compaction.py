import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, get_coordinates, unary_union
from shapely.affinity import translate

from gowngroup.planning import linear_programme
from gowngroup.planning.lay import Piece, Placement, compaction
from gowngroup.planning.lay.ask import Ask
from gowngroup.planning.lay.check import outline_faults
from gowngroup.planning.lay.compaction import compacted
from gowngroup.planning.lay.convex import apart, convex_parts
from gowngroup.planning.lay.outlines import lay_of
from gowngroup.planning.lay.values import Outline

WIDTH_MM = 1000.0
HOOK: Outline = ((0, 0), (300, 0), (300, 100), (100, 100), (100, 300), (0, 300))


def box(along_mm: float, across_mm: float) -> Outline:
    return ((0, 0), (along_mm, 0), (along_mm, across_mm), (0, across_mm))


def star(reaches: list[float]) -> Outline:
    """A star-shaped outline with a corner at each of these reaches in turn."""
    step = 2 * math.pi / len(reaches)
    return tuple((r * math.cos(n * step), r * math.sin(n * step)) for n, r in enumerate(reaches))


stars = st.lists(st.floats(20, 150), min_size=5, max_size=12).map(star)


def lay(*placed: tuple[Outline, float, float], gap_mm: float = 0.0) -> tuple[Ask, tuple[Placement, ...]]:
    """Outlines where they lie, each a piece of its own."""
    pieces = tuple(Piece(str(number), outline) for number, (outline, _, _) in enumerate(placed))
    places = tuple(Placement(str(number), 0.0, x_mm, y_mm) for number, (_, x_mm, y_mm) in enumerate(placed))
    return Ask(pieces=pieces, strip_width_mm=WIDTH_MM, gap_mm=gap_mm), places


def length_mm(ask: Ask, placements: tuple[Placement, ...]) -> float:
    return lay_of(ask.pieces, placements, WIDTH_MM).length_mm


@pytest.mark.parametrize("gap_mm", [0.0, 3.0])
def test_pieces_are_pushed_together_up_to_the_gap(gap_mm: float) -> None:
    """Boxes across the whole strip, 8 mm too far apart, end at their lengths and the gap."""
    ask, places = lay((box(200, 1000), 0, 0), (box(300, 1000), 200 + gap_mm + 8, 0), gap_mm=gap_mm)
    assert length_mm(ask, compacted(ask, places)) == pytest.approx(500 + gap_mm, abs=0.02)


def test_hooks_reach_into_each_other() -> None:
    """Two hooks lie nearer than their boxes, each with its arm in the other's corner, and stay so."""
    turned = tuple((300 - x, 300 - y) for x, y in HOOK)
    ask, places = lay((HOOK, 0, 0), (turned, 115, 105))
    found = compacted(ask, places)
    assert length_mm(ask, found) == pytest.approx(400, abs=0.05)
    assert not outline_faults(lay_of(ask.pieces, found, WIDTH_MM), ask.pieces, strip_width_mm=WIDTH_MM)


def test_a_wedge_slides_aside() -> None:
    """A piece held by a slanting side moves across the cloth to come further back."""
    wedge: Outline = ((0, 0), (500, 0), (0, 500))
    other: Outline = ((500, 0), (500, 500), (0, 500))
    ask, places = lay((wedge, 0, 0), (other, 5, 5))
    found = compacted(ask, places)
    assert length_mm(ask, found) == pytest.approx(500, abs=0.05)


def test_a_single_push_goes_part_of_the_way(monkeypatch: pytest.MonkeyPatch) -> None:
    """With one round of one push a box too far off comes as near as a piece may move, and no nearer."""
    monkeypatch.setattr(compaction, "MOST_ROUNDS", 1)
    monkeypatch.setattr(compaction, "MOST_PUSHES", 1)
    ask, places = lay((box(200, 1000), 0, 0), (box(300, 1000), 250, 0))
    assert length_mm(ask, compacted(ask, places)) == pytest.approx(550 - compaction.REACH * WIDTH_MM)


def test_no_push_is_begun_once_time_is_over() -> None:
    """Without time the lay stays as it was; with time for one push it comes as near as one push brings it."""
    ask, places = lay((box(200, 1000), 0, 0), (box(300, 1000), 250, 0))
    assert compacted(ask, places, lambda: 0.0) == places
    left = iter([1.0, 1.0, 0.0, 0.0])
    pushed = compacted(ask, places, lambda: next(left))
    assert length_mm(ask, pushed) == pytest.approx(550 - compaction.REACH * WIDTH_MM)


def test_a_tight_lay_and_a_lone_piece_stay_as_they_are() -> None:
    """Nothing is moved where nothing is gained, and no pieces are none."""
    for ask, places in (lay((box(200, 400), 0, 0)), lay((box(200, 1000), 0, 0), (box(9, 9), 200, 0)), lay()):
        assert compacted(ask, places) == places


def test_a_faulty_lay_is_given_back(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pieces that overlap, or a solver that gives up, leave the lay as it was."""
    ask, places = lay((box(200, 1000), 0, 0), (box(300, 1000), 150, 0), (box(10, 10), 460, 0))
    assert compacted(ask, places) == places
    grid = [(column, row) for column in range(6) for row in range(3)]
    spiky = star([150, 60, 140, 70, 130, 80, 145])
    ask, places = lay(*((spiky, 151 + 299.0 * column + 2 * row, 151 + 300.0 * row) for column, row in grid))
    assert length_mm(ask, compacted(ask, places)) < length_mm(ask, places) - 5
    monkeypatch.setattr(linear_programme, "_MOST_STEPS", -1)
    assert compacted(ask, places) == places


@settings(max_examples=15, deadline=None)
@given(st.lists(stars, min_size=2, max_size=6), st.floats(0, 5))
def test_compacted_lays_are_no_longer_and_without_fault(outlines: list[Outline], gap_mm: float) -> None:
    """Stars in a zigzag come nearer to each other, never too near, and none leaves the strip."""
    placed = [(each, 151 + 306.0 * number, 151 + 53.0 * (number % 2)) for number, each in enumerate(outlines)]
    ask, places = lay(*placed, gap_mm=gap_mm)
    found = compacted(ask, places)
    assert length_mm(ask, found) <= length_mm(ask, places)
    if found != places:
        after = lay_of(ask.pieces, found, WIDTH_MM)
        assert not outline_faults(after, ask.pieces, strip_width_mm=WIDTH_MM, gap_mm=gap_mm)


@settings(max_examples=40, deadline=None)
@given(stars)
def test_convex_parts_make_up_the_outline(outline: Outline) -> None:
    """The parts are convex, do not overlap and together are the outline, whichever way round it runs."""
    for way in (outline, outline[::-1]):
        parts = [Polygon(each) for each in convex_parts(way)]
        assert all(part.area == pytest.approx(part.convex_hull.area) for part in parts)
        assert unary_union(parts).symmetric_difference(Polygon(outline)).area == pytest.approx(0, abs=1e-6)
        assert sum(part.area for part in parts) == pytest.approx(Polygon(outline).area)


def test_few_parts_are_left() -> None:
    """A hook is two boxes, and what is convex stays whole."""
    assert (len(convex_parts(HOOK)), len(convex_parts(box(2, 3)))) == (2, 1)


@settings(max_examples=40, deadline=None)
@given(stars, stars, st.floats(-300, 300), st.floats(-300, 300))
def test_clear_along_a_line_is_apart(one: Outline, other: Outline, x_mm: float, y_mm: float) -> None:
    """Convex outlines meet exactly where no direction tells that they are clear."""
    hulls = [tuple(get_coordinates(Polygon(each).convex_hull)[:-1].tolist()) for each in (one, other)]
    (first,), (second,) = (convex_parts(tuple(map(tuple, each))) for each in hulls)
    directions, clear = apart(first, second)
    spare_mm = float((directions @ np.array((x_mm, y_mm)) - clear).max())
    there = translate(Polygon(second), x_mm, y_mm)
    if spare_mm > 1e-6:
        assert not Polygon(first).intersects(there)
    elif spare_mm < -1e-6:
        assert Polygon(first).intersects(there)


def test_any_two_parts_of_a_hook_are_clear_of_each_other() -> None:
    """Parts of one outline touch along a line."""
    for one, other in combinations(convex_parts(HOOK), 2):
        directions, clear = apart(one, other)
        assert float((-clear).max()) == pytest.approx(0, abs=1e-9)
        assert directions.shape == (len(one) + len(other), 2)
