"""Sewing thread by stitch class."""

from dataclasses import replace
from math import sqrt

import pytest

from gowngroup.planning.figures import default_values
from gowngroup.planning.thread import (
    Seam,
    StitchClass,
    ThreadRules,
    gown_seams,
    seam_threads,
    sewing_thread_mm,
    thread_ratio,
)

RULES = ThreadRules.from_figures(default_values())
INCH_MM = 25.4
FRENCH_AND_OVEREDGE: tuple[StitchClass, ...] = ("301", "504")
CHAIN_AND_OVEREDGE: tuple[StitchClass, ...] = ("401", "504")
SIDE = Seam(name="side", stitch_class="301", length_mm=250, thickness_mm=0.6, stitch_length_mm=2.4)


@pytest.mark.parametrize(
    ("thickness_in", "ratio"), [(0.055, 4.88), (0.060, 4.96), (0.065, 5.04), (0.070, 5.12), (0.075, 5.20)]
)
def test_401_takes_what_the_published_chart_says(thickness_in: float, ratio: float) -> None:
    """Union Special chart for 401 at 8 stitches an inch, quoted in a technical bulletin on thread use."""
    seam = Seam(
        name="chart",
        stitch_class="401",
        length_mm=INCH_MM,
        thickness_mm=thickness_in * INCH_MM,
        stitch_length_mm=INCH_MM / 8,
    )
    assert thread_ratio(seam) == pytest.approx(ratio, abs=1e-9)


def test_301_takes_what_a_published_example_says() -> None:
    """Worked example of textilecalculations.com: thickness 0.01 in, 10 stitches an inch, 2.2 in per inch."""
    seam = replace(SIDE, thickness_mm=0.01 * INCH_MM, stitch_length_mm=INCH_MM / 10)
    assert thread_ratio(seam) == pytest.approx(2.2)


def test_301_on_fine_cloth_is_near_the_handbook_ratio() -> None:
    """Textile handbooks reckon lockstitch at 2.5 : 1; 0.6 mm of cloth at 2.4 mm stitches gives just that."""
    assert thread_ratio(SIDE) == pytest.approx(2.5)


def test_304_follows_the_zigzag() -> None:
    """A zigzag as wide as its stitch is long runs along the diagonal both above and below (formula)."""
    zigzag = replace(SIDE, stitch_class="304", width_mm=2.4, thickness_mm=0.0)
    assert thread_ratio(zigzag) == pytest.approx(2 * sqrt(2))


@pytest.mark.parametrize(("stitch_class", "ratio"), [("504", 13.6), ("514", 14.2), ("516", 18.2)])
def test_overedge_takes_what_the_published_formulas_say(stitch_class: StitchClass, ratio: float) -> None:
    """504 5 + 4S(W + T), 514 5 + 2S(2W + 3T), 516 9 + 2S(2W + 3T), as textiletechinsight.com lists them."""
    overedge = Seam(
        name="side",
        stitch_class=stitch_class,
        length_mm=250,
        thickness_mm=0.6,
        stitch_length_mm=2.0,
        width_mm=3.7,
    )
    assert thread_ratio(overedge) == pytest.approx(ratio)


def test_504_is_near_the_handbook_ratio() -> None:
    """Makers reckon an overedge of three threads at about 14 : 1 (from memory); 2 less in textile course notes."""
    overedge = gown_seams(
        joined_mm=100, hem_mm=0, trim_mm=0, seam_class="504", trim_class="301", rules=RULES
    )[0]
    across = (RULES.overedge_width_mm + RULES.seam_thickness_mm / 2) / RULES.stitch_length_mm
    assert thread_ratio(overedge) == pytest.approx(14, abs=0.5)
    assert thread_ratio(overedge) - 2 == pytest.approx(3 + 4 * across)


def test_516_is_401_and_504_side_by_side() -> None:
    """A safety stitch takes what its two rows take (ISO 4915: 516 combines 401 and 504)."""
    wide = replace(SIDE, width_mm=4.0)
    parts = sum(thread_ratio(replace(wide, stitch_class=each)) for each in CHAIN_AND_OVEREDGE)
    assert thread_ratio(replace(wide, stitch_class="516")) == pytest.approx(parts)


def test_a_french_seam_is_sewn_twice_and_an_overedge_once() -> None:
    """Two edges of 1 m: 2 m of lockstitch through four plies, or 1 m of overedge through two (common practice)."""
    french, over = (
        gown_seams(joined_mm=2000, hem_mm=0, trim_mm=0, seam_class=each, trim_class="301", rules=RULES)[0]
        for each in FRENCH_AND_OVEREDGE
    )
    assert (french.length_mm, french.thickness_mm, french.width_mm) == (2000, 0.8, 0)
    assert (over.length_mm, over.thickness_mm, over.width_mm) == (1000, 0.4, 4)


def test_hems_stay_lockstitch_and_lace_has_its_own_class() -> None:
    """Whatever joins the seams, hems are lockstitch; lace may be sewn on by zigzag (common practice)."""
    seams = gown_seams(
        joined_mm=2000, hem_mm=500, trim_mm=300, seam_class="516", trim_class="304", rules=RULES
    )
    told = [(seam.name, seam.stitch_class, seam.length_mm, seam.width_mm) for seam in seams]
    assert told == [("seams", "516", 1000, 4), ("hems", "301", 500, 0), ("trims", "304", 300, 2)]


def test_each_seam_tells_its_thread() -> None:
    """Ratio and thread of every seam add up to the whole, waste included."""
    seams = gown_seams(
        joined_mm=2000, hem_mm=500, trim_mm=300, seam_class="504", trim_class="304", rules=RULES
    )
    told = seam_threads(seams, RULES)
    assert [each.ratio for each in told] == [thread_ratio(seam) for seam in seams]
    assert sum(each.length_mm for each in told) == pytest.approx(sewing_thread_mm(seams, RULES))


def test_304_without_width_is_a_lockstitch() -> None:
    """A zigzag of no width takes what a straight lockstitch takes."""
    assert thread_ratio(replace(SIDE, stitch_class="304")) == pytest.approx(thread_ratio(SIDE))


def test_seams_add_up_with_waste() -> None:
    """Two seams of 250 mm at 2.5 : 1 and 15 % waste take 1437.5 mm."""
    assert sewing_thread_mm((SIDE, SIDE), RULES) == pytest.approx(1437.5)


def test_waste_is_added_as_published() -> None:
    """Worked example of apparelscience.com: 540 cm and 15 % waste are 621 cm."""
    seam = Seam(name="x", stitch_class="401", length_mm=1000, thickness_mm=1.75, stitch_length_mm=2.5)
    assert thread_ratio(seam) == pytest.approx(5.4)
    assert sewing_thread_mm((seam,), RULES) == pytest.approx(6210)


def test_a_stitch_of_no_length_is_refused() -> None:
    """The seam at fault is named."""
    with pytest.raises(ValueError, match="stitch length of side"):
        thread_ratio(replace(SIDE, stitch_length_mm=0))


@pytest.mark.parametrize(
    "fault", [{"length_mm": -1.0}, {"thickness_mm": float("nan")}, {"width_mm": float("inf")}]
)
def test_a_seam_that_cannot_be_is_refused(fault: dict[str, float]) -> None:
    """Whatever of it is no length, the seam at fault is named."""
    with pytest.raises(ValueError, match="of side must be lengths"):
        thread_ratio(replace(SIDE, **fault))  # type: ignore[arg-type]


@pytest.mark.parametrize(("waste_share", "needed_mm"), [(0.1, 1375.0), (0.15, 1437.5), (0.2, 1500.0)])
def test_waste_of_10_to_20_percent(waste_share: float, needed_mm: float) -> None:
    """Half a metre at 2.5 : 1 takes 1.25 m, and 10 to 20 % more for ends and breaks (common practice)."""
    rules = replace(RULES, waste_share=waste_share)
    assert sewing_thread_mm((SIDE, SIDE), rules) == pytest.approx(needed_mm)


def test_a_stitch_class_nobody_knows_is_refused() -> None:
    """The seam and its class are named."""
    seam = replace(SIDE, stitch_class="999")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="no stitch class 999 for side"):
        thread_ratio(seam)
