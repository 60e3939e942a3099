"""Lace, ribbon and bias: the quick cutting and the rules."""

import math
from dataclasses import replace
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gowngroup.planning.figures import default_values
from gowngroup.planning.trims import (
    SET_IN,
    CannotCutTrims,
    Trim,
    TrimKind,
    TrimPiece,
    TrimPlan,
    TrimRules,
    TrimSupply,
    batiste_cut_off_mm,
    bias_from_square_mm,
    bias_square_side_mm,
    cards_needed,
    edge_piece_mm,
    pack_first_fit,
    pack_trims,
    pieces_per_card,
    threaded_ribbon_mm,
    trim_length_mm,
    trim_piece_mm,
    washed_mm,
)

RULES = TrimRules.from_figures(default_values())
INCH_MM = 25.4


def pieces_of(*lengths_mm: float) -> tuple[TrimPiece, ...]:
    """One piece per length, with keys p0, p1 …"""
    return tuple(TrimPiece(key=f"p{n}", length_mm=length) for n, length in enumerate(lengths_mm))


def packed(pieces: tuple[TrimPiece, ...], *supplies: TrimSupply) -> TrimPlan:
    """A quick plan where edges of 200 mm and more are in use."""
    return pack_first_fit(pieces, supplies, shortest_edge_mm=200)


def test_neck_lace_is_gathered_two_to_one() -> None:
    """A neck of 280 mm at 2:1 with 10 mm turned in at both ends takes 580 mm (common practice)."""
    assert edge_piece_mm(280, gather_ratio=RULES.gather_full_ratio, rules=RULES) == 580


def test_sparse_lace_is_gathered_one_and_a_half_to_one() -> None:
    """The same neck with sparse gathers takes 440 mm (common practice)."""
    assert edge_piece_mm(280, gather_ratio=RULES.gather_sparse_ratio, rules=RULES) == 440


INSERTION = Trim(name="lace insertion", kind="insertion", width_mm=20)
ENTREDEUX = Trim(name="entredeux", kind="entredeux", width_mm=24, allowance_mm=9)


def test_a_trim_set_in_reaches_through_both_seams() -> None:
    """Insertion over 300 mm with seams of 8 mm takes 316 mm; edging turns in its ends instead (common practice)."""
    edging = replace(INSERTION, kind="edging")
    assert trim_piece_mm(INSERTION, 300, seam_mm=8, rules=RULES) == 316
    assert trim_piece_mm(edging, 300, gather_ratio=1.5, seam_mm=8, rules=RULES) == 470


def test_only_what_is_no_allowance_shows() -> None:
    """Entredeux 24 mm wide with 9 mm of batiste on each side shows 6 mm; lace insertion shows all over."""
    assert (ENTREDEUX.shown_mm, INSERTION.shown_mm) == (6, 20)


def test_a_trim_set_in_is_not_gathered() -> None:
    """The trim is named."""
    with pytest.raises(ValueError, match="entredeux is set in"):
        trim_piece_mm(ENTREDEUX, 300, gather_ratio=1.5, seam_mm=8, rules=RULES)


def test_a_trim_of_allowance_alone_is_refused() -> None:
    """The trim is named."""
    with pytest.raises(ValueError, match="nothing of entredeux shows"):
        trim_piece_mm(replace(ENTREDEUX, width_mm=18), 300, seam_mm=8, rules=RULES)


def test_each_kind_of_trim_has_its_length() -> None:
    """A neck of 280 mm: lace at 2:1 with 10 mm turned in 580 mm, set-in trims flat through two seams of 7 mm 294 mm
    (handbook of the trade as the group keeps it, common practice)."""
    kinds: tuple[TrimKind, ...] = ("lace", "edging", "ribbon")
    for kind in kinds:
        assert trim_length_mm(kind, 280, gather_ratio=2, end_mm=10) == 580
    for kind in SET_IN:
        assert trim_length_mm(kind, 280, end_mm=7) == 294


@pytest.mark.parametrize("kind", SET_IN)
def test_no_set_in_kind_is_gathered(kind: TrimKind) -> None:
    """Entredeux, insertion and beading lie flat; without a name the kind is named (common practice)."""
    with pytest.raises(ValueError, match=f"^{kind} is set in"):
        trim_length_mm(kind, 280, gather_ratio=1.5, end_mm=7)


def test_ribbon_goes_in_and_out_of_beading() -> None:
    """Beading of 294 mm takes a tenth more ribbon, 323.4 mm (common practice, a figure of the group's)."""
    assert threaded_ribbon_mm(294, rules=RULES) == pytest.approx(323.4)


def test_batiste_edges_are_trimmed_to_the_seam() -> None:
    """Of 9 mm of batiste 2 mm are cut off for a seam of 7 mm, nothing for one of 9 mm (common practice)."""
    assert [batiste_cut_off_mm(ENTREDEUX, seam_mm=seam_mm) for seam_mm in (7, 9)] == [2, 0]


def test_batiste_too_narrow_for_the_seam_is_refused() -> None:
    """The trim and the seam are named."""
    with pytest.raises(ValueError, match="batiste of entredeux is narrower than a seam of 10 mm"):
        batiste_cut_off_mm(ENTREDEUX, seam_mm=10)


def test_a_shrunk_card_measures_less() -> None:
    """A card of 10 m that shrinks by 4 % gives 9.6 m, 16 necks of 580 mm instead of 17."""
    assert pieces_per_card(580, card_mm=washed_mm(10_000, shrink_share=0.04)) == 16


def test_six_hems_need_six_cards() -> None:
    """Six hems of 3.4 m need six cards of 5 m though pooled metres say five (derived)."""
    assert cards_needed(pieces_of(*[3400.0] * 6), card_mm=5000).card_count == 6
    assert ceil(6 * 3400 / 5000) == 5


def test_a_10_m_card_yields_17_necks() -> None:
    """A card of 10 m holds 17 pieces of 580 mm (derived)."""
    assert pieces_per_card(580, card_mm=10_000) == 17
    assert cards_needed(pieces_of(*[580.0] * 17), card_mm=10_000).card_count == 1
    assert cards_needed(pieces_of(*[580.0] * 18), card_mm=10_000).card_count == 2


def test_short_pieces_fill_up_cards_begun() -> None:
    """Two hems and two necks share two cards."""
    assert cards_needed(pieces_of(1500, 3400, 3400, 1500), card_mm=5000).card_count == 2


def test_a_piece_longer_than_any_card_is_named() -> None:
    """A piece that no card holds is told apart from the cards to buy."""
    need = cards_needed(pieces_of(5001, 100), card_mm=5000)
    assert need.card_count == 1
    assert [piece.key for piece in need.too_long] == ["p0"]


def test_the_opened_remnant_that_fits_best_is_used() -> None:
    """Of three remnants the one with least left over is cut, and no whole card is opened."""
    supplies = [
        TrimSupply(key="card", length_mm=590),
        TrimSupply(key="long", length_mm=900, is_opened=True),
        TrimSupply(key="snug", length_mm=600, is_opened=True),
        TrimSupply(key="short", length_mm=570, is_opened=True),
    ]
    assert [cut.supply_key for cut in packed(pieces_of(580), *supplies).cuts] == ["snug"]


def test_a_card_begun_for_one_piece_serves_the_next() -> None:
    """Once opened, a card is finished before another is begun."""
    plan = packed(
        pieces_of(1000, 1000), TrimSupply(key="a", length_mm=5000), TrimSupply(key="b", length_mm=5000)
    )
    assert [(cut.supply_key, cut.start_mm) for cut in plan.cuts] == [("a", 0), ("a", 1000)]


def test_the_longest_piece_is_cut_first() -> None:
    """Where not all fit, a short piece goes without rather than the hem."""
    plan = packed(pieces_of(1500, 1500, 3400), TrimSupply(key="a", length_mm=5000))
    assert [cut.length_mm for cut in plan.cuts] == [3400, 1500]
    assert [piece.length_mm for piece in plan.unplaced] == [1500]


def test_a_piece_is_never_joined_from_two() -> None:
    """Two remnants of 3 m do not make a hem of 3.4 m."""
    plan = packed(pieces_of(3400), TrimSupply(key="a", length_mm=3000), TrimSupply(key="b", length_mm=3000))
    assert [piece.key for piece in plan.unplaced] == ["p0"]
    assert not plan.left_overs


@pytest.mark.parametrize(("card_mm", "is_useful"), [(780, True), (779, False)])
def test_a_left_over_is_useful_from_the_shortest_edge_upward(card_mm: float, is_useful: bool) -> None:
    """The least useful left-over of lace is the shortest edge in use (common practice)."""
    (left,) = packed(pieces_of(580), TrimSupply(key="a", length_mm=card_mm)).left_overs
    assert left.is_useful == is_useful
    assert left.length_mm == card_mm - 580


def test_a_card_used_to_its_end_leaves_nothing() -> None:
    """Ten tenths of a card fill it in spite of rounding."""
    plan = packed(pieces_of(*[100.1] * 10), TrimSupply(key="a", length_mm=1001))
    assert not plan.unplaced
    assert plan.left_overs[0].length_mm == pytest.approx(0, abs=1e-6)


def test_one_key_for_two_supplies_is_refused() -> None:
    """A cut must point to one card only."""
    with pytest.raises(ValueError, match="key of its own"):
        packed(pieces_of(1), TrimSupply(key="a", length_mm=5), TrimSupply(key="a", length_mm=5))


LENGTHS = st.lists(st.integers(50, 3000).map(float), max_size=25)
SUPPLIES = st.lists(st.tuples(st.integers(50, 5000).map(float), st.booleans()), max_size=10).map(
    lambda rows: tuple(
        TrimSupply(key=f"s{n}", length_mm=length, is_opened=is_opened)
        for n, (length, is_opened) in enumerate(rows)
    )
)


@given(lengths=LENGTHS, supplies=SUPPLIES)
def test_pieces_are_cut_once_and_never_overlap(
    lengths: list[float], supplies: tuple[TrimSupply, ...]
) -> None:
    """Each piece is cut once or left out, and the cuts of a supply follow on one another within its length."""
    plan = packed(pieces_of(*lengths), *supplies)
    keys = [cut.piece_key for cut in plan.cuts] + [piece.key for piece in plan.unplaced]
    assert sorted(keys) == sorted(piece.key for piece in pieces_of(*lengths))
    for supply in supplies:
        used_mm = 0.0
        for cut in (cut for cut in plan.cuts if cut.supply_key == supply.key):
            assert cut.start_mm == used_mm
            used_mm += cut.length_mm
        assert used_mm <= supply.length_mm


@given(lengths=LENGTHS, supplies=SUPPLIES)
def test_a_piece_left_out_fits_nowhere(lengths: list[float], supplies: tuple[TrimSupply, ...]) -> None:
    """A piece is left out only when every supply, after its cuts, is too short for it."""
    plan = packed(pieces_of(*lengths), *supplies)
    left_mm = {supply.key: supply.length_mm for supply in supplies}
    for cut in plan.cuts:
        left_mm[cut.supply_key] -= cut.length_mm
    longest_mm = max(left_mm.values(), default=0)
    assert all(piece.length_mm > longest_mm for piece in plan.unplaced)


@given(lengths=LENGTHS, supplies=SUPPLIES)
def test_the_order_given_does_not_matter(lengths: list[float], supplies: tuple[TrimSupply, ...]) -> None:
    """The same pieces and supplies in another order give the same plan."""
    pieces = pieces_of(*lengths)
    assert packed(pieces, *supplies) == packed(pieces[::-1], *supplies[::-1])


@given(lengths=st.lists(st.integers(50, 3000).map(float), min_size=1, max_size=25))
def test_cards_lie_between_pooled_metres_and_two_a_pair(lengths: list[float]) -> None:
    """First fit needs at least the pooled length and leaves at most one card half empty."""
    count = cards_needed(pieces_of(*lengths), card_mm=3000).card_count
    assert sum(lengths) / 3000 <= count <= 2 * sum(lengths) / 3000 + 1


@pytest.mark.parametrize(
    ("length_in", "width_in", "side_in"),
    [(100, 3.5, 18.7), (250, 2, 22.4), (300, 3, 30.0), (450, 2.25, 31.8)],
)
def test_a_bias_square_is_the_root_of_length_times_width(
    length_in: float, width_in: float, side_in: float
) -> None:
    """Published worked examples: quiltersquestiontime.com (2021) 18.71, mydecozo.co.uk 22.36; others derived."""
    side_mm = bias_square_side_mm(length_mm=length_in * INCH_MM, width_mm=width_in * INCH_MM)
    assert round(side_mm / INCH_MM, 1) == side_in


def test_a_20_inch_square_gives_200_inches_of_2_inch_bias_in_theory() -> None:
    """Published worked example, mydecozo.co.uk: 20 by 20 over 2 is 200 inches."""
    length_mm = bias_from_square_mm(side_mm=20 * INCH_MM, width_mm=2 * INCH_MM)
    assert length_mm / INCH_MM == pytest.approx(200)


def test_a_12_inch_square_really_gives_about_60_inches() -> None:
    """Published sewing tutorial: a 12 inch square makes about 60 inches of 2 inch bias, theory says 72."""
    length_mm = bias_from_square_mm(
        side_mm=12 * INCH_MM, width_mm=2 * INCH_MM, yield_share=RULES.bias_yield_share
    )
    assert length_mm / INCH_MM == pytest.approx(60, abs=0.5)


def test_the_square_for_a_real_yield_gives_the_length_back() -> None:
    """Side and length are each other's inverse at any yield."""
    side_mm = bias_square_side_mm(length_mm=2000, width_mm=35, yield_share=0.83)
    assert bias_from_square_mm(side_mm=side_mm, width_mm=35, yield_share=0.83) == pytest.approx(2000)


def test_a_published_chart_yields_five_sixths() -> None:
    """A continuous-bias chart gives 0.75 to 0.88 of theory, 0.83 in the mean: 300 by 3 in need 32.9, not 30 (derived)."""
    side_mm = bias_square_side_mm(length_mm=300 * INCH_MM, width_mm=3 * INCH_MM, yield_share=0.83)
    assert RULES.bias_yield_share == 0.83
    assert round(side_mm / INCH_MM, 1) == 32.9


@pytest.mark.parametrize(
    ("measures", "named"),
    [
        ({"length_mm": 0.0, "width_mm": 32.0}, "length"),
        ({"length_mm": 250.0, "width_mm": float("nan")}, "width"),
        ({"length_mm": 250.0, "width_mm": 32.0, "yield_share": 0.0}, "share it yields"),
    ],
)
def test_bias_that_cannot_be_is_refused(measures: dict[str, float], named: str) -> None:
    """The measure at fault is named."""
    with pytest.raises(ValueError, match=f"the {named} must be above zero"):
        bias_square_side_mm(**measures)


@pytest.mark.parametrize("bad_mm", [math.nan, math.inf, -1.0])
def test_a_length_that_is_none_is_refused_by_its_name(bad_mm: float) -> None:
    """A card, a shortest edge, an edge or a trim of no true length is named, and never counted as no cards needed."""
    pieces, supplies = (TrimPiece(key="neck", length_mm=50),), (TrimSupply(key="card", length_mm=500),)
    with pytest.raises(CannotCutTrims, match=r"card: .* is no length"):
        cards_needed(pieces, card_mm=bad_mm)
    with pytest.raises(CannotCutTrims, match=r"shortest edge: .* is no length"):
        pack_trims(pieces, supplies, shortest_edge_mm=bad_mm)
    with pytest.raises(ValueError, match=r"neck lace: an edge of .* takes no length"):
        trim_length_mm("lace", bad_mm, end_mm=10, name="neck lace")
    with pytest.raises(ValueError, match=r"lace: an edge of 50 mm, gathered .* takes no length"):
        trim_length_mm("lace", 50, gather_ratio=bad_mm, end_mm=10)


def test_a_trim_of_no_width_is_refused() -> None:
    """A width that is no number shows nothing."""
    with pytest.raises(ValueError, match="nothing of edging shows"):
        trim_piece_mm(Trim(name="edging", kind="edging", width_mm=math.nan), 50, seam_mm=6, rules=RULES)


def test_a_card_begun_is_used_before_a_new_one() -> None:
    """The last piece comes off the card cut into a moment ago, though less would stay on a new one."""
    cards = [TrimSupply(key=key, length_mm=mm) for key, mm in (("a", 500.0), ("b", 1000.0), ("c", 300.0))]
    plan = packed(pieces_of(400.0, 350.0, 200.0), *cards)
    assert [cut.supply_key for cut in plan.cuts] == ["a", "b", "b"]


def test_lengths_between_whole_millimetres_never_overfill_a_card() -> None:
    """Two pieces of 131 mm do not come off 261.12 mm, what 272 mm are once they have shrunk by 4 %."""
    plan = pack_trims(
        pieces_of(131.0, 131.0), (TrimSupply(key="s", length_mm=261.12),), shortest_edge_mm=131.0
    )
    assert (len(plan.cuts), len(plan.unplaced)) == (1, 1)


def test_a_left_over_just_short_of_the_shortest_edge_is_waste() -> None:
    """Of 201 mm an edge of 100.5 mm leaves 100 mm at the table, too short for another: 10 cm wasted."""
    plan = pack_trims(pieces_of(100.5), (TrimSupply(key="s", length_mm=201.0),), shortest_edge_mm=100.5)
    assert plan.score is not None
    assert plan.score.useless_cm == 10
