"""Yoke gowns with a smocked panel, against the group's handbook and what a safe back needs."""

import math
from dataclasses import replace
from fractions import Fraction

import pytest
from shapely import Polygon

from gowngroup.planning.batch_plan.order import kit_pieces
from gowngroup.planning.drafting import (
    CannotDraft,
    Draft,
    EdgeRef,
    Seam,
    SmockedPanel,
    closing_faults,
    draft_yoke_gown,
    finished_measures,
    panel_pleat_count,
    trim_edges,
)
from gowngroup.planning.floss import gown_floss
from gowngroup.planning.geometry import Path, Segment, path
from gowngroup.planning.lay import Strip, lay_rows
from gowngroup.planning.lay.values import LayPiece
from gowngroup.planning.sizes import SizeBand
from gowngroup.planning.smocking import Chart, compile_chart, suits_all_rows
from tests.planning.drafts import drafted, every_draft, sampled_along_mm, sampled_mm, usual
from tests.planning.round_necks import ROW_SPACE_MM, RULES, TAKE_UP_MM, size_up_to, with_piece
from tests.planning.smocking_cast import BABY_WAVE, CABLE, FLOSS, PROFILE, chart_of, wave

# chest in cm, pleats in the panel, flat cloth to finished width; derived, from the group's handbook.
TABLE = (
    (19, 50, 3.2),
    (21, 50, 3.0),
    (23, 74, 4.1),
    (26, 74, 3.6),
    (28, 74, 3.4),
    (30, 74, 3.1),
    (33, 98, 3.8),
    (35.5, 98, 3.5),
)
WORN = usual("yoke", 1500, "worn")


def panel_of(draft: Draft) -> SmockedPanel:
    """What a yoke gown is smocked from."""
    assert draft.panel is not None
    return draft.panel


def size_of_chest(chest_cm: float) -> SizeBand:
    """An invented size of this chest, otherwise as the one to 1,500 g."""
    return replace(size_up_to(1500), chest_mm=chest_cm * 10)


@pytest.mark.parametrize(("chest_cm", "pleat_count", "cloth_ratio"), TABLE)
def test_pleats_agree_with_the_table(chest_cm: float, pleat_count: int, cloth_ratio: float) -> None:
    """Each chest gives the pleats and the cloth ratio of the handbook's table, over half the eased chest less 0.11 C."""
    draft = drafted("yoke", size_of_chest(chest_cm))
    panel = panel_of(draft)
    assert (panel.pleat_count, round(panel.cloth_ratio, 1)) == (pleat_count, cloth_ratio)
    chest_mm = 10 * chest_cm
    finished_mm = (chest_mm + max(50, 0.22 * chest_mm)) / 2 - 0.11 * chest_mm
    assert panel.finished_mm == pytest.approx(finished_mm)
    assert closing_faults(draft) == ()


def test_the_worked_example() -> None:
    """From 1,000 to 1,500 g: panel 50.8 cm flat, 27 cm long, 103 cm round the hem (own block, derived)."""
    finished = finished_measures(WORN)
    assert panel_of(WORN).flat_mm == pytest.approx(508)
    assert finished.length_mm == pytest.approx(270)
    assert finished.hem_sweep_mm / 10 == pytest.approx(103, abs=0.5)
    assert finished.smocked_width_mm == pytest.approx(130)


def test_the_worked_example_in_floss() -> None:
    """Two cable rows and four baby waves over that panel take 3.6 m of floss and 6 cuts (derived)."""
    waves = (replace(BABY_WAVE, name=f"wave {n}", top_row=Fraction(n)) for n in range(2, 6))
    chart = chart_of(CABLE, *waves, replace(CABLE, name="last", top_row=Fraction(6)))
    floss = gown_floss(
        compile_chart(chart, panel_of(WORN).pleat_count, PROFILE),
        pitches_mm=(panel_of(WORN).pitch_mm,) * 6,
        profile=PROFILE,
        rules=replace(FLOSS, spare_needlefuls=0),
    )
    assert floss.length_mm / 1000 == pytest.approx(3.6, abs=0.05)
    assert floss.cuts == 6


def lay_length_mm(gown_count: int) -> float:
    """Cloth for so many of the worked example laid in rows over 112 cm less its selvedges."""
    laid = [
        LayPiece(
            key=f"{gown}/{piece.name}/{number}",
            kit_key=str(gown),
            name=piece.name,
            number=number,
            outline=outline,
            may_turn=piece.may_turn,
        )
        for gown in range(gown_count)
        for piece in kit_pieces(WORN.pieces)
        for number, outline in enumerate(piece.outlines)
    ]
    return lay_rows(laid, Strip(usable_width_mm=1100, length_mm=math.inf)).length_mm


@pytest.mark.parametrize(("gown_count", "each_cm"), [(1, 50), (6, 38)])
def test_the_worked_example_in_cloth(gown_count: int, each_cm: float) -> None:
    """Cloth 112 cm wide: about 50 cm for one gown alone, about 38 cm each for six (common practice), within 3 cm."""
    assert lay_length_mm(gown_count) / gown_count / 10 == pytest.approx(each_cm, abs=3)


def test_armholes_meet_their_sleeves() -> None:
    """Shoulder to underarm, yoke and skirt together are as long as half the sleeve cap, sampled, in every size."""
    for draft in every_draft("yoke"):
        armhole = (EdgeRef(piece="back yoke", edge="armhole"), EdgeRef(piece="back", edge="armhole"))
        cap_mm = sampled_mm(draft.piece("sleeve").edge("cap_right").walked)
        assert sampled_along_mm(draft, armhole) == pytest.approx(cap_mm, abs=0.05)


def test_measures_follow_the_body() -> None:
    """Neck 0.54 C + 2.5 cm, armholes 0.22 C + 1.5 cm deep, sleeves at least 0.35 C + 4 cm (own block, derived)."""
    for draft in every_draft("yoke"):
        chest_mm = draft.size.chest_mm or 0.0
        known = finished_measures(draft).known
        assert known["neck_mm"] == pytest.approx(0.54 * chest_mm + 25, abs=0.01)
        depth_mm = (
            draft.piece("front yoke").edge("armhole_right").walked.end[1]
            - draft.piece("front yoke").edge("neck").walked.end[1]
            + draft.piece("front panel").edge("armhole_right").walked.end[1]
            - draft.piece("front panel").edge("yoke_seam").walked.end[1]
        )
        assert depth_mm == pytest.approx(0.22 * chest_mm + 15, abs=0.01)
        assert min(known["sleeve_girth_mm"], known["sleeve_hem_mm"]) >= 0.35 * chest_mm + 40


def test_no_thick_seam_lies_on_the_spine() -> None:
    """Where the backs lie over one another, 15 mm to each side of the spine, they are sewn flat and not gathered."""
    for draft in every_draft("yoke"):
        for piece in ("back", "back yoke"):
            flat = draft.piece(piece).edge("yoke_seam_flat").walked
            assert sampled_mm(flat) == pytest.approx(30)
        flat_seam = next(seam for seam in draft.seams if seam.name == "yoke_back_flat")
        assert flat_seam.taken_up_mm == 0
        sewn = {(each.piece, each.edge) for seam in draft.seams for each in (*seam.left, *seam.right)}
        assert not sewn & {("back", "centre_back"), ("back yoke", "centre_back")}


def test_cloth_is_gathered_no_fuller_than_batiste_can_be() -> None:
    """At the back yoke at most 4.1 lengths of cloth make one (batiste 4 to 1, common practice)."""
    for draft in every_draft("yoke"):
        flat_mm = sampled_mm(draft.piece("back").edge("yoke_seam").walked)
        gathered_mm = sampled_mm(draft.piece("back yoke").edge("yoke_seam").walked)
        assert 1 <= flat_mm / gathered_mm <= 4.1


def test_spare_pleats_fit_beside_the_panel() -> None:
    """At the underarm the cut panel is as wide as its pleats with three spare ones at each end."""
    for draft in every_draft("yoke"):
        piece = draft.piece("front panel")
        left, right = piece.edge("armhole_left").walked.start[0], piece.edge("armhole_right").walked.end[0]
        assert right - left + 14 >= panel_of(draft).flat_mm - 0.01


def test_an_unlined_yoke_is_cut_once() -> None:
    """Yokes are cut with a lining, or once where the group wants none; the gown is the same."""
    lined = WORN.piece("front yoke").count, WORN.piece("back yoke").count
    assert lined == (2, 4)
    bare = draft_yoke_gown(
        size=size_up_to(1500),
        rules=RULES,
        purpose="worn",
        pleater_take_up_mm=TAKE_UP_MM,
        pleater_row_space_mm=ROW_SPACE_MM,
        is_yoke_lined=False,
        is_binding_bias=False,
    )
    assert (bare.piece("front yoke").count, bare.piece("back yoke").count) == (1, 2)
    assert closing_faults(bare) == ()
    assert finished_measures(bare) == finished_measures(WORN)


def test_trims_have_their_edges() -> None:
    """Lace goes round hem and sleeves, binding round the neck, and piping or insertion along the front yoke."""
    edges = {edge.name: edge for edge in trim_edges(WORN)}
    assert edges["hem"].length_mm == pytest.approx(finished_measures(WORN).hem_sweep_mm + 30)
    assert edges["sleeve_hem"].count == 2
    assert edges["neck"].length_mm == pytest.approx(165.4 + 30)
    assert edges["yoke_seam"].length_mm == pytest.approx(130)


@pytest.mark.parametrize(
    ("overrides", "code", "where"),
    [
        ({"front_yoke_mm": 134}, "seam", "yoke_front"),
        ({"back_armhole_mm": 26}, "seam", "armhole_back_right"),
        ({"front_skirt_mm": 240}, "seam", "side_left"),
        ({"sleeve_width_mm": 160}, "seam", "armhole_front_left"),
        ({"sleeve_width_mm": 125, "sleeve_cap_height_mm": 30}, "sleeve", "sleeve"),
        ({"binding_mm": 190}, "seam", "neck_binding"),
        ({"neck_width_mm": 70}, "seam", "neck_binding"),
        ({"neck_mm": 150}, "neck", "neck"),
        ({"panel_mm": 115}, "chest", "chest"),
        ({"overlap_mm": 20}, "overlap", "back yoke"),
    ],
)
def test_measures_set_by_hand_show_what_no_longer_closes(
    overrides: dict[str, float], code: str, where: str
) -> None:
    """A measure set by hand is drawn as asked, and what it spoils is reported in a sentence."""
    found = closing_faults(drafted("yoke", size_up_to(1500), overrides=overrides))
    assert (code, where) in {(each.code, each.where) for each in found}


@pytest.mark.parametrize(
    "overrides",
    [
        {"armhole_depth_mm": 85},
        {"armhole_width_mm": 18},
        {"length_mm": 240},
        {"panel_mm": 140},
        {"front_neck_drop_mm": 36, "back_neck_drop_mm": 6},
        {"neck_mm": 180},
        {"overlap_mm": 40},
        {"yoke_depth_mm": 58},
        {"shoulder_drop_mm": 12},
        {"sleeve_cap_height_mm": 16},
        {"back_width_mm": 82},
    ],
)
def test_what_follows_from_a_measure_is_worked_out_anew(overrides: dict[str, float]) -> None:
    """A measure that others follow from changes them too, so that the gown still closes."""
    assert closing_faults(drafted("yoke", size_up_to(1500), overrides=overrides)) == ()


@pytest.mark.parametrize(
    ("overrides", "code"),
    [
        ({"pleat_count": 73}, "uneven_pleats"),
        ({"pleat_count": 50}, "cloth_ratio"),
        ({"back_width_mm": 300}, "gathers_ratio"),
        ({"back_width_mm": 70}, "gathers_ratio"),
        ({"yoke_depth_mm": 38}, "yoke_too_shallow"),
        ({"neck_width_mm": 120}, "shoulder_too_narrow"),
        ({"yoke_depth_mm": 70}, "armhole_above_yoke"),
        ({"overlap_mm": 120}, "overlap_too_wide"),
        ({"row_count": 20, "length_mm": 240}, "smocking_runs_off"),
        ({"front_armhole_mm": 150, "front_skirt_mm": 170}, "too_short"),
        ({"sleeve_seam_mm": 12}, "too_short"),
        ({"front_neck_drop_mm": 100, "back_neck_drop_mm": 10}, "neck_cannot_close"),
        ({"sleeve_cap_height_mm": 110}, "cap_cannot_meet"),
    ],
)
def test_measures_that_cannot_be_drawn_are_refused(overrides: dict[str, float], code: str) -> None:
    """A measure that leaves no room for another is refused with its reason."""
    with pytest.raises(CannotDraft) as refusal:
        drafted("yoke", size_up_to(1500), overrides=overrides)
    assert refusal.value.code == code


def test_a_hollow_too_narrow_for_its_allowance_is_refused() -> None:
    """With 10 mm round the small armholes of the smallest size the cutting line would cross itself."""
    with pytest.raises(CannotDraft, match="front panel") as refusal:
        drafted("yoke", size_up_to(750), rules=replace(RULES, seam_allowance_mm=10))
    assert refusal.value.code == "outline_crosses"


def pleats_for(finished_mm: float, chart: Chart | None = None) -> int:
    """Pleats for a panel of this width with the usual pleater."""
    return panel_pleat_count(finished_mm=finished_mm, take_up_mm=TAKE_UP_MM, rules=RULES, chart=chart)


@pytest.mark.parametrize("steps", [1, 2, 3, 4])
def test_where_no_usual_count_fits_the_chart_decides(steps: int) -> None:
    """A panel of 112 mm takes neither 50 nor 74 pleats: the count is even, near 3.5 to 1, and suits every row."""
    chart = chart_of(wave(steps))
    count = pleats_for(112, chart)
    assert count % 2 == 0
    assert 2.9 <= count * TAKE_UP_MM / 112 <= 4.1
    assert suits_all_rows(chart, count)
    nearer = [each for each in range(52, 72, 2) if suits_all_rows(chart, each)]
    assert count == min(nearer, key=lambda each: abs(each * TAKE_UP_MM / 112 - 3.5))


def test_a_chart_that_suits_no_count_is_refused() -> None:
    """Rows of 3, 4 and 6 steps share no count for a panel of 112 mm: another chart is asked for."""
    with pytest.raises(CannotDraft, match="no_pleats_fit") as refusal:
        pleats_for(112, chart_of(wave(3), wave(4), wave(6)))
    assert refusal.value.code == "no_pleats_fit"


def test_without_a_chart_any_even_count_will_do() -> None:
    """Without a chart the even count nearest to 3.5 lengths in one is taken: 62 for 112 mm."""
    assert pleats_for(112) == 62


def test_a_usual_count_goes_before_the_chart() -> None:
    """Where a count of 2 (mod 24) fits, it is taken though the chart leaves a pleat over at each side."""
    assert pleats_for(130, chart_of(wave(4))) == 74


@pytest.mark.parametrize(("mass_g", "row_count"), [(1000, 4), (1500, 5)])
def test_rows_follow_the_chart(mass_g: float, row_count: int) -> None:
    """A panel has as many rows as its chart; without one five, or four where the chest is below 24 cm (derived)."""
    size = size_up_to(mass_g)
    assert len(panel_of(drafted("yoke", size)).rows) == row_count
    panel = panel_of(drafted("yoke", size, chart=chart_of(CABLE, row_count=7)))
    assert [row.depth_mm for row in panel.rows] == pytest.approx([6 + 9.525 * row for row in range(7)])
    assert {row.finished_mm for row in panel.rows} == {panel.finished_mm}


def test_two_millimetres_too_many_in_the_gathers_are_found() -> None:
    """Seams that are drawn in are walked like all others: a yoke drawn 2 mm wider than its gathers is reported."""
    seams = tuple(
        replace(seam, taken_up_mm=seam.taken_up_mm - 2) if seam.name == "yoke_back" else seam
        for seam in WORN.seams
    )
    assert [each.where for each in closing_faults(replace(WORN, seams=seams))] == ["yoke_back"]


def test_a_back_yoke_sewn_up_does_not_open() -> None:
    """A seam along the centre of the back yokes closes the gown over the baby's head: reported."""
    centre = (EdgeRef(piece="back yoke", edge="centre_back"),)
    sewn_up = Seam(name="centre_back", left=centre, right=centre)
    found = closing_faults(replace(WORN, seams=(*WORN.seams, sewn_up)))
    assert [(each.code, each.where) for each in found] == [("opening", "back yoke")]


def test_a_yoke_out_of_true_is_found() -> None:
    """A back yoke drawn aslant lies off the grain, its edges still joined."""
    yoke = WORN.piece("back yoke")
    edges = tuple(replace(each, walked=sheared(each.walked)) for each in yoke.edges)
    found = {each.code for each in closing_faults(with_piece(WORN, replace(yoke, edges=edges)))}
    assert "grain" in found


def sheared(walked: Path) -> Path:
    """A path whose points lie further right the lower they are."""
    return path(
        *(Segment(points=tuple((x + 0.1 * y, y) for x, y in segment.points)) for segment in walked.segments)
    )


def test_pieces_are_about_as_large_as_they_look() -> None:
    """Cloth of the worked example adds up to about 0.35 m², of which skirts are the most (by hand)."""
    areas = {piece.name: piece.count * Polygon(piece.cut_polygon).area / 1e6 for piece in WORN.pieces}
    assert sum(areas.values()) == pytest.approx(0.35, abs=0.02)
    assert areas["front panel"] + areas["back"] > 0.7 * sum(areas.values())
