"""The strip pleated all round the neck, against the group's table of sizes."""

from dataclasses import replace

import pytest

from gowngroup.planning.drafting import CannotDraft
from gowngroup.planning.drafting.strip import Yoke, fitting_pleat_count
from gowngroup.planning.sizes import SizeBand
from tests.planning.drafts import drafted
from tests.planning.round_necks import (
    RULES,
    TAKE_UP_MM,
    WITH_ARMHOLES,
    gown_up_to,
    round_neck,
    size_up_to,
    strip_of,
)

# chest in cm, pleats round the neck, finished neck in cm; derived, from the group's handbook.
TABLE = (
    (19, 98, 12.8),
    (21, 98, 13.8),
    (23, 98, 14.9),
    (26, 122, 16.5),
    (28, 122, 17.6),
    (30, 146, 18.7),
    (33, 146, 20.3),
    (35.5, 146, 21.7),
)


def size_of_chest(chest_cm: float) -> SizeBand:
    """An invented size of this chest, otherwise as the one to 1,500 g."""
    return replace(size_up_to(1500), chest_mm=chest_cm * 10)


@pytest.mark.parametrize(("chest_cm", "pleat_count", "neck_cm"), TABLE)
def test_pleats_and_neck_agree_with_the_table(chest_cm: float, pleat_count: int, neck_cm: float) -> None:
    """Each chest gives the pleat count and the finished neck of the handbook's table."""
    strip = strip_of(round_neck(size_of_chest(chest_cm)))
    assert strip.pleat_count == pleat_count
    assert strip.neck.finished_mm / 10 == pytest.approx(neck_cm, abs=0.05)


def test_the_worked_example() -> None:
    """From 1,000 to 1,500 g the flat strip is 81 cm, and 4.7 lengths make one at the neck, 2.4 in the last row."""
    strip = strip_of(gown_up_to(1500))
    assert strip.flat_mm / 10 == pytest.approx(81, abs=0.5)
    assert strip.neck.cloth_ratio == pytest.approx(4.7, abs=0.05)
    assert strip.rows[-1].cloth_ratio == pytest.approx(2.4, abs=0.05)


@pytest.mark.parametrize("size", WITH_ARMHOLES, ids=lambda size: size.name)
def test_every_row_has_its_own_pitch(size: SizeBand) -> None:
    """Rows lie a row space apart from 6 mm down, and pitch times pleats is the finished length, growing downwards."""
    strip = strip_of(round_neck(size))
    assert [row.depth_mm for row in strip.rows] == pytest.approx(
        [6 + 9.525 * index for index in range(4 if (size.chest_mm or 0) < 240 else 5)]
    )
    for above, row in zip((strip.neck, *strip.rows), strip.rows, strict=False):
        assert row.pitch_mm * strip.pleat_count == pytest.approx(row.finished_mm)
        assert row.pitch_mm > above.pitch_mm
        assert row.number == above.number + 1


@pytest.mark.parametrize("size", WITH_ARMHOLES, ids=lambda size: size.name)
def test_pleats_are_shared_out_whole(size: SizeBand) -> None:
    """Front, backs and sleeves take whole pleats, the front an even number, and leave none over."""
    strip = strip_of(round_neck(size))
    assert strip.front_pleat_count % 2 == 0
    shared = strip.front_pleat_count + 2 * strip.sleeve_pleat_count + 2 * strip.back_pleat_count
    assert shared == strip.pleat_count
    assert strip.pleat_count % 24 == 2


@pytest.mark.parametrize(("chest_cm", "row_count"), [(23.9, 4), (24.0, 5)])
def test_a_chest_under_24_cm_has_a_row_less(chest_cm: float, row_count: int) -> None:
    """Four rows below a chest of 24 cm, five from there on, of a round neck as of a panel (the group's handbook)."""
    size = size_of_chest(chest_cm)
    panel = drafted("yoke", size).panel
    assert panel is not None
    assert (len(strip_of(round_neck(size)).rows), len(panel.rows)) == (row_count, row_count)


@pytest.mark.parametrize("front_share", [0.3, 0.36, 0.41])
def test_a_front_of_another_share_keeps_its_valley(front_share: float) -> None:
    """Whatever share the group gives the front, its pleats are even, so that its middle lies in a valley."""
    strip = strip_of(round_neck(size_up_to(1500), rules=replace(RULES, front_share=front_share)))
    assert strip.front_pleat_count % 2 == 0
    assert strip.front_pleat_count == pytest.approx(front_share * 122, abs=1)


def test_a_row_widens_evenly_to_the_shoulders() -> None:
    """Half way down to the shoulder girth a row measures the mean of neck and shoulders."""
    yoke = Yoke(neck_mm=160, shoulder_girth_mm=360, shoulder_depth_mm=50)
    assert [yoke.girth_mm(depth_mm) for depth_mm in (0, 25, 50)] == [160, 260, 360]


@pytest.mark.parametrize(
    ("last_row_mm", "pleat_count"), [(330, 122), (300, 122), (276, 98), (345, 146), (1, 2)]
)
def test_the_nearest_fitting_pleat_count(last_row_mm: float, pleat_count: int) -> None:
    """The count is the one of 2, 26, ... 98, 122, 146 nearest to 2.5 lengths of cloth in the last row."""
    found = fitting_pleat_count(neck_mm=200, last_row_mm=last_row_mm, take_up_mm=TAKE_UP_MM, rules=RULES)
    assert found == pleat_count


def test_a_step_fewer_pleats_spare_a_crowded_neck() -> None:
    """At 6 mm a pleat 146 would crowd the neck to 1.13 mm; 122 leave 1.36 and 2.2 lengths in the last row."""
    strip = strip_of(round_neck(size_up_to(1500), take_up_mm=6.0))
    assert strip.pleat_count == 122
    assert strip.rows[-1].cloth_ratio == pytest.approx(2.23, abs=0.01)


def test_a_fine_pleater_crowds_the_neck() -> None:
    """A pleater that takes up 5 mm would crowd the neck below 1.2 mm a pleat: refused."""
    with pytest.raises(CannotDraft, match=r"least_pitch_mm 1\.2") as refusal:
        round_neck(size_up_to(1500), take_up_mm=5.0)
    assert refusal.value.code == "pleats_too_close"


@pytest.mark.parametrize(
    ("pleats", "code"), [(74, "cloth_ratio"), (146, "pleats_too_close"), (121, "uneven_pleats")]
)
def test_pleat_counts_that_do_not_suit_are_refused(pleats: int, code: str) -> None:
    """Too few pleats leave the last row sparse, too many crowd the neck, and an odd number has no centre."""
    with pytest.raises(CannotDraft) as refusal:
        round_neck(size_up_to(1500), overrides={"pleat_count": pleats})
    assert refusal.value.code == code


def test_pieces_need_pleats_of_their_own() -> None:
    """A front that takes nearly all pleats leaves none for the backs: refused."""
    with pytest.raises(CannotDraft) as refusal:
        round_neck(size_up_to(1500), rules=replace(RULES, front_share=0.66))
    assert refusal.value.code == "too_few_pleats"


def test_the_hem_of_the_opening_holds_the_pleats_unpicked_there() -> None:
    """With 9 mm to a pleat three spare ones are 27 mm, of which 15 lie in the overlap: 12 mm of hem, not the usual 10."""
    draft = round_neck(size_up_to(1500), take_up_mm=9.0)
    assert strip_of(draft).spare_pleat_count == 3
    assert draft.piece("back").edge("centre_back").allowance_mm == pytest.approx(12)
