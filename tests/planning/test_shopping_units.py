"""What is short, in the units shops sell."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gowngroup.planning.figures import default_values
from gowngroup.planning.shopping.units import ShopRules, cloth_order, packs_for, to_um, whole_units

UM_PER_YARD = 914_400  # exact: 1 in = 25.4 mm
RULES = ShopRules.from_figures(default_values())


@pytest.mark.parametrize(
    ("short_um", "metres"), [(1, "1/10"), (100_000, "1/10"), (100_001, "1/5"), (1_053_000, "11/10")]
)
def test_metric_cloth_is_bought_in_tenths_of_a_metre(short_um: int, metres: str) -> None:
    """1.053 m is bought as 1.1 m (common practice)."""
    assert cloth_order(short_um, is_metric=True, rules=RULES).metres == Fraction(metres)


@pytest.mark.parametrize(
    ("short_um", "yards"), [(1, "1/8"), (114_300, "1/8"), (114_301, "1/4"), (914_400, "1")]
)
def test_imperial_cloth_is_bought_in_eighths_of_a_yard(short_um: int, yards: str) -> None:
    """An eighth of a yard is 114.3 mm exactly (international yard of 0.9144 m)."""
    order = cloth_order(short_um, is_metric=False, rules=RULES)
    assert order.bought_um == Fraction(yards) * UM_PER_YARD


@pytest.mark.parametrize(
    ("unit_um", "expected_um"),
    [(RULES.skein_um, 8_000_000), (RULES.card_um, 10_000_000), (RULES.spool_um, 200_000_000)],
)
def test_usual_units_are_whole_micrometres(unit_um: int, expected_um: int) -> None:
    """Skein 8 m, card 10 m, spool 200 m (common practice)."""
    assert unit_um == expected_um


def test_nothing_short_buys_nothing() -> None:
    """What is not short is not bought, even where there is more than enough."""
    assert whole_units(-5, unit_um=100).unit_count == 0
    assert whole_units(0, unit_um=100).bought_um == 0


@given(short_um=st.integers(1, 10**9), unit_um=st.integers(1, 10**8))
def test_whole_units_cover_what_is_short_and_no_unit_is_needless(short_um: int, unit_um: int) -> None:
    """One unit less would not do."""
    order = whole_units(short_um, unit_um=unit_um)
    assert order.bought_um >= short_um > order.bought_um - unit_um


@given(eighths=st.integers(1, 100_000))
def test_eighths_of_a_yard_do_not_drift(eighths: int) -> None:
    """So many eighths of a yard in millimetres are bought as just so many eighths."""
    order = cloth_order(to_um(eighths * 114.3), is_metric=False, rules=RULES)
    assert order.bought_um == Fraction(eighths, 8) * UM_PER_YARD


@pytest.mark.parametrize(("short", "packs"), [(-60, 0), (0, 0), (1, 1), (25, 1), (26, 2)])
def test_packs_are_whole(short: int, packs: int) -> None:
    """Twenty-six labels need two packs of twenty-five."""
    assert packs_for(short, per_pack=25) == packs


def test_an_empty_pack_is_refused() -> None:
    """A pack holds something."""
    with pytest.raises(ValueError, match="at least one"):
        packs_for(1, per_pack=0)


def test_a_unit_of_no_length_is_refused() -> None:
    """A shop sells something."""
    with pytest.raises(ValueError, match="longer than nothing"):
        whole_units(1, unit_um=0)
