"""Floss: stitch lengths, needlefuls, cuts, skeins and what heavier tension takes."""

from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest

from gowngroup.planning.floss import (
    FlossRules,
    GownFloss,
    ShadeNeed,
    batch_skeins,
    cuts_per_skein,
    floss_sensitivity,
    gown_floss,
    needlefuls_for,
    needlefuls_per_cut,
    row_floss,
    run_needlefuls,
)
from gowngroup.planning.smocking import Chart, ChartRow, compile_chart, compile_row
from tests.planning.smocking_cast import (
    BABY_WAVE,
    BATCH_CHART,
    CABLE,
    FLOSS,
    PROFILE,
    TRELLIS,
    chart_of,
    tall,
    wave,
)

PITCH_MM = 6.35 / 3


def gown(
    chart: Chart, *, pleats: int = 74, pitch_mm: float = PITCH_MM, rules: FlossRules = FLOSS
) -> GownFloss:
    """Floss of a panel with one pitch in all rows."""
    compiled = compile_chart(chart, pleats, PROFILE)
    return gown_floss(compiled, pitches_mm=(pitch_mm,) * len(chart.rows), profile=PROFILE, rules=rules)


@pytest.mark.parametrize(
    ("row", "length_mm"),
    [
        (CABLE, 618.1),
        (BABY_WAVE, 695.1),
        (wave(2, "half"), 648.0),
        (wave(2, "full"), 720.7),
        (TRELLIS, 675.2),
        (wave(1, "full"), 840.9),
        (tall(1, 1), 695.1),
        (tall(2, 2), 720.7),
        (tall(3, 2), 675.2),
        (tall(2, 3), 813.5),
        (tall(2, 4), 915.2),
        (tall(3, 6), 952.3),
        (tall(4, 4), 720.9),
        (tall(4, 8), 947.8),
    ],
    ids=lambda each: getattr(each, "name", ""),
)
def test_rows_of_74_pleats_take_the_floss_worked_by_hand(row: ChartRow, length_mm: float) -> None:
    """Check set of the geometric model at u 6.35, R 3, row space 9.525, N 74 (derived)."""
    floss = row_floss(
        compile_row(row, 74, PROFILE), pitch_mm=PITCH_MM, take_up_mm=PROFILE.take_up_mm, rules=FLOSS
    )
    assert round(floss.length_mm, 1) == length_mm


def test_calibration_scales_the_length() -> None:
    """A group that uses a tenth more floss reckons with a tenth more."""
    usual, more = gown(BATCH_CHART), gown(BATCH_CHART, rules=replace(FLOSS, calibration=1.1))
    assert more.length_mm == pytest.approx(1.1 * usual.length_mm)


@pytest.mark.parametrize(("length_mm", "needlefuls"), [(0, 0), (1, 1), (357, 1), (357.1, 2), (714, 2)])
def test_a_needleful_is_the_cut_less_its_waste(length_mm: float, needlefuls: int) -> None:
    """A cut of 457 mm leaves 357 mm for stitching (waste 100 mm: common practice)."""
    assert needlefuls_for(length_mm, FLOSS) == needlefuls


@pytest.mark.parametrize(("stitch_mm", "count"), [(23.8, 15), (5.1, 70)])
@pytest.mark.parametrize("ends_on_whole_stitch", [False, True])
def test_a_run_that_just_takes_one_needleful(
    stitch_mm: float, count: int, ends_on_whole_stitch: bool
) -> None:
    """15 stitches of 23.8 mm are the 357 mm of one needleful, though in a computer they add up to a trifle more."""
    rules = replace(FLOSS, ends_on_whole_stitch=ends_on_whole_stitch)
    assert run_needlefuls([stitch_mm] * count, rules) == 1


def test_a_group_may_end_each_needleful_on_a_whole_stitch() -> None:
    """Of stitches of 100 mm a needleful of 357 mm holds three, so ten take four rather than three (derived)."""
    assert run_needlefuls([100.0] * 10, FLOSS) == 3
    assert run_needlefuls([100.0] * 10, replace(FLOSS, ends_on_whole_stitch=True)) == 4


def test_whole_stitches_never_take_fewer_needlefuls_and_seldom_more() -> None:
    """Of all rows of 20 to 200 pleats and one to six steps six take one needleful more (derived)."""
    whole = replace(FLOSS, ends_on_whole_stitch=True)
    more = 0
    for pleats, steps in product(range(20, 201, 2), range(1, 7)):
        row = compile_row(wave(steps), pleats, PROFILE)
        usual, ended = (
            row_floss(row, pitch_mm=PITCH_MM, take_up_mm=PROFILE.take_up_mm, rules=rules).needlefuls
            for rules in (FLOSS, whole)
        )
        assert usual <= ended <= usual + 1
        more += ended - usual
    assert more == 6


def test_a_stitch_that_no_needleful_holds_is_refused() -> None:
    """A stitch longer than what a cut leaves could never be ended."""
    with pytest.raises(ValueError, match="longer than a needleful"):
        run_needlefuls([358.0], replace(FLOSS, ends_on_whole_stitch=True))


@pytest.mark.parametrize("pleats", [50, 74, 98, 122, 146])
def test_worked_figures_stand_where_needlefuls_end_on_whole_stitches(pleats: int) -> None:
    """The batch of 24 gowns takes its 2 and 6 cuts a gown, and 74 pleats their needlefuls, either way (derived)."""
    whole = replace(FLOSS, ends_on_whole_stitch=True)
    usual, ended = (gown(BATCH_CHART, pleats=pleats, rules=rules) for rules in (FLOSS, whole))
    assert [role.cuts for role in ended.roles] == [role.cuts for role in usual.roles]


def test_each_half_row_starts_a_needleful_of_its_own() -> None:
    """Two half rows take two needlefuls even where one would hold both."""
    row = compile_row(CABLE, 50, PROFILE)
    floss = row_floss(
        row, pitch_mm=PITCH_MM, take_up_mm=PROFILE.take_up_mm, rules=replace(FLOSS, cut_mm=1000)
    )
    assert floss.length_mm < 900
    assert floss.needlefuls == 2


def test_a_row_started_at_an_edge_pools_its_length() -> None:
    """A row worked from one edge in one run needs only the needlefuls of its whole length."""
    row = compile_row(replace(CABLE, start="left"), 50, PROFILE)
    floss = row_floss(
        row, pitch_mm=PITCH_MM, take_up_mm=PROFILE.take_up_mm, rules=replace(FLOSS, cut_mm=1000)
    )
    assert floss.needlefuls == 1


@pytest.mark.parametrize(("strands", "needlefuls"), [(1, 6), (2, 3), (3, 2), (4, 1), (6, 1)])
def test_a_cut_of_six_strands_is_parted(strands: int, needlefuls: int) -> None:
    """One cut yields six over the strands, rounded down (derived)."""
    assert needlefuls_per_cut(strands, FLOSS) == needlefuls


@pytest.mark.parametrize("strands", [0, 7])
def test_strands_the_floss_lacks_are_refused(strands: int) -> None:
    """Nobody smocks with no strand, or seven of six."""
    with pytest.raises(ValueError, match="between 1 and 6"):
        needlefuls_per_cut(strands, FLOSS)


@pytest.mark.parametrize(("cut_mm", "cuts"), [(457, 17), (450, 17), (500, 16), (600, 13)])
def test_a_skein_of_8_m_yields_whole_cuts(cut_mm: float, cuts: int) -> None:
    """Cuts per 8 m skein (derived)."""
    assert cuts_per_skein(8000, replace(FLOSS, cut_mm=cut_mm)) == cuts


def test_a_part_skein_of_just_three_cuts_yields_three() -> None:
    """Three cuts of 19 inches lie on 144.78 cm, though 1447.8 ÷ 482.6 is a trifle less in a computer."""
    assert cuts_per_skein(1447.8, replace(FLOSS, cut_mm=482.6)) == 3


def test_a_batch_of_24_gowns_takes_48_and_144_cuts() -> None:
    """Two cable rows A, six wave rows B, 3 strands, 457 mm: 3 skeins of A and 9 of B (derived)."""
    needs = tuple(
        ShadeNeed(shade=role.floss_role, cuts_per_gown=role.cuts, gown_count=24)
        for role in gown(BATCH_CHART).roles
    )
    totals = batch_skeins(needs, FLOSS)
    assert [(total.shade, total.cuts, total.skeins) for total in totals] == [("A", 48, 3), ("B", 144, 9)]


def test_one_shade_in_several_designs_is_bought_together() -> None:
    """Cuts of a shade add up over designs before they are rounded to skeins."""
    needs = (
        ShadeNeed(shade="sky", cuts_per_gown=4, gown_count=2),
        ShadeNeed(shade="rose", cuts_per_gown=1, gown_count=1),
        ShadeNeed(shade="sky", cuts_per_gown=3, gown_count=3),
    )
    totals = batch_skeins(needs, FLOSS)
    assert [(total.shade, total.cuts, total.skeins) for total in totals] == [("rose", 1, 1), ("sky", 17, 1)]


def test_the_worked_yoke_gown_takes_3_6_m_and_6_cuts() -> None:
    """1000 to 1500 g, N 74, R 3.6, two cable and four wave rows: 3.6 m of floss, 6 cuts (derived)."""
    waves = (replace(BABY_WAVE, name=f"w{n}", top_row=Fraction(n)) for n in range(2, 6))
    chart = chart_of(CABLE, *waves, replace(CABLE, name="c2", top_row=Fraction(6)))
    floss = gown(chart, pitch_mm=6.35 / 3.6)
    assert round(floss.length_mm / 1000, 1) == 3.6
    assert floss.cuts == 6


def test_a_fifth_more_floss_doubles_the_needlefuls_of_74_pleats() -> None:
    """At +20 % each half of a wave row no longer comes from one needleful (derived)."""
    compiled = compile_chart(BATCH_CHART, 74, PROFILE)
    sensitivity = floss_sensitivity(compiled, pitches_mm=(PITCH_MM,) * 8, profile=PROFILE, rules=FLOSS)
    usual, heavy = (outcome.roles[1].needlefuls for outcome in (sensitivity.usual, sensitivity.heavy))
    assert (usual, heavy) == (12, 24)


def test_the_spare_needleful_is_of_the_first_rows_strands() -> None:
    """Of a cut six strands take all and two a third: a spare one of six needs a cut more, one of two would need none."""
    rows = (replace(CABLE, name="six", strand_count=6), replace(CABLE, name="two", strand_count=2))
    spare, none = (
        gown(chart_of(*rows), rules=replace(FLOSS, spare_needlefuls=count)).roles[0].cuts for count in (1, 0)
    )
    assert spare == none + 1
    (role,) = gown(chart_of(*rows[::-1]), rules=replace(FLOSS, spare_needlefuls=1)).roles
    assert role.cuts == none


def test_thread_starts_are_needlefuls_without_the_spare() -> None:
    """Spare needlefuls are wound but not counted as worked."""
    floss = gown(BATCH_CHART, rules=replace(FLOSS, spare_needlefuls=1))
    assert floss.thread_starts == 16
    assert [role.cuts for role in floss.roles] == [3, 7]


def test_needlefuls_of_unlike_strands_do_not_share_a_cut() -> None:
    """A row of two strands and one of four take a cut each, not one together."""
    chart = chart_of(replace(CABLE, strand_count=2), replace(CABLE, name="c2", strand_count=4))
    (role,) = gown(chart).roles
    assert (role.needlefuls, role.cuts) == (4, 1 + 2)


def test_each_row_of_a_round_neck_has_its_own_pitch() -> None:
    """A row's floss depends on its own pitch alone, tightest at the neck."""
    rows = (CABLE, replace(CABLE, name="c2", top_row=Fraction(2)))
    compiled = compile_chart(chart_of(*rows), 122, PROFILE)
    floss = gown_floss(compiled, pitches_mm=(165 / 122, 320 / 122), profile=PROFILE, rules=FLOSS)
    # Derived: every level stitch takes 3p + 2d, d = u/6.
    expected = [121 * (3 * width / 122 + 6.35 / 3) for width in (165, 320)]
    assert [row.length_mm for row in floss.rows] == pytest.approx(expected)


def test_a_pitch_must_be_given_for_each_row() -> None:
    """A missing pitch is refused rather than guessed."""
    compiled = compile_chart(BATCH_CHART, 74, PROFILE)
    with pytest.raises(ValueError, match="one pleat pitch for each row"):
        gown_floss(compiled, pitches_mm=(PITCH_MM,), profile=PROFILE, rules=FLOSS)


def test_a_cut_no_longer_than_its_waste_is_refused() -> None:
    """A cut must leave something to stitch with."""
    with pytest.raises(ValueError, match="longer than its waste"):
        gown(BATCH_CHART, rules=replace(FLOSS, cut_mm=100.0))


def test_a_cut_longer_than_a_skein_is_refused() -> None:
    """A skein must hold at least one cut."""
    with pytest.raises(ValueError, match="no longer than the skein"):
        batch_skeins((), replace(FLOSS, skein_mm=400.0))


def test_more_tension_never_takes_fewer_cuts() -> None:
    """Cuts do not fall as the calibration rises."""
    for pleats, steps in product((50, 74, 98, 146), (1, 2, 3)):
        cuts = [
            gown(chart_of(wave(steps)), pleats=pleats, rules=replace(FLOSS, calibration=1 + tenth / 10)).cuts
            for tenth in range(6)
        ]
        assert cuts == sorted(cuts)
