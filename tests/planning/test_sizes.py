"""How big babies of a given weight are, against the group's handbook and published measurements."""

from itertools import pairwise

import pytest
from pretermgrowth import Fenton

from gowngroup.planning.figures import default_values
from gowngroup.planning.sizes import (
    DEFAULT_BANDS,
    SizeBand,
    body_length_mm,
    chest_girth_mm,
    head_girth_mm,
)

VALUES = default_values()

# grams, then length, head and chest in cm; derived from the Fenton medians (Fenton & Kim 2013, BMC Pediatrics 13:59).
ORACLE = (
    (750, 32.4, 22.8, 20.8),
    (1000, 35.5, 25.0, 23.0),
    (1500, 40.0, 28.0, 26.0),
    (2000, 43.3, 30.2, 28.2),
    (2500, 46.0, 31.9, 29.9),
    (3000, 48.4, 33.5, 31.5),
    (3500, 50.8, 34.9, 32.9),
    (4000, 52.9, 36.1, 34.1),
)

# source, grams, length and head in cm, how far the length may be off. Group means, not single babies.
PUBLISHED = (
    ("Goto, Open J Epidemiol 2017;7:175-189", 2500, (47.2, 33.0), 1.5),
    ("Blidner et al., CMAJ 1984;130:133-140, boys", 3530, (52.0, 35.2), 1.5),
    ("Blidner et al., CMAJ 1984;130:133-140, girls", 3355, (51.3, 34.4), 1.5),
    ("Keen & Pearce, Arch Dis Child 1988;63, 24 weeks", 676, (31.3, 22.0), 1.5),
    ("Keen & Pearce, Arch Dis Child 1988;63, 26 weeks", 909, (33.8, 24.2), 1.5),
    ("Keen & Pearce, Arch Dis Child 1988;63, 28 weeks", 1126, (37.2, 26.3), 1.5),
    # This one mean stands 2.1 cm above both our fit and the Fenton median; read from a scanned copy.
    ("Keen & Pearce, Arch Dis Child 1988;63, 30 weeks", 1433, (41.4, 28.4), 2.2),
)

PUBLISHED_CHESTS = (
    ("Goto, Open J Epidemiol 2017;7:175-189", 2500, 30.4),
    ("Blidner et al., CMAJ 1984;130:133-140, boys", 3530, 33.4),
    ("Blidner et al., CMAJ 1984;130:133-140, girls", 3355, 32.8),
)


def fenton_median(metric: str, day: int) -> float:
    """Mean of the boys' and girls' median."""
    return sum(float(Fenton.get_lms(metric, sex, day)[1]) for sex in ("m", "f")) / 2


def fenton_at_mass_cm(metric: str, mass_g: float) -> float:
    """The median read between the two days around the one whose median weight is `mass_g`."""
    day = next(day for day in range(159, 350) if fenton_median("weight", day) >= mass_g)
    before_g, after_g = fenton_median("weight", day - 1), fenton_median("weight", day)
    share = (mass_g - before_g) / (after_g - before_g)
    before_cm, after_cm = fenton_median(metric, day - 1), fenton_median(metric, day)
    return before_cm + share * (after_cm - before_cm)


@pytest.mark.parametrize(("mass_g", "length_cm", "head_cm", "chest_cm"), ORACLE)
def test_fits_agree_with_the_handbook(
    mass_g: float, length_cm: float, head_cm: float, chest_cm: float
) -> None:
    """Length, head and chest lie within 1.5, 1.0 and 1.5 cm of the group's handbook."""
    assert body_length_mm(mass_g=mass_g, values=VALUES) / 10 == pytest.approx(length_cm, abs=1.5)
    assert head_girth_mm(mass_g=mass_g, values=VALUES) / 10 == pytest.approx(head_cm, abs=1.0)
    assert chest_girth_mm(mass_g=mass_g, values=VALUES) / 10 == pytest.approx(chest_cm, abs=1.5)


@pytest.mark.parametrize("mass_g", [750, 1000, 1500, 2000, 2500, 3000, 3300])
def test_fits_follow_the_fenton_medians(mass_g: float) -> None:
    """From 24 to 40 weeks length and head lie within 0.5 cm of the live medians of Fenton & Kim 2013."""
    assert body_length_mm(mass_g=mass_g, values=VALUES) / 10 == pytest.approx(
        fenton_at_mass_cm("length", mass_g), abs=0.5
    )
    assert head_girth_mm(mass_g=mass_g, values=VALUES) / 10 == pytest.approx(
        fenton_at_mass_cm("hc", mass_g), abs=0.5
    )


@pytest.mark.parametrize(("source", "mass_g", "length_and_head_cm", "length_off_cm"), PUBLISHED)
def test_fits_agree_with_published_means(
    source: str, mass_g: float, length_and_head_cm: tuple[float, float], length_off_cm: float
) -> None:
    """Length and head lie near the means of babies measured elsewhere."""
    length_cm, head_cm = length_and_head_cm
    assert body_length_mm(mass_g=mass_g, values=VALUES) / 10 == pytest.approx(length_cm, abs=length_off_cm)
    assert head_girth_mm(mass_g=mass_g, values=VALUES) / 10 == pytest.approx(head_cm, abs=1.1), source


@pytest.mark.parametrize(("source", "mass_g", "chest_cm"), PUBLISHED_CHESTS)
def test_chest_agrees_with_published_means(source: str, mass_g: float, chest_cm: float) -> None:
    """The estimated chest lies within 1.5 cm of the means of babies measured elsewhere."""
    assert chest_girth_mm(mass_g=mass_g, values=VALUES) / 10 == pytest.approx(chest_cm, abs=1.5), source


@pytest.mark.parametrize("band", DEFAULT_BANDS, ids=lambda band: band.name)
def test_bands_are_cut_for_their_upper_edge(band: SizeBand) -> None:
    """Each size is as long and as wide as a baby at the upper edge of its weights."""
    assert band.body_length_mm == pytest.approx(
        body_length_mm(mass_g=band.upper_mass_g, values=VALUES), abs=8
    )
    assert band.head_mm == pytest.approx(head_girth_mm(mass_g=band.upper_mass_g, values=VALUES), abs=5)
    if band.chest_mm is not None:
        assert band.chest_mm == pytest.approx(chest_girth_mm(mass_g=band.upper_mass_g, values=VALUES), abs=5)


def test_bands_follow_one_another() -> None:
    """Ten bands leave no weight out, grow in length, and have armholes from 500 g."""
    assert len(DEFAULT_BANDS) == 10
    for lighter, heavier in pairwise(DEFAULT_BANDS):
        assert lighter.upper_mass_g == heavier.lower_mass_g
        assert lighter.body_length_mm < heavier.body_length_mm
    assert [band.has_armholes for band in DEFAULT_BANDS] == [False] * 3 + [True] * 7


@pytest.mark.parametrize("mass_g", [0.0, -1.0, float("nan"), float("inf")])
def test_no_baby_weighs_nothing(mass_g: float) -> None:
    """A weight that is no weight is refused."""
    with pytest.raises(ValueError, match="above zero"):
        body_length_mm(mass_g=mass_g, values=VALUES)
