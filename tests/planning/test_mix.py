from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gowngroup.planning.mix import (
    ClothRoom,
    GownChoice,
    GownSupply,
    ProposalLine,
    WardAsk,
    propose,
)

SMALL = GownChoice(
    size_name="40 cm",
    purpose="worn",
    design_key="yoke",
    minutes_per_gown=200,
    cloth_mm2=1.0,
    lot_keys=("yoke lot",),
)
LARGE = GownChoice(
    size_name="51 cm",
    purpose="worn",
    design_key="round",
    minutes_per_gown=300,
    cloth_mm2=1.0,
    lot_keys=("round lot",),
)
WRAP = GownChoice(
    size_name="40 cm",
    purpose="memorial",
    design_key="wrap",
    minutes_per_gown=100,
    cloth_mm2=1.0,
    lot_keys=("wrap lot",),
)
CLOTH = tuple(ClothRoom(lot_key=f"{key} lot", area_mm2=100.0) for key in ("yoke", "round", "wrap"))


def ask(ward: str, count: int, choice: GownChoice = SMALL, *, set_key: str | None = None) -> WardAsk:
    return WardAsk(
        ward_key=ward,
        size_name=choice.size_name,
        purpose=choice.purpose,
        gown_count=count,
        matched_set_key=set_key,
    )


def proposal(*asks: WardAsk, **more: Any) -> tuple[ProposalLine, ...]:
    means: dict[str, Any] = {
        "supplies": (),
        "choices": (SMALL, LARGE, WRAP),
        "cloth": CLOTH,
        "capacity_min": 1e6,
        "share_passed": 0.9,
    }
    return propose(asks, **(means | more))


def made(lines: tuple[ProposalLine, ...]) -> dict[tuple[str, str, str], int]:
    """Gowns made per ward, size and purpose."""
    return {
        (share.ward_key, line.size_name, line.purpose): share.make_count
        for line in lines
        for share in line.shares
    }


def stock(shelf: int, out: int, choice: GownChoice = SMALL) -> GownSupply:
    return GownSupply(size_name=choice.size_name, purpose=choice.purpose, shelf_count=shelf, out_count=out)


def reason_codes(line: ProposalLine) -> list[str]:
    return [each.code for each in line.reasons]


def test_nothing_asked_proposes_nothing() -> None:
    """Without a request there is no batch, whatever lies on the shelf."""
    assert proposal(supplies=(stock(5, 5),)) == ()
    assert proposal(ask("A", 0)) == ()


def test_shelf_and_kits_out_are_taken_off() -> None:
    """Of 6 asked, 2 on the shelf and 3 out at 0.9 (2.7, rounded down to 2) leave 2 to make, and the line says so."""
    (line,) = proposal(ask("A", 6), supplies=(stock(2, 3),))
    assert (line.asked_count, line.wanted_count, line.make_count) == (6, 2, 2)
    assert dict(line.reasons[0].values) == {"asked": 6, "shelf": 2, "out": 3, "share_passed": 0.9}


def test_whole_products_are_not_rounded_away() -> None:
    """Ten kits out at a share of 0.7 count for seven gowns although 10 × 0.7 is not exactly 7 in a computer."""
    (line,) = proposal(ask("A", 10), supplies=(stock(0, 10),), share_passed=0.7)
    assert line.make_count == 3


def test_more_on_the_shelf_than_asked_makes_none() -> None:
    """A full shelf leaves nothing to make."""
    (line,) = proposal(ask("A", 2), supplies=(stock(9, 0),))
    assert (line.make_count, line.shares[0].covered_count) == (0, 2)


def test_hours_bind_and_are_shared_by_cover() -> None:
    """Hours for six gowns between wards asking ten and two give each half of what it asked."""
    lines = proposal(ask("A", 10), ask("B", 2), capacity_min=6 * 200)
    assert made(lines) == {("A", "40 cm", "worn"): 5, ("B", "40 cm", "worn"): 1}
    assert dict(lines[0].reasons[1].values) == {"wanted": 12, "make": 6, "missed": 6}
    assert lines[0].reasons[1].code == "hours_ran_out"


def test_cloth_binds_for_its_design_alone() -> None:
    """Cloth for one yoke gown cuts the yoke gowns and leaves the round ones whole."""
    cloth = (ClothRoom(lot_key="yoke lot", area_mm2=1.0), *CLOTH[1:])
    small, large = proposal(ask("A", 4), ask("A", 4, LARGE), cloth=cloth)
    assert (small.make_count, reason_codes(small)) == (1, ["asked", "cloth_ran_out"])
    assert (large.make_count, reason_codes(large)) == (4, ["asked"])


def test_gowns_and_sets_come_whole_from_one_lot() -> None:
    """Two lots of cloth for one and a half gowns each make two gowns, not three, and no set of two."""
    gown = replace(SMALL, lot_keys=("one", "two"))
    means: dict[str, Any] = {
        "choices": (gown,),
        "cloth": tuple(ClothRoom(lot_key=key, area_mm2=1.5) for key in ("one", "two")),
    }
    (singles,) = proposal(ask("A", 3), **means)
    (pair,) = proposal(ask("A", 2, set_key="S"), **means)
    assert (singles.make_count, pair.make_count) == (2, 0)


def test_shared_cloth_is_promised_once() -> None:
    """Two sizes that suit the same lot share its room."""
    small, large = (replace(each, lot_keys=("one",)) for each in (SMALL, LARGE))
    lines = proposal(
        ask("A", 3),
        ask("B", 3, LARGE),
        choices=(small, large),
        cloth=(ClothRoom(lot_key="one", area_mm2=4.0),),
    )
    assert [line.make_count for line in lines] == [2, 2]


def test_worst_served_ward_comes_first() -> None:
    """A ward that got its gowns from the shelf waits until the other has caught up."""
    asks = (ask("A", 2), ask("B", 2, LARGE))
    lines = proposal(*asks, supplies=(stock(1, 0),), capacity_min=300)
    assert made(lines) == {("A", "40 cm", "worn"): 0, ("B", "51 cm", "worn"): 1}


def test_shelf_goes_to_the_worst_served_ward() -> None:
    """Three gowns on the shelf for wards asking four and two go two and one."""
    (line,) = proposal(ask("A", 4), ask("B", 2), supplies=(stock(3, 0),))
    assert [share.covered_count for share in line.shares] == [2, 1]


@pytest.mark.parametrize(("slow", "quick"), [(SMALL, LARGE), (LARGE, SMALL)])
def test_of_equal_wards_most_are_served(slow: GownChoice, quick: GownChoice) -> None:
    """Where one ward asks for two sizes the gown that takes fewer minutes comes first, whatever its name."""
    choices = (replace(slow, minutes_per_gown=300), replace(quick, minutes_per_gown=200))
    lines = proposal(ask("A", 2, slow), ask("A", 2, quick), choices=choices, capacity_min=500)
    assert [line.make_count for line in lines] == [0, 2]


def test_memorial_gowns_come_first_and_outside_the_sums() -> None:
    """Memorial gowns take the hours first, and do not make their ward look better served."""
    lines = proposal(ask("A", 2), ask("B", 2), ask("A", 3, WRAP), capacity_min=3 * 100 + 2 * 200)
    assert made(lines) == {
        ("A", "40 cm", "worn"): 1,
        ("B", "40 cm", "worn"): 1,
        ("A", "40 cm", "memorial"): 3,
    }


def test_matched_set_is_whole_or_left() -> None:
    """A set of two that hours do not cover whole is left, and its ward's single gown is made instead."""
    asks = (ask("A", 1, SMALL, set_key="S"), ask("A", 1, LARGE, set_key="S"), ask("A", 1))
    choices = tuple(replace(each, lot_keys=("yoke lot",)) for each in (SMALL, LARGE))
    small, large = proposal(*asks, choices=choices, capacity_min=450)
    assert (small.make_count, large.make_count, small.matched_set_keys) == (1, 0, ())
    small, large = proposal(*asks, choices=choices, capacity_min=700)
    assert (small.make_count, large.make_count, small.matched_set_keys) == (2, 1, ("S",))


def test_matched_set_is_not_served_from_the_shelf() -> None:
    """Gowns on the shelf are not of one cloth, so a set is made new."""
    (line,) = proposal(ask("A", 2, set_key="S"), supplies=(stock(5, 0),))
    assert (line.wanted_count, line.make_count) == (2, 2)


def test_size_without_a_design_is_said() -> None:
    """A size no design is made for is proposed as none, with the reason."""
    (line,) = proposal(ask("A", 2), choices=(LARGE,))
    assert (line.design_key, line.make_count, reason_codes(line)) == (None, 0, ["asked", "no_design"])


@pytest.mark.parametrize("share_passed", [-0.1, 1.1])
def test_share_passed_is_a_share(share_passed: float) -> None:
    """A share passed outside 0 to 1 is refused."""
    with pytest.raises(ValueError, match="between 0 and 1"):
        proposal(ask("A", 2), share_passed=share_passed)


asks_strategy = st.lists(
    st.builds(
        ask,
        st.sampled_from("ABC"),
        st.integers(0, 5),
        st.sampled_from([SMALL, LARGE, WRAP]),
        set_key=st.sampled_from([None, None, "S1", "S2"]),
    ),
    max_size=8,
)


@settings(deadline=None)  # a busy machine is no fault
@given(asks_strategy, st.integers(0, 5000), st.integers(0, 6), st.integers(0, 6))
def test_promises_keep_within_hours_and_cloth(
    asks: list[WardAsk], minutes: int, cloth: int, shelf: int
) -> None:
    """No proposal uses more hours or cloth than there are, makes more than is wanted, or depends on the order asked."""
    means: dict[str, Any] = {
        "capacity_min": minutes,
        "cloth": tuple(replace(each, area_mm2=float(cloth)) for each in CLOTH),
        "supplies": (stock(shelf, 2),),
    }
    lines = proposal(*asks, **means)
    takes = {(each.size_name, each.purpose): each.minutes_per_gown for each in (SMALL, LARGE, WRAP)}
    assert sum(line.make_count * takes[line.size_name, line.purpose] for line in lines) <= minutes
    assert all(line.make_count <= min(cloth, line.wanted_count) for line in lines)
    assert sorted(proposal(*reversed(asks), **means), key=str) == sorted(lines, key=str)
