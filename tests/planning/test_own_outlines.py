"""Outlines a group enters itself become pattern pieces; what cannot be cut is refused by piece and point."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from gowngroup.planning.drafting.outlines import piece_faults
from gowngroup.planning.geometry import path_length_mm
from gowngroup.planning.own_outlines import BadOutline, OutlinePoint, OwnOutline, own_outline_piece

NAN = float("nan")


def points(*corners: tuple[float, ...]) -> tuple[OutlinePoint, ...]:
    """Corners as (x, y) or (x, y, bow)."""
    return tuple(OutlinePoint(x_mm=x, y_mm=y, bow_mm=bow[0] if bow else 0.0) for x, y, *bow in corners)


L_SHAPE = points((0, 0), (200, 0), (200, 100), (80, 100), (80, 300), (0, 300))
POCKET = OwnOutline(name="pocket", points=L_SHAPE)


def area_mm2(outline: OwnOutline) -> float:
    """Area of the cut piece as shapely sees it."""
    return float(Polygon(own_outline_piece(outline).cut_polygon).area)


def refusal_of(outline: OwnOutline, cloth_width_mm: float | None = None) -> BadOutline:
    """The error an outline is refused with."""
    with pytest.raises(BadOutline) as refusal:
        own_outline_piece(outline, cloth_width_mm=cloth_width_mm)
    return refusal.value


def test_an_outline_is_cut_as_it_is_drawn() -> None:
    """Without an allowance the cut piece has the area drawn, from either way round."""
    assert area_mm2(POCKET) == pytest.approx(200 * 100 + 80 * 200)
    assert area_mm2(replace(POCKET, points=L_SHAPE[::-1])) == pytest.approx(36_000)


def test_an_allowance_goes_all_round() -> None:
    """With 10 mm all round the L is as large as drawn 10 mm further out on every side, mitred (counted by hand)."""
    wider = replace(POCKET, allowance_mm=10)
    assert area_mm2(wider) == pytest.approx(220 * 120 + 100 * 200)
    assert area_mm2(replace(wider, points=L_SHAPE[::-1])) == pytest.approx(220 * 120 + 100 * 200)


def test_a_bow_stands_out_in_the_middle_of_its_edge() -> None:
    """An edge of 120 mm bowed by 30 mm adds a parabola of two thirds of 120 × 30, one bowed inwards takes it away."""
    square = points((0, 0), (120, 0, 30), (120, 120), (0, 120))
    assert area_mm2(replace(POCKET, points=square)) == pytest.approx(120 * 120 + 2 / 3 * 120 * 30, rel=1e-3)
    hollow = points((0, 0), (120, 0, -30), (120, 120), (0, 120))
    assert area_mm2(replace(POCKET, points=hollow)) == pytest.approx(120 * 120 - 2 / 3 * 120 * 30, rel=1e-3)
    assert own_outline_piece(replace(POCKET, points=square)).cut_size_mm[0] == pytest.approx(150, abs=0.1)


def test_a_bow_points_outwards_whichever_way_the_points_run() -> None:
    """Points entered clockwise give the same bowed piece as the same edge entered the other way round."""
    one_way = points((0, 0), (120, 0, 30), (120, 120), (0, 120))
    other_way = points((0, 120), (120, 120, 30), (120, 0), (0, 0))
    assert area_mm2(replace(POCKET, points=one_way)) == pytest.approx(
        area_mm2(replace(POCKET, points=other_way))
    )


@pytest.mark.parametrize(
    ("angle_deg", "size_mm"),
    [(0, (200, 300)), (90, (300, 200)), (45, (500 / math.sqrt(2), 380 / math.sqrt(2)))],
)
def test_the_grain_is_turned_to_lie_along_the_cloth(angle_deg: float, size_mm: tuple[float, float]) -> None:
    """An outline whose grain runs across or on the bias is turned so that its grain runs along the cloth."""
    piece = own_outline_piece(replace(POCKET, grain_angle_deg=angle_deg))
    assert sorted(piece.cut_size_mm) == pytest.approx(sorted(size_mm), abs=1e-6)
    assert Polygon(piece.cut_polygon).area == pytest.approx(36_000)
    assert piece.is_bias is (angle_deg == 45)


def test_half_a_piece_on_the_fold_is_unfolded() -> None:
    """Half a front drawn with its straight left side on the fold is cut whole, both halves alike."""
    half = points((10, 20), (60, 0, 4), (110, 60), (130, 300), (10, 310))
    front = OwnOutline(name="front", points=half, is_on_fold=True)
    assert own_outline_piece(front).cut_size_mm == pytest.approx((240, 310))
    assert area_mm2(front) == pytest.approx(2 * area_mm2(replace(front, is_on_fold=False)))
    piece = own_outline_piece(replace(front, allowance_mm=7))
    whole = Polygon(piece.cut_polygon)
    turned_over = Polygon([(piece.cut_size_mm[0] - x, y) for x, y in piece.cut_polygon])
    assert whole.symmetric_difference(turned_over).area < 0.01 * whole.area
    assert [edge.name for edge in piece.edges][:4] == ["edge 1", "edge 2", "edge 3", "edge 4"]


def test_a_pair_is_cut_turned_over() -> None:
    """Of a pair the second is the first turned over."""
    first, second = own_outline_piece(replace(POCKET, count=2, is_pair=True)).cut_shapes
    assert Polygon(first).symmetric_difference(Polygon(second)).area > 1000


def test_an_own_outline_has_nothing_wrong() -> None:
    """Looked at like a drafted piece it joins, keeps its allowance and has its grain line on the cloth."""
    for angle_deg in (0.0, 30.0, 90.0):
        piece = own_outline_piece(replace(POCKET, allowance_mm=7, grain_angle_deg=angle_deg))
        assert list(piece_faults(piece, 1.0)) == []


@pytest.mark.parametrize(
    ("outline", "code", "point"),
    [
        (replace(POCKET, name=" "), "name", None),
        (replace(POCKET, count=0), "count", None),
        (replace(POCKET, count=3, is_pair=True), "count", None),
        (replace(POCKET, allowance_mm=-1), "allowance", None),
        (replace(POCKET, allowance_mm=NAN), "allowance", None),
        (replace(POCKET, grain_angle_deg=NAN), "grain", None),
        (replace(POCKET, points=L_SHAPE[:2]), "too_few_points", None),
        (replace(POCKET, points=L_SHAPE * 40), "too_many_points", None),
        (replace(POCKET, points=points((0, 0), (NAN, 0), (9, 9))), "not_a_number", 2),
        (replace(POCKET, points=points((0, 0), (90, 0), (90, 9000))), "too_far", 3),
        (replace(POCKET, points=points((0, 0), (90, 0, 91), (90, 90))), "too_far", 2),
        (replace(POCKET, points=points((0, 0), (90, 0), (90, 90), (0, 0))), "repeated_point", 4),
        (replace(POCKET, points=points((0, 0), (90, 90), (90, 0), (0, 90))), "crosses", 1),
        (replace(POCKET, points=points((0, 0), (90, 0), (40, 0), (40, 60))), "crosses", 1),
        (
            replace(POCKET, points=points((0, 0), (60, 0), (30, 30), (60, 60), (0, 60), (30, 30))),
            "crosses",
            2,
        ),
        (replace(POCKET, points=points((0, 0), (90, 0), (90, 0.5), (0, 0.5))), "no_area", None),
        (replace(POCKET, points=points((0, 9), (9, 0), (60, 30)), is_on_fold=True), "fold", None),
        (
            replace(
                POCKET,
                points=points((0, 0), (50, 0), (50, 90), (0, 90), (0, 60), (20, 60), (20, 30), (0, 30)),
                is_on_fold=True,
            ),
            "fold",
            None,
        ),
        (
            replace(POCKET, points=points((0, 0, -10), (50, 0), (40, 50), (0, 50, 20)), is_on_fold=True),
            "fold",
            None,
        ),
        (
            replace(
                POCKET,
                points=points((0, 0), (90, 0), (48, 0.1), (48, 50), (90, 50), (0, 90)),
                allowance_mm=40,
            ),
            "allowance",
            None,
        ),
    ],
)
def test_what_cannot_be_cut_is_refused_by_piece_and_point(
    outline: OwnOutline, code: str, point: int | None
) -> None:
    """Each way an outline can fail is one error that names the piece, the point to blame and the reason."""
    refusal = refusal_of(outline)
    assert (refusal.code, refusal.point, refusal.piece) == (code, point, outline.name)
    assert refusal.sentence.endswith(".")
    assert (
        str(point) in refusal.sentence
        if point
        else outline.name in refusal.sentence or not outline.name.strip()
    )


def test_a_piece_must_fit_between_the_selvedges() -> None:
    """A piece wider than the cloth with its allowances is refused, one as wide as the cloth is cut."""
    wide = replace(POCKET, allowance_mm=10)
    assert refusal_of(wide, cloth_width_mm=219.9).code == "wider_than_cloth"
    assert own_outline_piece(wide, cloth_width_mm=220.1).cut_size_mm[0] == pytest.approx(220)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 300), st.integers(0, 300), st.integers(-20, 20)), min_size=3, max_size=7
    )
)
def test_any_points_give_a_simple_piece_or_a_refusal(corners: list[tuple[int, int, int]]) -> None:
    """Whatever is entered, the piece can be cut and is as long all round as its edges, or it is refused."""
    outline = OwnOutline(name="any", points=points(*corners))
    try:
        piece = own_outline_piece(outline)
    except BadOutline:
        return
    cut = Polygon(piece.cut_polygon)
    assert cut.is_valid
    assert cut.length == pytest.approx(sum(path_length_mm(edge.walked) for edge in piece.edges), rel=0.01)
