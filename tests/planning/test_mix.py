"""The month's mix: what is asked less what is there, giving way where hours or cloth run short."""

from dataclasses import replace
from typing import Any

import pytest

from gowngroup.planning.mix import (
    CannotPropose,
    ClothRoom,
    GownSupply,
    HoursOffered,
    PastDemand,
    StageMinutes,
)
from tests.planning.mix_cast import (
    CLOTH,
    LARGE,
    SMALL,
    WRAP,
    ask,
    hours,
    made,
    mix,
    reason_codes,
    stock,
)


def test_nothing_asked_proposes_nothing() -> None:
    """Without a request there is no batch, whatever lies on the shelf."""
    assert mix(supplies=(stock(5, 5),)).lines == ()
    assert mix(ask("A", 0)).lines == ()


def test_shelf_and_kits_out_are_taken_off() -> None:
    """Of 6 asked, 2 on the shelf and 3 out at 0.9 (2.7, rounded down to 2) leave 2 to make, and the line says so."""
    (line,) = mix(ask("A", 6), supplies=(stock(2, 3),)).lines
    assert (line.asked_count, line.make_count) == (6, 2)
    assert dict(line.reasons[0].values) == {"asked": 6, "shelf": 2, "out": 3, "share_passed": 0.9}


def test_whole_products_are_not_rounded_away() -> None:
    """Ten kits out at a share of 0.7 count for seven gowns although 10 × 0.7 is not exactly 7 in a computer."""
    (line,) = mix(ask("A", 10), supplies=(stock(0, 10, share_passed=0.7),)).lines
    assert line.make_count == 3


def test_more_on_the_shelf_than_asked_makes_none() -> None:
    """A full shelf leaves nothing to make, and the line stays to say so."""
    (line,) = mix(ask("A", 2), supplies=(stock(9, 0),)).lines
    assert (line.make_count, line.shares[0].covered_count) == (0, 2)


def test_gowns_a_ward_does_not_accept_do_not_count_for_it() -> None:
    """Two gowns on the shelf whose closure only ward B accepts leave ward A's two to be made."""
    found = mix(ask("A", 2), ask("B", 1), supplies=(stock(2, 0, ward_keys=("B",)),))
    assert made(found) == {("A", "40 cm", "worn"): 2, ("B", "40 cm", "worn"): 0}


def test_each_ward_gets_a_design_it_accepts() -> None:
    """Where two wards accept different designs of a size both are made, each line told as its part."""
    tied = replace(SMALL, design_key="tied", ward_keys=("B",))
    found = mix(ask("A", 3), ask("B", 1), choices=(replace(SMALL, ward_keys=("A",)), tied))
    assert [(line.design_key, line.make_count) for line in found.lines] == [("yoke", 3), ("tied", 1)]
    assert reason_codes(found.lines[1]) == ["asked", "of_designs"]


def test_fewest_designs() -> None:
    """Of designs that serve as well, as few as possible are made, though another would take fewer hours."""
    both = (
        SMALL,
        replace(LARGE, design_key="yoke"),
        LARGE,
        replace(SMALL, design_key="quick", cloth_mm2=0.5),
    )
    lots = [replace(each, lot_keys=("yoke lot",)) for each in both]
    found = mix(ask("A", 2), ask("A", 2, LARGE), choices=lots)
    assert {line.design_key for line in found.lines} == {"yoke"}
    assert found.design_count == 1


def test_hours_bind_and_are_shared_by_cover() -> None:
    """Hours for six gowns between wards asking ten and two give each half of what it asked."""
    found = mix(ask("A", 10), ask("B", 2), hours=hours(6))
    assert made(found) == {("A", "40 cm", "worn"): 5, ("B", "40 cm", "worn"): 1}
    assert dict(found.lines[0].reasons[1].values) == {"missed": 6}
    assert reason_codes(found.lines[0]) == ["asked", "hours_ran_out"]
    assert (found.worst_cover, found.met_count, found.asked_count) == (0.5, 6, 12)


def test_each_stage_binds_for_itself() -> None:
    """Smocking for two gowns makes two, though all hours together would do for ten, and the line names the stage."""
    found = mix(ask("A", 5), hours=hours(10, smock_min=170))
    assert made(found) == {("A", "40 cm", "worn"): 2}
    assert reason_codes(found.lines[0]) == ["asked", "smock_hours_ran_out"]


def test_cloth_binds_for_its_design_alone() -> None:
    """Cloth for one yoke gown cuts the yoke gowns and leaves the round ones whole."""
    cloth = (ClothRoom(lot_key="yoke lot", area_mm2=1.0), *CLOTH[1:])
    small, large = mix(ask("A", 4), ask("A", 4, LARGE), cloth=cloth).lines
    assert (small.make_count, reason_codes(small)) == (1, ["asked", "cloth_ran_out"])
    assert (large.make_count, reason_codes(large)) == (4, ["asked"])


def test_both_may_run_out() -> None:
    """Where one more gown would lack hours and cloth alike the line says both."""
    cloth = (ClothRoom(lot_key="yoke lot", area_mm2=1.0),)
    found = mix(ask("A", 4), cloth=cloth, choices=(SMALL,), hours=hours(1))
    assert reason_codes(found.lines[0]) == ["asked", "several_ran_out"]
    assert dict(found.lines[0].reasons[1].values) == {"missed": 3, "lacks": ("any", "cloth")}


@pytest.mark.parametrize(
    ("offered", "lacks"),
    [
        ({"pleat_min": 20, "smock_min": 80, "make_up_min": 500}, ("pleat", "smock")),
        ({"pleat_min": 500, "smock_min": 159, "make_up_min": 199}, ("smock", "make_up")),
        # All hours lack 200 min, of which smocking lacks 80: the other 120 may be worked at anything.
        ({"total_min": 200, "smock_min": 80}, ("smock", "any")),
        # All hours lack 100 min, just as making up does: making up is all there is to say.
        ({"total_min": 300, "make_up_min": 100}, ("make_up",)),
    ],
)
def test_every_stage_a_gown_lacks_is_named(offered: dict[str, float], lacks: tuple[str, ...]) -> None:
    """A gown of 20 minutes pleating, 80 smocking and 100 making up names each stage too short for a second one."""
    found = mix(ask("A", 2), hours=HoursOffered(**{"total_min": 500.0, **offered}))
    told = found.lines[0].reasons[1]
    assert found.lines[0].make_count == 1
    if len(lacks) > 1:
        assert (told.code, dict(told.values)) == ("several_ran_out", {"missed": 1, "lacks": lacks})
    else:
        assert (told.code, dict(told.values)) == (f"{lacks[0]}_hours_ran_out", {"missed": 1})


def test_gowns_and_sets_come_whole_from_one_lot() -> None:
    """Two lots of cloth for one and a half gowns each make two gowns, not three, and no set of two."""
    gown = replace(SMALL, lot_keys=("one", "two"))
    cloth = tuple(ClothRoom(lot_key=key, area_mm2=1.5) for key in ("one", "two"))
    (singles,) = mix(ask("A", 3), choices=(gown,), cloth=cloth).lines
    (pair,) = mix(ask("A", 2, set_key="S"), choices=(gown,), cloth=cloth).lines
    assert (singles.make_count, pair.make_count) == (2, 0)
    assert reason_codes(pair) == ["asked", "cloth_ran_out"]


def test_a_set_that_no_one_cloth_suits_says_so() -> None:
    """There is plenty of either cloth, but none suits both gowns; where one does, both are cut from it."""
    twins = (ask("A", 1, set_key="S"), ask("A", 1, LARGE, set_key="S"))
    assert [reason_codes(line) for line in mix(*twins).lines] == [["asked", "no_common_cloth"]] * 2
    shared = replace(LARGE, lot_keys=("round lot", "yoke lot"))
    assert [line.make_count for line in mix(*twins, choices=(SMALL, shared)).lines] == [1, 1]


def test_shared_cloth_is_promised_once() -> None:
    """Two sizes that suit the same lot share its room."""
    small, large = (replace(each, lot_keys=("one",)) for each in (SMALL, LARGE))
    cloth = (ClothRoom(lot_key="one", area_mm2=4.0),)
    found = mix(ask("A", 3), ask("B", 3, LARGE), choices=(small, large), cloth=cloth)
    assert [line.make_count for line in found.lines] == [2, 2]


def test_worst_served_ward_comes_first() -> None:
    """A ward that gets its gowns from the shelf waits until the other has caught up."""
    asks = (ask("A", 2), ask("B", 2, LARGE))
    found = mix(*asks, supplies=(stock(1, 0),), hours=hours(1, LARGE))
    assert made(found) == {("A", "40 cm", "worn"): 0, ("B", "51 cm", "worn"): 1}


def test_shelf_goes_to_the_worst_served_ward() -> None:
    """Three gowns on the shelf for wards asking four and two go two and one when no hours are offered."""
    none = HoursOffered(total_min=0)
    (line,) = mix(ask("A", 4), ask("B", 2), supplies=(stock(3, 0),), hours=none).lines
    assert [share.covered_count for share in line.shares] == [2, 1]


def test_a_ward_nothing_can_be_made_for_holds_nobody_back() -> None:
    """Where no cloth suits one ward's gowns the others still share fairly."""
    found = mix(ask("A", 4), ask("B", 4), ask("C", 2, LARGE), cloth=CLOTH[:1], hours=hours(4))
    assert made(found) == {("A", "40 cm", "worn"): 2, ("B", "40 cm", "worn"): 2, ("C", "51 cm", "worn"): 0}
    assert (found.worst_ward_key, found.worst_cover) == ("A", 0.5)


@pytest.mark.parametrize(("slow", "quick"), [(SMALL, LARGE), (LARGE, SMALL)])
def test_of_equal_wards_most_are_served(slow: Any, quick: Any) -> None:
    """Where one ward asks for two sizes the gown that takes fewer minutes comes first, whatever its name."""
    choices = (
        replace(slow, minutes=StageMinutes(make_up=300)),
        replace(quick, minutes=StageMinutes(make_up=200)),
    )
    found = mix(ask("A", 2, slow), ask("A", 2, quick), choices=choices, hours=HoursOffered(total_min=500))
    assert [line.make_count for line in found.lines] == [0, 2]


def test_memorial_gowns_come_first_and_outside_the_sums() -> None:
    """Memorial gowns take the hours first, and do not make their ward look better served."""
    found = mix(ask("A", 2), ask("B", 2), ask("A", 3, WRAP), hours=HoursOffered(total_min=3 * 100 + 2 * 200))
    assert made(found) == {
        ("A", "40 cm", "worn"): 1,
        ("B", "40 cm", "worn"): 1,
        ("A", "40 cm", "memorial"): 3,
    }
    assert found.memorial_short_count == 0


def test_matched_set_is_whole_or_left() -> None:
    """A set of two that hours do not cover whole is left, and its ward's single gown is made instead."""
    asks = (ask("A", 1, set_key="S"), ask("A", 1, LARGE, set_key="S"), ask("A", 1))
    choices = tuple(replace(each, lot_keys=("yoke lot",)) for each in (SMALL, LARGE))
    small, large = mix(*asks, choices=choices, hours=HoursOffered(total_min=450)).lines
    assert (small.make_count, large.make_count, small.matched_set_keys) == (1, 0, ())
    assert reason_codes(large) == ["asked", "hours_ran_out"]
    small, large = mix(*asks, choices=choices, hours=HoursOffered(total_min=700)).lines
    assert (small.make_count, large.make_count, small.matched_set_keys) == (2, 1, ("S",))
    assert reason_codes(large) == ["asked", "matched_sets"]


def test_memorial_gowns_come_first_though_slow() -> None:
    """One memorial gown that takes the hours of three gowns to wear is made before them."""
    slow = replace(WRAP, minutes=StageMinutes(make_up=600))
    found = mix(ask("A", 3), ask("B", 1, WRAP), choices=(SMALL, slow), hours=HoursOffered(total_min=600))
    assert made(found) == {("A", "40 cm", "worn"): 0, ("B", "40 cm", "memorial"): 1}


def test_set_with_a_memorial_gown_comes_first() -> None:
    """A set of which one baby has died is made before gowns to wear, though more of these could be made."""
    asks = (ask("A", 3, LARGE), ask("B", 1, set_key="S"), ask("B", 1, WRAP, set_key="S"))
    quick = replace(LARGE, minutes=StageMinutes(make_up=100))
    choices = tuple(replace(each, lot_keys=("yoke lot",)) for each in (SMALL, WRAP, quick))
    found = mix(*asks, choices=choices, hours=HoursOffered(total_min=300))
    assert made(found)["B", "40 cm", "memorial"] == 1
    assert made(found)["A", "51 cm", "worn"] == 0


def test_matched_set_is_not_served_from_the_shelf() -> None:
    """Gowns on the shelf are not of one cloth, so a set is made new."""
    (line,) = mix(ask("A", 2, set_key="S"), supplies=(stock(5, 0),)).lines
    assert line.make_count == 2


def test_size_without_a_design_is_said() -> None:
    """A size no design is made for is proposed as none, with the reason, alone or in a set."""
    found = mix(ask("A", 2), choices=(LARGE,))
    (line,) = found.lines
    assert (line.design_key, line.make_count, reason_codes(line)) == (None, 0, ["asked", "no_design"])
    (line,) = mix(ask("A", 2, set_key="S"), choices=(LARGE,)).lines
    assert reason_codes(line) == ["asked", "no_design"]


def test_safety_stock_comes_last() -> None:
    """A size asked once a month keeps three ready, two beside the one asked, but only of hours left over."""
    demands = (PastDemand(size_name="40 cm", monthly_mean=1.0),)
    (line,) = mix(ask("A", 1), demands=demands).lines
    assert (line.make_count, line.safety_count, line.asked_count) == (3, 2, 1)
    assert dict(line.reasons[1].values) == {"kept": 2, "mean": 1.0}
    short = mix(ask("A", 1), ask("A", 1, LARGE), demands=demands, hours=HoursOffered(total_min=500))
    assert [line.safety_count for line in short.lines] == [0, 0]


def test_safety_stock_of_a_size_nobody_asks_now() -> None:
    """A rare size is kept ready in a month nobody asks for it; what lies there counts; without means no line."""
    demands = (PastDemand(size_name="51 cm", monthly_mean=0.5),)
    _, kept = mix(ask("A", 1), demands=demands).lines
    assert (kept.size_name, kept.asked_count, kept.make_count) == ("51 cm", 0, 2)
    there = mix(ask("A", 1), demands=demands, supplies=(stock(2, 0, LARGE),))
    assert len(there.lines) == 1


IMPOSSIBLE: dict[str, dict[str, Any]] = {
    "40 cm, worn": {"supplies": (stock(-1, 0),)},
    "share of 1.1": {"supplies": (stock(0, 1, share_passed=1.1),)},
    "yoke, 40 cm": {"choices": (replace(SMALL, cloth_mm2=float("nan")),)},
    "lot yoke lot": {"cloth": (replace(CLOTH[0], area_mm2=-1.0),)},
    "lot yoke lot stands there 2 times": {"cloth": (CLOTH[0], CLOTH[0])},
    "design yoke, 40 cm, worn stands": {"choices": (SMALL, SMALL)},
    "hours offered": {"hours": HoursOffered(total_min=float("nan"))},
}


@pytest.mark.parametrize("named", IMPOSSIBLE)
def test_what_cannot_be_meant_is_named(named: str) -> None:
    """Counts, shares, areas and hours that cannot be meant are refused with one error that names where."""
    with pytest.raises(CannotPropose, match=named):
        mix(ask("A", 2), **IMPOSSIBLE[named])


def test_asks_that_cannot_be_meant_name_the_ward() -> None:
    """A count below none, or no ward, is refused."""
    with pytest.raises(CannotPropose, match="ward 'A', 40 cm"):
        mix(ask("A", -1))


def test_a_share_that_is_no_number_is_refused() -> None:
    """A share passed that is not a number never reaches the sums."""
    supply = GownSupply(
        size_name="40 cm", purpose="worn", shelf_count=0, out_count=1, share_passed=float("nan")
    )
    with pytest.raises(CannotPropose, match="40 cm"):
        mix(ask("A", 2), supplies=(supply,))


def test_ends_of_lots_too_short_for_a_gown_are_no_cloth() -> None:
    """Three ends of four, pooled, would hold a gown of six; none of them does, so cloth is what ran out."""
    lots = tuple(ClothRoom(lot_key=key, area_mm2=10.0) for key in "xyz")
    choice = replace(SMALL, lot_keys=("x", "y", "z"), cloth_mm2=6.0)
    found = mix(ask("A", 5), cloth=lots, choices=(choice,))
    (line,) = found.lines
    assert (line.make_count, reason_codes(line)) == (3, ["asked", "cloth_ran_out"])
