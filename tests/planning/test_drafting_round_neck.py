"""Round-necked gowns for every size, looked at with shapely and plain arithmetic."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely import LinearRing, Point, Polygon

from gowngroup.planning.drafting import (
    MEASURE_NAMES,
    CannotDraft,
    Closure,
    Draft,
    DraftRules,
    closing_faults,
    finished_measures,
    seam_outline,
    trim_edges,
)
from gowngroup.planning.figures import FIGURES, default_values
from gowngroup.planning.geometry import is_simple_polygon, path_length_mm, signed_area_mm2
from gowngroup.planning.sizes import SizeBand
from tests.planning.round_necks import (
    RULES,
    TAKE_UP_MM,
    WITH_ARMHOLES,
    gown_up_to,
    round_neck,
    size_up_to,
    strip_of,
)

EVERY_SIZE = pytest.mark.parametrize("size", WITH_ARMHOLES, ids=lambda size: size.name)


@EVERY_SIZE
def test_every_size_closes(size: SizeBand) -> None:
    """Every size with armholes drafts to a gown that can be sewn, to wear as soon as it is big enough."""
    assert closing_faults(round_neck(size)) == ()
    if size.lower_mass_g >= 1500:
        assert closing_faults(round_neck(size, purpose="worn")) == ()


@EVERY_SIZE
def test_finished_measures_have_their_ease(size: SizeBand) -> None:
    """Neck, chest and sleeves are wider than the baby by the handbook's ease (derived)."""
    finished = finished_measures(round_neck(size))
    chest_mm = size.chest_mm or 0
    assert finished.neck_mm == pytest.approx(0.54 * chest_mm + 25, abs=0.01)
    assert finished.chest_mm >= chest_mm + max(50, 0.22 * chest_mm)
    assert finished.known["sleeve_girth_mm"] >= 0.35 * chest_mm + 40
    assert finished.known["sleeve_hem_mm"] >= 0.35 * chest_mm + 40


@EVERY_SIZE
def test_lengths_follow_the_body(size: SizeBand) -> None:
    """A memorial gown is 75 to 85 % as long as the body, a worn one 60 to 70 % and never over 64.8 cm."""
    assert 0.75 <= finished_measures(round_neck(size)).length_mm / size.body_length_mm <= 0.85
    if size.lower_mass_g >= 1500:
        worn_mm = finished_measures(round_neck(size, purpose="worn")).length_mm
        assert 0.60 <= worn_mm / size.body_length_mm <= 0.70
        assert worn_mm <= 648


@EVERY_SIZE
def test_upper_edges_make_the_strip(size: SizeBand) -> None:
    """The upper edges of front, backs and sleeves are the pleated strip and the overlap, to a tenth of a mm."""
    draft = round_neck(size)
    upper_mm = sum(
        count * path_length_mm(draft.piece(name).edge("neck").walked)
        for name, count in (("front", 1), ("back", 2), ("sleeve", 2))
    )
    assert upper_mm == pytest.approx(strip_of(draft).pleat_count * TAKE_UP_MM + 30, abs=0.1)


@EVERY_SIZE
def test_the_spare_pleats_fit_beside_the_overlap(size: SizeBand) -> None:
    """Beyond the centre back each back has cloth for half the overlap, its hem and the three spare pleats."""
    beyond_mm = 15 + round_neck(size).piece("back").edge("centre_back").allowance_mm
    assert beyond_mm >= max(3 * TAKE_UP_MM, 15 + RULES.back_hem_mm)


@EVERY_SIZE
def test_cut_outlines_go_round_seam_lines(size: SizeBand) -> None:
    """Every cut outline is a simple polygon, counter-clockwise from the origin, its allowance round the seam line."""
    for piece in round_neck(size).pieces:
        cut, seam = Polygon(piece.cut_polygon), Polygon(seam_outline(piece))
        assert cut.is_valid
        assert signed_area_mm2(piece.cut_polygon) > 0
        assert cut.bounds[:2] == pytest.approx((0, 0), abs=1e-9)
        assert cut.contains(seam)
        for edge in piece.edges:
            middle = Polygon(cut).exterior.distance(Point(edge.walked.segments[0].points[0]))
            assert middle >= min(each.allowance_mm for each in piece.edges) - 0.1


@EVERY_SIZE
def test_raglan_seams_are_curved_and_square_at_the_neck(size: SizeBand) -> None:
    """Each raglan seam leaves the neck along the grain and is longer than the straight line to the underarm."""
    for name in ("front", "sleeve"):
        raglan = round_neck(size).piece(name).edge("raglan_right").walked
        (x_0, y_0), (x_1, y_1) = raglan.segments[0].points
        assert x_1 == pytest.approx(x_0)
        chord_mm = ((raglan.end[0] - x_0) ** 2 + (raglan.end[1] - y_0) ** 2) ** 0.5
        assert path_length_mm(raglan) > chord_mm + 3
        assert y_1 - y_0 == pytest.approx(strip_of(round_neck(size)).rows[-1].depth_mm)


@EVERY_SIZE
def test_no_drafted_piece_is_nearly_its_box(size: SizeBand) -> None:
    """Front, backs and sleeves are true shapes: none fills as much as 93 % of its bounding box."""
    fills = [piece.fill for piece in round_neck(size).pieces]
    assert max(fills) < 0.93


def test_notches_lie_on_both_lines() -> None:
    """Each notch lies on the seam line and is snipped on the cutting line."""
    for piece in gown_up_to(1500).pieces:
        seam, cut = LinearRing(seam_outline(piece)), LinearRing(piece.cut_polygon)
        for notch in piece.notches:
            assert seam.distance(Point(notch.seam_point)) < 0.01
            assert cut.distance(Point(notch.cut_point)) < 0.2


def test_backs_are_cut_as_a_pair() -> None:
    """Two backs are one shape and the same turned over; two sleeves are one shape twice."""
    draft = gown_up_to(1500)
    back, other = (Polygon(shape) for shape in draft.piece("back").cut_shapes)
    assert back.area == pytest.approx(other.area)
    assert back.symmetric_difference(other).area > 100
    sleeve, second = draft.piece("sleeve").cut_shapes
    assert sleeve == second


def test_a_straight_binding_runs_along_the_grain() -> None:
    """A binding cut straight is a strip along the cloth four times its finished width, as long as a bias one."""
    straight = round_neck(size_up_to(1500), is_binding_bias=False)
    assert closing_faults(straight) == ()
    assert straight.piece("neck binding").cut_size_mm == pytest.approx((24, 165.4 + 30 + 14))
    bias, along = gown_up_to(1500).piece("neck binding"), straight.piece("neck binding")
    assert Polygon(bias.cut_polygon).area == pytest.approx(Polygon(along.cut_polygon).area)


def test_trims_have_their_edges() -> None:
    """Lace goes round the hem from back edge to back edge, round each sleeve, and binding round the neck."""
    draft = gown_up_to(1500)
    hem, sleeve_hem, neck = trim_edges(draft)
    assert hem.length_mm == pytest.approx(finished_measures(draft).hem_sweep_mm + 30)
    assert (sleeve_hem.count, sleeve_hem.length_mm) == (2, finished_measures(draft).sleeve_hem_mm)
    assert neck.length_mm == pytest.approx(165.4 + 30)


def test_a_level_neck_and_an_even_neck() -> None:
    """Without a drop the front neck is straight and as wide as its pleats."""
    draft = round_neck(size_up_to(1500), overrides={"neck_drop_mm": 0})
    neck = draft.piece("front").edge("neck").walked
    assert neck.end[0] - neck.start[0] == pytest.approx(strip_of(draft).front_pleat_count * TAKE_UP_MM)
    assert closing_faults(draft) == ()


@pytest.mark.parametrize("mass_g", [150, 250, 500])
def test_the_smallest_sizes_have_no_armholes(mass_g: float) -> None:
    """Sizes below 500 g are wraps: a round neck is refused."""
    with pytest.raises(CannotDraft) as refusal:
        round_neck(size_up_to(mass_g))
    assert refusal.value.code == "no_armholes"


def test_round_necks_to_wear_start_at_1500_g() -> None:
    """Below 1,500 g a round neck to wear is refused, unless the group sets another weight."""
    with pytest.raises(CannotDraft) as refusal:
        round_neck(size_up_to(1500), purpose="worn")
    assert refusal.value.code == "too_small_to_wear"
    own_rules = replace(RULES, worn_from_mass_g=1000)
    assert closing_faults(round_neck(size_up_to(1500), purpose="worn", rules=own_rules)) == ()


def test_a_sleeve_that_cannot_reach_round_the_armhole_is_refused() -> None:
    """With armholes as round as can be and steep side seams, no sleeve seam is long enough."""
    with pytest.raises(CannotDraft) as refusal:
        round_neck(size_up_to(1500), rules=replace(RULES, raglan_fullness=1.0, side_flare=0.3))
    assert refusal.value.code == "raglans_cannot_meet"


def test_an_unknown_chest_is_refused() -> None:
    """A size without a chest cannot be drafted for."""
    with pytest.raises(CannotDraft) as refusal:
        round_neck(replace(size_up_to(1500), chest_mm=None))
    assert refusal.value.code == "no_chest"


def test_a_blocked_closure_is_refused() -> None:
    """A gown with ties at the neck is not drafted at all."""
    with pytest.raises(CannotDraft, match="closure") as refusal:
        round_neck(size_up_to(1500), closure=Closure(kind="ties", finished_length_mm=100))
    assert refusal.value.values["closure_fault"] == "cord_at_neck"


@pytest.mark.parametrize(
    ("overrides", "code"),
    [
        ({"collar_mm": 10}, "unknown_measure"),
        ({"neck_mm": 0}, "unusable_number"),
        ({"neck_mm": float("nan")}, "unusable_number"),
        ({"neck_mm": 50_000}, "unusable_number"),
        ({"row_count": 4.5}, "unusable_number"),
        ({"neck_drop_mm": 6}, "neck_drop_meets_first_row"),
        ({"armhole_depth_mm": 50}, "smocking_reaches_underarm"),
        ({"sleeve_seam_mm": 20}, "too_short"),
        ({"back_length_mm": 90}, "too_short"),
        ({"sleeve_seam_mm": 4000}, "unusable_number"),
    ],
)
def test_measures_that_cannot_be_drawn_are_refused(overrides: dict[str, float], code: str) -> None:
    """A measure that has no meaning or leaves no room is refused with its reason."""
    with pytest.raises(CannotDraft) as refusal:
        round_neck(size_up_to(1500), overrides=overrides)
    assert refusal.value.code == code


def test_a_sleeve_that_runs_to_a_point_is_refused() -> None:
    """A long sleeve that runs inwards steeply would cross itself at the hem."""
    steep = replace(RULES, sleeve_taper=0.3)
    with pytest.raises(CannotDraft, match="sleeve") as refusal:
        round_neck(size_up_to(1500), rules=steep, overrides={"sleeve_seam_mm": 390})
    assert refusal.value.code == "outline_crosses"


NEAR_USUAL = st.dictionaries(st.sampled_from(MEASURE_NAMES), st.floats(0.4, 2.0), max_size=4)


@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(NEAR_USUAL, st.sampled_from(WITH_ARMHOLES))
def test_any_measures_give_simple_outlines_or_a_refusal(factors: dict[str, float], size: SizeBand) -> None:
    """Whatever measures are set, from two fifths to twice the usual, the outlines are simple or it is refused."""
    draft = drafted_or_none(size, factors)
    for piece in draft.pieces if draft else ():
        assert is_simple_polygon(piece.cut_polygon)
        assert LinearRing(piece.cut_polygon).is_simple


def drafted_or_none(size: SizeBand, factors: dict[str, float]) -> Draft | None:
    """The draft with some measures multiplied, counts rounded, or nothing where it is refused."""
    usual = round_neck(size).measures
    overrides = {name: getattr(usual, name) * factor for name, factor in factors.items()}
    overrides = {
        name: round(value) if name.endswith("_count") else value for name, value in overrides.items()
    }
    try:
        return round_neck(size, overrides=overrides)
    except CannotDraft:
        return None


def test_rules_come_from_the_figures() -> None:
    """Every figure of drafting is a rule, lies within its own limits and names its source."""
    drafting = [figure for figure in FIGURES if figure.key.startswith("draft_")]
    assert {figure.key for figure in drafting} == {f"draft_{name}" for name in DraftRules.__slots__}
    assert all(figure.low <= figure.value <= figure.high and figure.source for figure in drafting)


def test_a_missing_figure_is_named() -> None:
    """Without one of its figures there are no rules."""
    values = {key: value for key, value in default_values().items() if key != "draft_overlap_mm"}
    with pytest.raises(KeyError, match="draft_overlap_mm"):
        DraftRules.from_figures(values)
