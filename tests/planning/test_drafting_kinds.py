"""Gowns of every kind, size and purpose: each closes, measured by other means too, or is refused with its reason."""

from collections.abc import Iterator
from dataclasses import fields, replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely import Point, Polygon

from gowngroup.planning.drafting import (
    DRAFT_KINDS,
    CannotDraft,
    Draft,
    DraftKind,
    Piece,
    Purpose,
    closing_faults,
    finished_measures,
    measures_in_force,
    measures_of,
    seam_outline,
    usual_measures,
)
from gowngroup.planning.geometry import is_simple_polygon, signed_area_mm2
from gowngroup.planning.sizes import DEFAULT_BANDS, SizeBand
from tests.planning.drafts import (
    PURPOSES,
    drafted,
    every_draft,
    product_moment_mm4,
    sampled_along_mm,
    usual,
)
from tests.planning.round_necks import ROW_SPACE_MM, RULES, TAKE_UP_MM, with_piece

EVERY_KIND = pytest.mark.parametrize("kind", DRAFT_KINDS)

# Lower edges of the weight bands each kind is drafted for (common practice: round necks to wear from 1,500 g,
# below that a yoke gown or a wrap, and no armholes below 500 g).
MADE_FROM_G: dict[tuple[DraftKind, Purpose], set[int]] = {
    ("round-neck", "worn"): {1500, 2000, 2500, 3500},
    ("round-neck", "memorial"): {500, 750, 1000, 1500, 2000, 2500, 3500},
    ("yoke", "worn"): {500, 750, 1000, 1500, 2000, 2500, 3500},
    ("yoke", "memorial"): {500, 750, 1000, 1500, 2000, 2500, 3500},
    ("wrap", "worn"): {0, 150, 250, 500, 750, 1000},
    ("wrap", "memorial"): {0, 150, 250, 500, 750, 1000},
}
REASONS = {"no_armholes", "too_small_to_wear", "too_big_for_wrap"}


@EVERY_KIND
@pytest.mark.parametrize("purpose", PURPOSES)
@pytest.mark.parametrize("size", DEFAULT_BANDS, ids=lambda size: size.name)
def test_every_size_closes_or_is_refused(kind: DraftKind, purpose: Purpose, size: SizeBand) -> None:
    """Every kind, size and purpose drafts to a gown that can be sewn, or is refused with its size named."""
    if size.lower_mass_g in MADE_FROM_G[kind, purpose]:
        assert closing_faults(usual(kind, size.upper_mass_g, purpose)) == ()
        return
    with pytest.raises(CannotDraft) as refusal:
        drafted(kind, size, purpose=purpose)
    assert refusal.value.code in REASONS
    assert refusal.value.values["size"] == size.name


@pytest.mark.parametrize("purpose", PURPOSES)
def test_every_size_has_a_gown(purpose: Purpose) -> None:
    """No ward is left without: each size has at least one kind to wear and one memorial kind."""
    made = {draft.size for kind in DRAFT_KINDS for draft in every_draft(kind) if draft.purpose == purpose}
    assert made == set(DEFAULT_BANDS)


@EVERY_KIND
def test_seams_are_equally_long_when_sampled(kind: DraftKind) -> None:
    """Both sides of every seam are equally long within 1 mm, measured from points on their Bernstein polynomials."""
    for draft in every_draft(kind):
        for seam in draft.seams:
            left_mm = sampled_along_mm(draft, seam.left) - seam.taken_up_mm
            assert left_mm == pytest.approx(sampled_along_mm(draft, seam.right), abs=1.0), seam.name


@EVERY_KIND
def test_finished_measures_have_their_ease(kind: DraftKind) -> None:
    """The chest has its ease, max(5 cm, 0.22 of it), and length its share of the body (own blocks, derived)."""
    for draft in every_draft(kind):
        chest_mm = draft.size.chest_mm or 0.66 * draft.size.body_length_mm
        finished = finished_measures(draft)
        assert finished.chest_mm >= chest_mm + max(50, 0.22 * chest_mm) - 0.001
        share = finished.length_mm / draft.size.body_length_mm
        assert 0.60 <= share <= 0.70 if draft.purpose == "worn" else 0.75 <= share <= 0.85
        assert finished.length_mm <= 648  # 16 CFR 1615.1(c): one-piece infant garments up to 25.75 in


@EVERY_KIND
def test_cut_outlines_go_round_seam_lines(kind: DraftKind) -> None:
    """Every cut outline is simple, runs counter-clockwise from the origin and keeps every allowance."""
    for piece in pieces(kind):
        cut = Polygon(piece.cut_polygon)
        assert cut.is_valid
        assert signed_area_mm2(piece.cut_polygon) == pytest.approx(cut.area)
        assert cut.bounds[:2] == pytest.approx((0, 0), abs=1e-9)
        assert cut.contains(Polygon(seam_outline(piece)))
        least_mm = min(edge.allowance_mm for edge in piece.edges)
        starts = [Point(edge.walked.start) for edge in piece.edges]
        assert min(cut.exterior.distance(start) for start in starts) >= least_mm - 0.15


@EVERY_KIND
def test_halves_mirror_by_their_moments(kind: DraftKind) -> None:
    """A symmetric piece balances on the middle of its box, and neither half outweighs the other across it."""
    for piece in pieces(kind):
        if piece.is_symmetric:
            cut = Polygon(piece.cut_polygon)
            assert cut.centroid.x == pytest.approx(piece.cut_size_mm[0] / 2, abs=0.05)
            assert abs(product_moment_mm4(piece)) < 1e-4 * cut.area**2


def pieces(kind: DraftKind) -> Iterator[Piece]:
    """Every piece of every draft of a kind."""
    for draft in every_draft(kind):
        yield from draft.pieces


def design_fill(draft: Draft) -> float:
    """Share of their boxes that the pieces of a gown fill together, bias strips left out."""
    straight = [piece for piece in draft.pieces if not piece.is_bias]
    area_mm2 = sum(piece.count * Polygon(piece.cut_polygon).area for piece in straight)
    return area_mm2 / sum(piece.count * Polygon(piece.cut_polygon).envelope.area for piece in straight)


def test_two_designs_are_true_shapes() -> None:
    """Round necks and wraps fill less than 0.93 of their pieces' boxes in every size."""
    for kind in ("round-neck", "wrap"):
        assert max(design_fill(draft) for draft in every_draft(kind)) < 0.93


@EVERY_KIND
def test_measures_are_listed_as_they_are_drafted(kind: DraftKind) -> None:
    """The list a group sets measures from names every measure once, in order, with limits round each default."""
    listed = measures_of(kind)
    assert [each.name for each in listed] == [field.name for field in fields(every_draft(kind)[0].measures)]
    assert len({each.label for each in listed}) == len(listed)
    for draft in every_draft(kind):
        in_force = measures_in_force(draft)
        assert all(each.low <= in_force[each.name] <= each.high for each in listed)


@EVERY_KIND
def test_usual_measures_set_by_hand_change_nothing(kind: DraftKind) -> None:
    """A group that sets every measure to what it is anyway gets the same gown."""
    draft = every_draft(kind)[-1]
    measures = usual_measures(
        kind,
        size=draft.size,
        rules=RULES,
        purpose=draft.purpose,
        pleater_take_up_mm=TAKE_UP_MM,
        pleater_row_space_mm=ROW_SPACE_MM,
    )
    assert drafted(kind, draft.size, purpose=draft.purpose, overrides=measures) == draft


@EVERY_KIND
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -5.0, 99_999.0])
def test_measures_outside_their_limits_are_refused(kind: DraftKind, bad: float) -> None:
    """Each measure set outside its limits is refused by its label, with the limits to keep to."""
    size = every_draft(kind)[0].size
    for measure in measures_of(kind):
        with pytest.raises(CannotDraft) as refusal:
            drafted(kind, size, overrides={measure.name: bad})
        assert refusal.value.code == "unusable_number"
        assert refusal.value.values["measure"] == measure.name


@EVERY_KIND
def test_a_measure_nobody_knows_is_refused(kind: DraftKind) -> None:
    """A measure that the kind does not have is refused by its name."""
    with pytest.raises(CannotDraft, match="collar_mm") as refusal:
        drafted(kind, every_draft(kind)[0].size, overrides={"collar_mm": 10})
    assert refusal.value.code == "unknown_measure"


@pytest.mark.parametrize("kind", ["round-neck", "yoke"])
@pytest.mark.parametrize("pleater", [{"take_up_mm": 0.0}, {"row_space_mm": float("nan")}])
def test_a_pleater_needs_its_numbers(kind: DraftKind, pleater: dict[str, float]) -> None:
    """A pleater without a take-up or a row space drafts nothing."""
    with pytest.raises(CannotDraft, match="unusable_pleater"):
        usual_measures(
            kind,
            size=DEFAULT_BANDS[-1],
            rules=RULES,
            purpose="worn",
            pleater_take_up_mm=pleater.get("take_up_mm", TAKE_UP_MM),
            pleater_row_space_mm=pleater.get("row_space_mm", ROW_SPACE_MM),
        )


@EVERY_KIND
def test_a_kind_named_by_its_size_alone_is_blocked_by_its_closure(kind: DraftKind) -> None:
    """Whatever the kind, ties at the neck and metal are never drafted (EN 14682, 0 to 7 years)."""
    draft = every_draft(kind)[-1]
    for closure in (
        replace(draft.closure, kind="ties", finished_length_mm=90.0),
        replace(draft.closure, is_metal=True),
    ):
        with pytest.raises(CannotDraft) as refusal:
            drafted(kind, draft.size, purpose=draft.purpose, closure=closure)
        assert refusal.value.code == "closure"


@settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(st.sampled_from(DRAFT_KINDS), st.data())
def test_any_measures_close_or_say_what_does_not(kind: DraftKind, data: st.DataObject) -> None:
    """Whatever is set within reach of the usual, the gown can be cut and every fault has a sentence, or it is refused."""
    usual_draft = data.draw(st.sampled_from(every_draft(kind)))
    in_force = measures_in_force(usual_draft)
    names = data.draw(st.lists(st.sampled_from([each.name for each in measures_of(kind)]), max_size=4))
    overrides = {name: in_force[name] * data.draw(st.floats(0.6, 1.6)) for name in names}
    counts = {each.name for each in measures_of(kind) if each.unit != "mm"}
    overrides = {name: round(value) if name in counts else value for name, value in overrides.items()}
    try:
        draft = drafted(kind, usual_draft.size, purpose=usual_draft.purpose, overrides=overrides)
    except CannotDraft:
        return
    assert all(is_simple_polygon(piece.cut_polygon) for piece in draft.pieces)
    assert all(measures_in_force(draft)[name] == value for name, value in overrides.items())
    faults = closing_faults(draft)
    assert {seam.name for seam in draft.seams if is_open(draft, seam.name)} == {
        each.where for each in faults if each.code == "seam"
    }


def is_open(draft: Draft, name: str) -> bool:
    """Does a seam differ by more than the millimetre allowed, sampled by other means?"""
    seam = next(each for each in draft.seams if each.name == name)
    left_mm = sampled_along_mm(draft, seam.left) - seam.taken_up_mm
    return abs(left_mm - sampled_along_mm(draft, seam.right)) > RULES.seam_tolerance_mm


def test_a_baby_with_a_bigger_chest_is_said_to_be_squeezed() -> None:
    """Each kind put on a baby with more than twice the chest lacks ease there."""
    for kind in DRAFT_KINDS:
        draft = usual(kind, 1500)
        bigger = replace(draft, size=replace(draft.size, chest_mm=2.2 * (draft.size.chest_mm or 0.0)))
        assert "chest" in {each.where for each in closing_faults(bigger)}


def test_a_piece_turned_over_is_found_in_every_kind() -> None:
    """A piece whose outline runs the wrong way round cannot be cut, whatever the kind."""
    for kind in DRAFT_KINDS:
        draft = usual(kind, 1500)
        piece = draft.pieces[0]
        spoilt = with_piece(draft, replace(piece, cut_polygon=piece.cut_polygon[::-1]))
        assert "outline_crosses" in {each.code for each in closing_faults(spoilt)}
