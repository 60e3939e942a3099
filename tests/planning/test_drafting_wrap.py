"""Wraps for the smallest babies: shaped, lined, open all down the front, without pleats or ties."""

from dataclasses import replace

import pytest
from shapely import Polygon

from gowngroup.planning.drafting import (
    CannotDraft,
    Closure,
    Edge,
    EdgeRef,
    Seam,
    closing_faults,
    draft_wrap,
    finished_measures,
    trim_edges,
)
from gowngroup.planning.geometry import line, path
from tests.planning.drafts import drafted, every_draft, sampled_mm, usual
from tests.planning.round_necks import RULES, size_up_to, with_piece

SMALLEST = usual("wrap", 150)


@pytest.mark.parametrize(("mass_g", "chest_mm"), [(150, 0.66 * 205), (250, 0.66 * 237), (500, 190)])
def test_the_smallest_are_measured_from_their_length(mass_g: float, chest_mm: float) -> None:
    """Where nobody knows the chest it is 0.66 of the body length, as 19 to 29 cm is at 500 g (derived)."""
    finished = finished_measures(usual("wrap", mass_g))
    assert finished.chest_mm == pytest.approx(chest_mm + 50)
    assert finished.width_mm == pytest.approx(1.3 * (chest_mm + 50))


def test_a_wrap_has_no_pleats_and_no_sleeves() -> None:
    """A wrap is two pieces, wrap and lining, with nothing to smock and no sleeve to measure."""
    assert [(piece.name, piece.count) for piece in SMALLEST.pieces] == [("wrap", 1), ("lining", 1)]
    assert SMALLEST.smocking is None
    assert set(finished_measures(SMALLEST).known) == {"chest_mm", "length_mm", "hem_sweep_mm", "width_mm"}


def test_a_wrap_comes_without_a_closure() -> None:
    """By itself a wrap laps over and is tucked in; no tie is short enough where the chest is unknown (EN 14682)."""
    assert SMALLEST.closure.kind == "none"
    ties = Closure(kind="ties", depth_mm=80, finished_length_mm=40)
    with pytest.raises(CannotDraft) as refusal:
        drafted("wrap", size_up_to(150), closure=ties)
    assert refusal.value.values["closure_fault"] == "cord_at_neck"
    assert closing_faults(drafted("wrap", size_up_to(500), closure=ties)) == ()


def test_a_wrap_is_shaped() -> None:
    """Hollowed at the neck, sloping from it and rounded at its corners, it fills less than 0.91 of its box."""
    for draft in every_draft("wrap"):
        assert max(piece.fill for piece in draft.pieces) < 0.91


def test_its_area_is_what_its_measures_say() -> None:
    """The seam outline is the box less slopes, neck and corners, each counted by hand from the measures."""
    measures = SMALLEST.measures
    wrap = SMALLEST.piece("wrap")
    width_mm = finished_measures(SMALLEST).width_mm or 0.0
    neck_mm = wrap.edge("neck").walked.end[0] - wrap.edge("neck").walked.start[0]
    drop_mm = 0.35 * (width_mm - (0.54 * 0.66 * 205 + 25) / 2) / 2
    neck_drop_mm = 0.15 * (0.54 * 0.66 * 205 + 25) / 2
    box_mm2 = width_mm * (0.8 * 205 + neck_drop_mm)
    slopes_mm2 = (width_mm - neck_mm) / 2 * drop_mm
    corners_mm2 = 2 * (1 - 3.14159 / 4) * (0.2 * width_mm) ** 2
    about_mm2 = box_mm2 - slopes_mm2 - corners_mm2 - neck_mm * neck_drop_mm / 2
    assert measures.overlap_mm == pytest.approx(0.3 * width_mm / 1.3)
    assert Polygon(wrap.cut_polygon).buffer(-7).area == pytest.approx(about_mm2, rel=0.01)


def test_an_unlined_wrap_has_hems_instead() -> None:
    """Without a lining the wrap has nothing to sew together, and a hem all round."""
    bare = draft_wrap(size=size_up_to(150), rules=RULES, purpose="memorial", is_lined=False)
    assert (len(bare.pieces), bare.seams) == (1, ())
    assert {edge.allowance_mm for edge in bare.pieces[0].edges} == {10}
    assert closing_faults(bare) == ()


def test_trims_have_their_edges() -> None:
    """Lace may go along neck or hem, or all round in one length."""
    edges = {edge.name: edge.length_mm for edge in trim_edges(SMALLEST)}
    round_mm = sum(sampled_mm(edge.walked) for edge in SMALLEST.piece("wrap").edges)
    assert edges["round"] == pytest.approx(round_mm, abs=0.05)
    assert edges["neck"] == pytest.approx((0.54 * 0.66 * 205 + 25) / 2, abs=0.01)
    assert set(edges) == {"neck", "hem", "round"}


@pytest.mark.parametrize(
    ("overrides", "code", "where"),
    [
        ({"width_mm": 230}, "chest", "chest"),
        ({"overlap_mm": 25, "width_mm": 240}, "overlap", "wrap"),
        ({"lining_width_mm": 250}, "seam", "lining_shoulder_right"),
        ({"lining_length_mm": 170}, "seam", "lining_front_left"),
    ],
)
def test_measures_set_by_hand_show_what_no_longer_closes(
    overrides: dict[str, float], code: str, where: str
) -> None:
    """A measure set by hand is drawn as asked, and what it spoils is reported in a sentence."""
    found = closing_faults(drafted("wrap", size_up_to(150), overrides=overrides))
    assert (code, where) in {(each.code, each.where) for each in found}


@pytest.mark.parametrize(
    "overrides",
    [{"length_mm": 180}, {"overlap_mm": 70}, {"neck_mm": 60}, {"neck_drop_mm": 0}, {"lower_corner_mm": 20}],
)
def test_what_follows_from_a_measure_is_worked_out_anew(overrides: dict[str, float]) -> None:
    """A measure that others follow from changes them too, so that the wrap still closes."""
    assert closing_faults(drafted("wrap", size_up_to(150), overrides=overrides)) == ()


@pytest.mark.parametrize(
    ("overrides", "code"),
    [
        ({"width_mm": 60, "upper_corner_mm": 20}, "wrap_too_narrow"),
        ({"lower_corner_mm": 130}, "wrap_too_narrow"),
        ({"length_mm": 70}, "wrap_too_short"),
    ],
)
def test_measures_that_cannot_be_drawn_are_refused(overrides: dict[str, float], code: str) -> None:
    """A measure that leaves no room for corners or slopes is refused with its reason."""
    with pytest.raises(CannotDraft) as refusal:
        drafted("wrap", size_up_to(150), overrides=overrides)
    assert refusal.value.code == code


def test_a_group_may_make_wraps_for_bigger_babies() -> None:
    """Wraps end at 1,500 g (common practice), unless the group sets another weight."""
    bigger = replace(RULES, wrap_up_to_mass_g=2500)
    assert closing_faults(drafted("wrap", size_up_to(2500), rules=bigger)) == ()


def test_fronts_sewn_together_do_not_open() -> None:
    """A seam down the front, other than to the lining, would close the wrap: reported for both its edges."""
    sewn_up = Seam(
        name="front",
        left=(EdgeRef(piece="wrap", edge="front_right"),),
        right=(EdgeRef(piece="wrap", edge="front_left", is_backwards=True),),
    )
    found = closing_faults(replace(SMALLEST, seams=(*SMALLEST.seams, sewn_up)))
    assert [each.code for each in found] == ["opening", "opening"]
    assert found[0].where == "wrap"


def test_a_wrap_of_unlike_halves_is_found() -> None:
    """A wrap whose one side is cut off straight does not mirror."""
    wrap = SMALLEST.piece("wrap")
    edges = tuple(
        Edge(name=each.name, walked=path(line(each.walked.start, each.walked.end)), allowance_mm=7)
        if each.name == "front_right"
        else each
        for each in wrap.edges
    )
    found = {each.code for each in closing_faults(with_piece(SMALLEST, replace(wrap, edges=edges)))}
    assert {"mirror", "seam"} <= found


def test_sides_lap_over_at_least_as_far_as_backs() -> None:
    """Where the share of the girth would come to less, the sides lie over one another by 3 cm (common practice)."""
    rules = replace(RULES, wrap_overlap_ratio=0.1)
    overlaps_mm = [
        drafted("wrap", size_up_to(mass_g), rules=rules).measures.overlap_mm for mass_g in (150, 1500)
    ]
    assert overlaps_mm == [30, pytest.approx(0.1 * (260 + 0.22 * 260))]
