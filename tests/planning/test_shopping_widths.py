"""Cloth to buy: which width, how much of it, and the published chart for moving from one width to another."""

from dataclasses import replace
from itertools import chain

import pytest

from gowngroup.planning.batch_plan import BatchRules
from gowngroup.planning.figures import default_values
from gowngroup.planning.lay import LayPiece
from gowngroup.planning.lay.engines import QUICK_ENGINES
from gowngroup.planning.shopping.values import CannotShop, ShopWidth, WidthOffer
from gowngroup.planning.shopping.widths import usable_mm, width_offers
from gowngroup.planning.trial_gowns import trial_gowns
from tests.planning.invented_gowns import rectangle

INCH_MM = 25.4
SHOP = BatchRules.from_figures(default_values()).cloth_shop
PLAIN = replace(SHOP, shrink_length_share=0.0, shrink_width_share=0.0, selvedge_mm=0.0)

# Fabric width conversion chart used by extension services, yards by width; credited to Rutgers Cooperative Extension
# from memory, two printed copies agree. Each width stands at the middle of the range the chart gives.
CHART_WIDTHS_IN = (35.5, 39.0, 41.0, 44.5, 50.0, 53.0, 59.0, 66.0)
CHART_YARDS = (
    (1.75, 1.5, 1.5, 1.375, 1.25, 1.125, 1.0, 0.875),
    (2.0, 1.75, 1.75, 1.625, 1.5, 1.375, 1.25, 1.125),
    (2.25, 2.0, 2.0, 1.75, 1.625, 1.5, 1.375, 1.25),
    (2.5, 2.25, 2.25, 2.125, 1.75, 1.75, 1.625, 1.5),
    (2.875, 2.5, 2.5, 2.25, 2.0, 1.875, 1.75, 1.625),
    (3.125, 2.75, 2.75, 2.5, 2.25, 2.0, 1.875, 1.75),
    (3.375, 3.0, 2.875, 2.75, 2.375, 2.25, 2.0, 1.875),
    (3.75, 3.25, 3.125, 2.875, 2.625, 2.375, 2.25, 2.125),
    (4.25, 3.5, 3.375, 3.125, 2.75, 2.625, 2.375, 2.25),
    (4.5, 3.75, 3.625, 3.375, 3.0, 2.75, 2.625, 2.5),
    (4.75, 4.0, 3.875, 3.625, 3.25, 2.875, 2.75, 2.625),
    (5.0, 4.25, 4.125, 3.875, 3.375, 3.125, 2.875, 2.75),
)


def piece(number: int, width_mm: float, length_mm: float) -> LayPiece:
    return LayPiece(
        key=f"1/square/{number}",
        kit_key="1",
        name="square",
        number=number,
        outline=rectangle(width_mm, length_mm),
    )


def offers(pieces: tuple[LayPiece, ...], *widths: ShopWidth) -> tuple[WidthOffer, ...]:
    return width_offers(pieces, replace(PLAIN, widths=widths or PLAIN.widths), engines=QUICK_ENGINES)


def squares(count: int, width_mm: float = 450.0) -> tuple[LayPiece, ...]:
    return tuple(piece(number, width_mm, 400.0) for number in range(count))


WIDTHS_MM = (900, 1150, 1400, 1500)


@pytest.fixture(scope="module")
def needed_mm() -> dict[float, float]:
    """The length 24 gowns need at each width."""
    pieces = tuple(chain.from_iterable(trial_gowns(24)))
    widths = tuple(ShopWidth(width_mm=width_mm) for width_mm in WIDTHS_MM)
    return {offer.width_mm: offer.needed_mm for offer in offers(pieces, *widths)}


def test_a_large_mixed_lay_keeps_its_area_from_width_to_width(needed_mm: dict[float, float]) -> None:
    """24 gowns over 90, 115, 140 and 150 cm: no area lies more than 5 % from their mean."""
    areas = [width_mm * length_mm for width_mm, length_mm in needed_mm.items()]
    mean = sum(areas) / len(areas)
    assert max(abs(area / mean - 1) for area in areas) <= 0.05


@pytest.mark.parametrize("yards", CHART_YARDS)
def test_a_large_mixed_lay_moves_between_widths_as_the_published_chart_does(
    yards: tuple[float, ...], needed_mm: dict[float, float]
) -> None:
    """From 115 cm to 90, 140 and 150 cm the need changes as in every row of the chart, within 13 %."""
    told = {round(width_in * INCH_MM): each for width_in, each in zip(CHART_WIDTHS_IN, yards, strict=True)}
    home_mm, *others_mm = 1150, 900, 1400, 1500
    for width_mm in others_mm:
        ours = needed_mm[width_mm] / needed_mm[home_mm]
        assert ours == pytest.approx(_at(told, width_mm) / _at(told, home_mm), rel=0.13)


def _at(told: dict[int, float], width_mm: float) -> float:
    """The yards of the chart's nearest width."""
    return told[min(told, key=lambda each: abs(each - width_mm))]


def test_without_prices_the_smallest_area_comes_first() -> None:
    """Two squares of 45 cm lie side by side in 90 cm; wider cloth would only be wasted."""
    assert next(offer.width_mm for offer in offers(squares(2))) == 900


def test_a_smaller_area_is_bought_even_where_it_is_longer() -> None:
    """Four squares take 80 cm of 90 cm cloth, 0.72 m², or 40 cm of 185 cm cloth, 0.74 m²."""
    found = offers(squares(4), ShopWidth(width_mm=1850), ShopWidth(width_mm=900))
    assert [offer.width_mm for offer in found] == [900, 1850]


def test_of_equal_areas_the_shorter_is_bought() -> None:
    """Four squares take 80 cm of 90 cm cloth or 40 cm of 180 cm cloth: less to carry wins."""
    found = offers(squares(4), ShopWidth(width_mm=900), ShopWidth(width_mm=1800))
    assert [(offer.width_mm, offer.bought_mm) for offer in found] == [(1800, 400), (900, 800)]


def test_with_prices_the_cheapest_comes_first() -> None:
    """80 cm at 5 a metre cost 4, 40 cm at 11 cost 4.4, so the narrow cloth is the cheaper."""
    found = offers(
        squares(4), ShopWidth(width_mm=1800, price_per_m=11.0), ShopWidth(width_mm=900, price_per_m=5.0)
    )
    assert [offer.width_mm for offer in found] == [900, 1800]
    assert [offer.cost for offer in found] == pytest.approx([4, 4.4])


def test_a_width_too_narrow_is_left_out() -> None:
    """A piece of 95 cm is not looked for in cloth of 90 cm."""
    assert 900 not in {offer.width_mm for offer in offers((piece(1, 950.0, 100.0),))}


def test_a_piece_wider_than_any_cloth_asks_for_a_width_of_its_own() -> None:
    """A piece of 1.6 m asks for cloth of 1.6 m."""
    assert [offer.width_mm for offer in offers((piece(1, 1600.0, 100.0),))] == [1600]


def test_cloth_shrinks_both_ways() -> None:
    """At 5 % each way 1.000 m needs 1.053 m, and 1000 mm of width leave 930 between selvedges of 10 mm (handbook rule)."""
    shop = replace(
        SHOP, shrink_length_share=0.05, shrink_width_share=0.05, widths=(ShopWidth(width_mm=1000),)
    )
    (offer,) = width_offers((piece(1, 900.0, 1000.0),), shop, engines=QUICK_ENGINES)
    assert [round(offer.needed_mm), offer.bought_mm, usable_mm(1000, shop)] == pytest.approx(
        [1053, 1100, 930]
    )


@pytest.mark.parametrize(
    ("fault", "named"),
    [
        ({"widths": (ShopWidth(width_mm=float("nan")),)}, "width nan mm"),
        ({"widths": (ShopWidth(width_mm=15.0),), "selvedge_mm": 10.0}, "width 15 mm"),
        ({"widths": (ShopWidth(width_mm=900.0, price_per_m=-1.0),)}, "-1 is no price"),
        ({"shrink_width_share": 1.0, "widths": ()}, "shrinkage"),
    ],
)
def test_cloth_that_cannot_be_is_named(fault: dict[str, object], named: str) -> None:
    """A width, price or shrinkage that makes no sense is refused by name."""
    with pytest.raises(CannotShop, match=named):
        width_offers(squares(1), replace(PLAIN, **fault), engines=QUICK_ENGINES)  # type: ignore[arg-type]


def test_a_width_without_a_price_comes_after_those_that_have_one() -> None:
    """What it would cost is not known, so it is never taken for the cheapest."""
    found = offers(squares(4), ShopWidth(width_mm=950), ShopWidth(width_mm=1900, price_per_m=30.0))
    assert [offer.width_mm for offer in found] == [1900, 950]


def test_where_no_width_will_do_the_cloth_still_shrinks_as_a_whole() -> None:
    """A piece 2 m wide and two selvedges of 1 cm, of cloth that shrinks by 5 %: 2020 ÷ 0.95, rounded up."""
    cloth = replace(
        SHOP, widths=(ShopWidth(width_mm=1120),), selvedge_mm=10.0, shrink_width_share=0.05, gap_mm=0.0
    )
    (offer,) = width_offers(squares(1, 2000.0), cloth, engines=QUICK_ENGINES)
    assert offer.width_mm == 2127
    assert usable_mm(offer.width_mm, cloth) >= 2000
