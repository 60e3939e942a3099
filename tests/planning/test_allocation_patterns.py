"""Ways to fill a lot, priced: against every way there is, tried one by one."""

import math
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gowngroup.planning.allocation.columns import Aim, Columns, Reached
from gowngroup.planning.allocation.patterns import (
    Item,
    Offer,
    Pattern,
    Prices,
    Pricing,
    counts_of,
    knapsack,
    patterns_of,
)
from gowngroup.planning.allocation.problem import Problem
from gowngroup.planning.allocation.settling import settled
from tests.planning.test_allocation_programme import dealings, need, problems, room

items_strategy = st.lists(
    st.tuples(st.integers(0, 12), st.integers(0, 4), st.integers(-2, 9)), min_size=1, max_size=3
).map(
    lambda each: [
        Item(number=n, size=size, most=most, worth=float(worth)) for n, (size, most, worth) in enumerate(each)
    ]
)


@settings(deadline=None, max_examples=40)
@given(items_strategy, st.integers(0, 25))
def test_knapsack_is_worth_the_most_of_all_choices(items: list[Item], size: int) -> None:
    """At every size the worth is that of the best choice of all, and the choice told is worth as much and fits."""
    choices = list(product(*(range(item.most + 1) for item in items)))
    found = knapsack(items, size)
    for within in range(size + 1):
        best = max(_worth(items, each) for each in choices if _size(items, each) <= within)
        assert found.worths[within] == best
        chosen = dict(found.chosen(within))
        counts = tuple(chosen.get(item.number, 0) for item in items)
        assert counts in choices
        assert (_worth(items, counts), _size(items, counts) <= within) == (best, True)


def _worth(items: list[Item], counts: tuple[int, ...]) -> float:
    return sum(item.worth * count for item, count in zip(items, counts, strict=True))


def _size(items: list[Item], counts: tuple[int, ...]) -> int:
    return sum(item.size * count for item, count in zip(items, counts, strict=True))


def earned(problem: Problem, prices: Prices, pattern: Pattern) -> float:
    """What a pattern truly earns."""
    filled_mm2 = sum(problem.needs[number].area_mm2 * count for number, count in pattern.groups)
    used_up_m2 = problem.rooms[pattern.room].used_up_mm2(filled_mm2) / 1e6
    worth = sum(prices.worths[number] * count for number, count in pattern.groups)
    return worth - prices.per_room - prices.per_m2 * used_up_m2


def patterns(problem: Problem, number: int, pricing: Pricing) -> list[Pattern]:
    """Every way to fill a room."""
    ranges = [range(each.count + 1 if number in each.rooms else 1) for each in problem.needs]
    every = (
        Pattern(room=number, groups=tuple((n, count) for n, count in enumerate(counts) if count))
        for counts in product(*ranges)
    )
    return [pattern for pattern in every if pattern.groups and pricing.fits(pattern)]


@settings(deadline=None, max_examples=40)
@given(problems(), st.data())
def test_no_way_to_fill_a_lot_earns_more_than_is_offered(problem: Problem, data: st.DataObject) -> None:
    """The most told is never beaten by any way to fill the lot, and the way told fits and earns all but as much."""
    worths = data.draw(st.lists(st.floats(0, 2), min_size=len(problem.needs), max_size=len(problem.needs)))
    prices = Prices(
        worths=tuple(worths), per_room=data.draw(st.floats(0, 1)), per_m2=data.draw(st.floats(0, 200))
    )
    pricing = Pricing(problem)
    rooms = range(len(problem.rooms))
    counts = [each.count for each in problem.needs]
    for offer in pricing.offers(prices, rents=[0.0] * len(rooms), counts=counts, rooms=rooms):
        every = [earned(problem, prices, each) for each in patterns(problem, offer.room, pricing)]
        best = max(every, default=-math.inf)
        assert offer.most >= best - 1e-5
        if offer.pattern is None:
            assert best <= 1e-3
        else:
            assert pricing.fits(offer.pattern)
            assert earned(problem, prices, offer.pattern) == pytest.approx(best, abs=0.02)


def offer_of(problem: Problem, rent: float) -> Offer:
    """What the first room's best filling is where each group is worth one."""
    prices = Prices(worths=(1.0,) * len(problem.needs), per_room=0.0, per_m2=0.0)
    counts = [each.count for each in problem.needs]
    (offer,) = Pricing(problem).offers(prices, rents=[rent], counts=counts, rooms={0})
    return offer


def test_a_filling_worth_no_more_than_the_rent_is_not_offered() -> None:
    """Two groups fit: a filling comes below a rent of two, none at two."""
    problem = Problem(needs=(need(40, 0, count=3),), rooms=(room(100),))
    assert offer_of(problem, 1.9).pattern == Pattern(room=0, groups=((0, 2),))
    assert offer_of(problem, 2.0).pattern is None


def test_what_fits_only_by_rounding_is_not_offered() -> None:
    """Ten kits a hair larger than a tenth of the lot are bounded by ten, but nine are offered."""
    problem = Problem(needs=(need(10.0001, 0, count=10),), rooms=(room(100),))
    offer = offer_of(problem, 0.0)
    assert offer.most == 10
    assert offer.pattern == Pattern(room=0, groups=((0, 9),))


def test_a_dealing_out_is_its_patterns() -> None:
    """Counts taken apart lot by lot and put together again are the same."""
    problem = Problem(needs=(need(10, count=4), need(20, count=2)), rooms=(room(100), room(100), room(9)))
    counts = ((1, 3, 0), (0, 2, 0))
    found = list(patterns_of(counts))
    assert found == [Pattern(room=0, groups=((0, 1),)), Pattern(room=1, groups=((0, 3), (1, 2)))]
    assert counts_of(found, problem) == counts


@settings(deadline=None, max_examples=25)
@given(problems())
def test_no_dealing_out_betters_what_patterns_prove(problem: Problem) -> None:
    """Of all dealings out that make as many gowns none opens fewer lots or uses up less than the patterns' bounds."""
    start = settled(problem, tuple((0,) * len(problem.rooms) for _ in problem.needs))
    columns = Columns(problem)
    columns.take_up(start)
    first, gowns = problem.gowns(start, first_only=True), problem.gowns(start)
    worths = [problem.worth(each) for each in dealings(problem)]
    alike = [each for each in worths if each[0] <= -first and each[1] <= -gowns]
    reached = Reached(first=first, gowns=gowns, rooms=len(problem.rooms))
    nothing = (0.0,) * len(problem.needs)
    columns.seek(Aim(gains=nothing, per_room=1.0), reached)
    assert -columns.bound() <= min(each[2] for each in alike) + 1e-6
    columns.seek(Aim(gains=nothing, per_m2=1.0), reached)
    assert -columns.bound() * 1e6 <= min(each[3] for each in alike) + 2
    columns.seek(Aim(gains=tuple(float(each.gown_count) for each in problem.needs)), reached)
    assert columns.bound() >= -min(each[1] for each in alike) - 1e-6
