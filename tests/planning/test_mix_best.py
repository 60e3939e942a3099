"""The mix is the best there is: against every way tried one by one, against a mix by hand, whatever the order."""

import random
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gowngroup.demo.mix_benchmark import invented_month as benchmark_month
from gowngroup.planning import integer_programme
from gowngroup.planning.mix import (
    CannotPropose,
    ClothRoom,
    GownChoice,
    HoursOffered,
    Limit,
    Mix,
    MixRules,
    PastDemand,
    StageMinutes,
    WardAsk,
    propose,
)
from gowngroup.planning.mix import limits as limits_of_mix
from gowngroup.planning.mix.by_hand import mix_by_hand
from gowngroup.planning.mix.levels import decide
from gowngroup.planning.mix.limits import binding_limits
from gowngroup.planning.mix.problem import Problem, problem_of
from gowngroup.planning.mix.values import Purpose
from tests.planning.mix_brute_force import best_levels
from tests.planning.mix_by_rows import plain_levels
from tests.planning.mix_cast import CLOTH, LARGE, PLENTY, SMALL, WRAP, ask, hours, means, mix, stock

# Three designs on three lots of which some are shared, so that every limit gets its turn.
CHOICES = (
    replace(SMALL, lot_keys=("one", "two"), cloth_mm2=2.0),
    replace(LARGE, lot_keys=("one",), cloth_mm2=3.0, ward_keys=("A", "B")),
    replace(LARGE, design_key="tied", lot_keys=("two", "three"), cloth_mm2=2.5),
    replace(WRAP, lot_keys=("two", "three"), cloth_mm2=1.5),
)


DECEIVING_LOTS = tuple(ClothRoom(lot_key=key, area_mm2=10.0) for key in "xyz")
DECEIVING_CHOICES = (
    replace(SMALL, lot_keys=("x", "y", "z"), cloth_mm2=4.0),
    replace(LARGE, lot_keys=("x", "y", "z"), cloth_mm2=7.0),
)


@st.composite
def months(draw: st.DrawFn, most_gowns: int = 2) -> tuple[list[WardAsk], dict[str, Any]]:
    """Asks of two or three wards, a set now and then, and means that seldom suffice."""
    choice = st.sampled_from([SMALL, LARGE, WRAP])
    single = st.builds(ask, st.sampled_from("ABC"), st.integers(1, most_gowns), choice)
    paired = st.builds(ask, st.sampled_from("AB"), st.just(1), choice, set_key=st.just("S"))
    asks = [*draw(st.lists(single, min_size=1, max_size=3)), *draw(st.lists(paired, max_size=2))]
    rooms = [
        ClothRoom(lot_key=key, area_mm2=draw(st.sampled_from([0.0, 2.0, 3.5, 5.0])))
        for key in ("one", "two", "three")
    ]
    smock_min = draw(st.sampled_from([None, 130.0, 250.0]))
    demand = draw(st.lists(st.just(PastDemand(size_name="40 cm", monthly_mean=0.3)), max_size=1))
    return asks, means(
        supplies=(stock(draw(st.integers(0, 1)), 1, SMALL, ward_keys=("A", "C")),),
        choices=CHOICES,
        cloth=rooms,
        hours=HoursOffered(total_min=draw(st.integers(0, 1200)), smock_min=smock_min),
        demands=demand,
    )


def problem(asks: list[WardAsk], given_means: dict[str, Any]) -> Problem:
    """The question in canonical order."""
    return problem_of(asks, **{"demands": (), "rules": MixRules(), **given_means})


@settings(deadline=None, max_examples=25)
@given(months())
def test_nothing_better_exists(month: tuple[list[WardAsk], dict[str, Any]]) -> None:
    """Tried one by one, no way of serving the asks beats the mix on memorial, worst cover, total, safety, designs."""
    asked = problem(*month)
    decided = decide(asked)
    assert decided.levels == best_levels(asked)
    assert decided.is_proven


def short_month(seed: int) -> Problem:
    """Two wards, a few sizes and designs, and cloth spread over lots too short for what is asked."""
    chance = random.Random(seed)  # noqa: S311 - invented months, no secret
    lots = [f"lot {number}" for number in range(chance.choice([3, 4, 6]))]
    choices: dict[tuple[str, str], GownChoice] = {}
    for size in range(chance.choice([2, 3, 4])):
        purpose: Purpose = chance.choice(["worn", "memorial"])
        for design in range(chance.choice([1, 2])):
            choices[f"size {size}", f"design {design}"] = replace(
                SMALL,
                size_name=f"size {size}",
                purpose=purpose,
                design_key=f"design {design}",
                minutes=StageMinutes(make_up=chance.choice([100, 130, 170])),
                lot_keys=tuple(sorted(chance.sample(lots, chance.randint(1, len(lots))))),
                cloth_mm2=float(chance.randint(20, 60)),
            )
    of_size = {size_name: choice for (size_name, _), choice in choices.items()}
    return problem(
        [ask(ward, chance.randint(1, 6), choice) for choice in of_size.values() for ward in "AB"],
        means(
            choices=list(choices.values()),
            cloth=[ClothRoom(lot_key=lot, area_mm2=float(chance.randint(30, 200))) for lot in lots],
            hours=HoursOffered(total_min=chance.choice([1000.0, 2000.0, 1e6])),
        ),
    )


@pytest.mark.parametrize("seed", [0, 3, 51, 97, 1003])
def test_another_programme_finds_nothing_better(seed: int) -> None:
    """Where lots are short the mix is proven and no worse than what SciPy finds, asked row by row and lot by lot."""
    month = short_month(seed)
    decided = decide(month)
    memorial, worst, worn, _safety, designs = decided.levels
    assert (memorial, worst, worn, designs) == plain_levels(month)
    assert decided.is_proven


def test_a_solver_that_loses_its_way_begins_anew() -> None:
    """A month on which the solver gets lost on its way from one answer to the next is worked out and proven, too."""
    month = benchmark_month(10, hours_a_gown=4.2, metres=(0.4, 3.0))
    hand, decided = mix_by_hand(month), decide(month)
    assert decided.is_proven
    assert decided.levels[:3] >= (hand.memorial_count, hand.worst_cover, hand.worn_count)


@settings(deadline=None, max_examples=25)
@given(months(most_gowns=6))
def test_never_worse_than_by_hand(month: tuple[list[WardAsk], dict[str, Any]]) -> None:
    """Memorial gowns, worst cover and total are never below those of a mix made gown by gown."""
    asked = problem(*month)
    hand, decided = mix_by_hand(asked), decide(asked)
    worst = min(
        (Fraction(decided.served[key], count) for key, count in asked.asked("worn").items()), default=None
    )
    ours = (decided.memorial_count, worst or Fraction(0), decided.worn_count)
    assert ours >= (hand.memorial_count, hand.worst_cover or Fraction(0), hand.worn_count)


@pytest.mark.parametrize("seed", [3, 6, 40, 162, 240, 296])
def test_nothing_is_made_that_is_there_already(seed: int) -> None:
    """While a gown that may serve a ward lies there unused none is made for it, however many hours are offered."""
    asked = invented_month(random.Random(seed))  # noqa: S311 - an invented month
    decided = decide(asked)
    used: Counter[int] = Counter()
    for (_, supply), variable in decided.model.given.items():
        used[supply] += round(decided.solved.values[variable])
    made = {want for (want, _), each in decided.model.made.items() if round(decided.solved.values[each])}
    idle = {number for number, each in enumerate(asked.supplies) if used[number] < each.expected_count}
    assert made
    assert [pair for pair in decided.model.given if pair[0] in made and pair[1] in idle] == []


def invented_month(chance: random.Random) -> Problem:
    """A month of several sizes, designs and lots, with gowns there that not every ward accepts."""
    size_count = chance.choice([4, 6, 10])
    lots = [f"lot {number}" for number in range(chance.choice([1, 3, 12]))]
    choices = [
        replace(
            SMALL,
            size_name=f"size {size}",
            purpose="memorial" if size % 3 == 0 else "worn",
            design_key=f"design {design}",
            lot_keys=tuple(sorted(chance.sample(lots, chance.randint(1, len(lots))))),
            cloth_mm2=chance.choice([50.0, 100.0, 200.0, 350.0]),
        )
        for size in range(size_count)
        for design in range(chance.choice([1, 2, 3]))
    ]
    of_size = list({choice.size_name: choice for choice in choices}.values())
    asks = [
        ask(ward, chance.randint(1, 9), each) for each in of_size for ward in "ABC" if chance.random() < 0.6
    ]
    return problem(
        asks,
        means(
            supplies=[
                stock(
                    chance.randint(0, 6),
                    chance.randint(0, 12),
                    each,
                    ward_keys=chance.choice([None, ("A", "B"), ("B", "C")]),
                )
                for each in of_size
            ],
            choices=choices,
            cloth=[ClothRoom(lot_key=key, area_mm2=chance.choice([300.0, 1500.0, 9000.0])) for key in lots],
            hours=HoursOffered(total_min=chance.choice([20_000, 1e6])),
        ),
    )


@settings(deadline=None, max_examples=8)
@given(months(most_gowns=6), st.randoms(use_true_random=False))
def test_order_typed_does_not_matter(
    month: tuple[list[WardAsk], dict[str, Any]], chance: random.Random
) -> None:
    """The same month in another order is the same mix, line for line."""
    asks, given_means = month
    shuffled: dict[str, Any] = {
        name: tuple(chance.sample(list(values), len(values))) if isinstance(values, list | tuple) else values
        for name, values in given_means.items()
    }
    first, second = propose(asks, **given_means), propose(chance.sample(asks, len(asks)), **shuffled)
    assert sorted(first.lines, key=str) == sorted(second.lines, key=str)
    assert replace(first, lines=()) == replace(second, lines=())


@settings(deadline=None, max_examples=10)
@given(months(most_gowns=6))
def test_promises_keep_within_hours_and_wants(month: tuple[list[WardAsk], dict[str, Any]]) -> None:
    """No mix takes more hours or cloth than there are, nor gives a ward more than it asked; sets stay whole."""
    asks, given_means = month
    found = propose(asks, **given_means)
    takes = {(each.size_name, each.purpose, each.design_key): each for each in CHOICES}
    made = [
        (takes[line.size_name, line.purpose, line.design_key or ""], line.make_count)
        for line in found.lines
        if line.make_count
    ]
    offered = given_means["hours"]
    assert sum(choice.minutes.total * count for choice, count in made) <= offered.total_min
    assert sum(choice.minutes.smock * count for choice, count in made) <= (offered.smock_min or 1e9)
    assert sum(choice.cloth_mm2 * count for choice, count in made) <= sum(
        r.area_mm2 for r in given_means["cloth"]
    )
    assert all(s.covered_count + s.make_count <= s.asked_count for line in found.lines for s in line.shares)
    in_sets = Counter(key for line in found.lines for key in line.matched_set_keys)
    assert set(in_sets) <= {"S"}


def limit(found: Mix, code: str) -> Limit:
    """The limit of this code."""
    return next(each for each in found.limits if each.code == code)


def test_hours_that_would_free_gowns_do() -> None:
    """With the hours the limit names so many more are made, and with a little less not as many."""
    asks = (ask("A", 10), ask("B", 3))
    found = mix(*asks, hours=hours(6.2))
    freeing = limit(found, "hours")
    assert freeing.more_count == 7
    assert freeing.more_min == {None: pytest.approx(6.8 * 200, rel=0.011)}
    for share, more_count in ((1.0, 7), (0.95, 6)):
        more = HoursOffered(total_min=6.2 * 200 + share * freeing.more_min[None])
        assert mix(*asks, hours=more).met_count == found.met_count + more_count


def test_the_stage_that_binds_is_named() -> None:
    """Where smocking alone is short its hours are named, and hours of other stages free nothing."""
    found = mix(ask("A", 5), hours=HoursOffered(total_min=1000, smock_min=160, pleat_min=500))
    (freeing,) = found.limits
    assert (freeing.code, freeing.more_count) == ("smock_hours", 3)
    assert freeing.more_min == {"smock": pytest.approx(240, rel=0.011)}


def test_hours_that_several_stages_lack_are_told_stage_by_stage() -> None:
    """Each stage lacks what three gowns take there beside what is left of it; what no stage is short of is free."""
    offered = HoursOffered(total_min=400, pleat_min=50, smock_min=160)
    found = mix(ask("A", 5), hours=offered)
    freeing = limit(found, "several")
    assert freeing.more_count == 3
    least = {
        "pleat": 5 * 20 - 50,
        "smock": 5 * 80 - 160,
        None: 5 * 200 - 400 - (5 * 20 - 50) - (5 * 80 - 160),
    }
    assert freeing.more_min == pytest.approx(least, rel=0.011)
    more = HoursOffered(
        total_min=400 + sum(freeing.more_min.values()),
        pleat_min=50 + freeing.more_min["pleat"],
        smock_min=160 + freeing.more_min["smock"],
    )
    assert mix(ask("A", 5), hours=more).met_count == 5


def test_more_hours_of_a_stage_are_spent_on_no_other() -> None:
    """Where smocking and all hours are short, more smocking frees what the hours left for making up and pleating allow."""
    found = mix(ask("A", 5), hours=HoursOffered(total_min=400, smock_min=160))
    freeing = limit(found, "smock_hours")
    assert freeing.more_count == 1  # three gowns take 360 minutes but for smocking, four would take 480
    assert freeing.more_min == {"smock": pytest.approx(3 * 200 - 400, rel=0.011)}


def test_cloth_that_would_free_gowns_is_named_by_kind() -> None:
    """Three gowns more need three gowns' cloth of the kind their design asks for."""
    cloth = (ClothRoom(lot_key="yoke lot", area_mm2=2.0), *CLOTH[1:])
    found = mix(ask("A", 5), ask("A", 1, LARGE), cloth=cloth)
    (freeing,) = found.limits
    assert (freeing.code, freeing.more_count) == ("cloth", 3)
    assert freeing.more_mm2 == {"batiste": pytest.approx(3.0, rel=0.011)}


def test_hours_and_cloth_may_bind_together() -> None:
    """Where neither alone frees a gown both are named together."""
    found = mix(
        ask("A", 4), cloth=(ClothRoom(lot_key="yoke lot", area_mm2=1.0),), choices=(SMALL,), hours=hours(1)
    )
    (freeing,) = found.limits
    assert (freeing.code, freeing.more_count) == ("several", 3)
    assert freeing.more_min == {None: pytest.approx(600, rel=0.011)}
    assert freeing.more_mm2 == {"batiste": pytest.approx(3.0, rel=0.011)}


def test_more_together_is_told_beside_each_alone() -> None:
    """Hours alone free one gown, hours and cloth together both that are missing."""
    cloth = (ClothRoom(lot_key="yoke lot", area_mm2=2.0),)
    found = mix(ask("A", 3), cloth=cloth, choices=(SMALL,), hours=hours(1))
    assert [(each.code, each.more_count) for each in found.limits] == [("several", 2), ("hours", 1)]


def test_what_no_design_suits_is_no_matter_of_hours() -> None:
    """Gowns, and sets, without a design are told as such, and plenty of all has no other limit."""
    found = mix(ask("A", 2), ask("A", 1, LARGE), ask("A", 2, set_key="S"), choices=(LARGE,))
    assert [(each.code, each.more_count) for each in found.limits] == [("no_design", 4)]


def test_limits_that_free_nothing_at_all_are_not_told() -> None:
    """A set whose designs want different cloth has none in common: no hours and no cloth would free it."""
    asks = (ask("A", 1, set_key="S"), ask("A", 1, LARGE, set_key="S"))
    assert mix(*asks).limits == ()


def test_lots_are_looked_at_one_by_one_where_pooled_cloth_deceives() -> None:
    """Three lots of 10 hold two gowns of 7 and two of 4, not the third of 7 that their 30 together promise."""
    found = mix(ask("A", 2), ask("A", 3, LARGE), cloth=DECEIVING_LOTS, choices=DECEIVING_CHOICES)
    assert (found.met_count, found.is_proven) == (4, True)


def test_no_steps_at_all_is_one_documented_error_or_an_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """However few steps the search may take, a mix comes out that keeps the hours."""
    monkeypatch.setattr(integer_programme, "_MOST_NODES", 0)
    found = mix(ask("A", 7), ask("B", 5, LARGE), ask("C", 3, WRAP), hours=HoursOffered(total_min=2111))
    made_min = {"yoke": 200, "round": 300, "wrap": 100}
    assert sum(made_min[line.design_key or ""] * line.make_count for line in found.lines) <= 2111


def test_plenty_has_no_limits() -> None:
    """Where all that is asked is met nothing holds it back."""
    found = mix(ask("A", 2), ask("B", 1, WRAP), hours=PLENTY)
    assert (found.limits, found.met_count, found.worst_cover) == ((), 3, 1.0)


def test_a_solver_that_fails_is_one_documented_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the solver refuses to work the proposal says so in the planner's own error."""
    monkeypatch.setattr(integer_programme, "_MOST_NODES", -1)
    with pytest.raises(CannotPropose, match="cannot be worked out"):
        mix(ask("A", 2))


def test_limits_are_left_out_where_they_cannot_be_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """A mix stands even where it cannot be found out what would free more."""
    decided = decide(problem([ask("A", 5)], means(hours=hours(2))))
    assert [each.code for each in binding_limits(decided)] == ["hours"]
    monkeypatch.setattr(integer_programme, "_MOST_NODES", -1)
    assert binding_limits(decided) == ()


def test_by_hand_leaves_a_set_without_a_design() -> None:
    """The mix by hand, too, makes a set whole or not at all."""
    asked = problem([ask("A", 2, set_key="S"), ask("A", 1, LARGE)], means(choices=(LARGE,)))
    assert mix_by_hand(asked).worn_count == 1


def month_of_five_designs(seed: int) -> Problem:
    """Five sizes of different minutes and cloth, too few hours and too little cloth for nearly all."""
    chance = random.Random(seed)  # noqa: S311 - invented months, no secret
    choices = tuple(
        replace(
            SMALL,
            design_key=f"design {number}",
            size_name=f"size {number}",
            minutes=StageMinutes(make_up=chance.randint(50, 300)),
            cloth_mm2=float(chance.randint(2, 9)),
        )
        for number in range(5)
    )
    asks = [ask("A", chance.randint(2, 6), choice) for choice in choices]
    cloth = (ClothRoom(lot_key="yoke lot", area_mm2=20.0),)
    return problem(asks, means(choices=choices, cloth=cloth, hours=HoursOffered(total_min=300.0)))


@pytest.mark.parametrize("seed", [4, 199, 285, 307, 356])
def test_what_would_free_gowns_is_the_least_within_one_in_a_hundred(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Minutes and cloth told are at most a hundredth above the least, found by a search that stops for no gap."""
    decided = decide(month_of_five_designs(seed))
    told = binding_limits(decided)
    monkeypatch.setattr(limits_of_mix, "_ABOUT_SHARE", 0.0)
    least = binding_limits(decided)
    assert [(each.code, each.more_count) for each in told] == [(each.code, each.more_count) for each in least]
    for about, exact in zip(told, least, strict=True):
        assert sum(about.more_min.values()) <= sum(exact.more_min.values()) * 1.01 + 1e-6
        assert sum(about.more_mm2.values()) <= sum(exact.more_mm2.values()) * 1.01 + 1e-6
