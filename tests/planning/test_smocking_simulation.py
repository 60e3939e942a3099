"""The compiled stitches and floss against a smocker walking pleat by pleat."""

from dataclasses import replace
from decimal import Decimal
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gowngroup.planning.floss import row_floss
from gowngroup.planning.smocking import CompiledRow, Move, compile_row
from tests.planning.smocking_cast import FLOSS, PROFILE, wave
from tests.planning.smocking_simulator import Cloth, Smocker, Stitch

PITCH_MM = Decimal("6.35") / 3
STEPS = range(1, 7)
PLEATS = range(20, 201, 2)


@cache
def walked(pleats: int, steps: int) -> Smocker:
    """The smocker's row over a full row space, ratio 3, cuts of 457 mm."""
    cloth = Cloth(
        pleats=pleats,
        pitch_mm=PITCH_MM,
        bite_mm=Decimal("6.35") / 6,
        step_rise_mm=Decimal("9.525") / steps,
    )
    return Smocker(cloth=cloth, steps=steps, usable_mm=Decimal(357)).work_row()


@cache
def compiled(pleats: int, steps: int) -> CompiledRow:
    """The planner's row, the centre turn at the bottom."""
    return compile_row(wave(steps), pleats, PROFILE)


def as_walked(move: Move, pleats: int, steps: int) -> Stitch:
    """A planner's stitch in the smocker's own way of counting."""
    centre = pleats // 2
    places = [p - centre + 1 if p >= centre else p - centre for p in (move.from_pleat, move.to_pleat)]
    heights = [round((2 - row) * steps, 6) for row in (move.from_row, move.to_row)]
    assert all(height == int(height) for height in heights)
    return Stitch(
        from_place=places[0],
        to_place=places[1],
        from_height=int(heights[0]),
        to_height=int(heights[1]),
        thread=move.thread,
    )


@pytest.mark.parametrize("steps", STEPS)
def test_pleats_used_agree_with_the_walk(steps: int) -> None:
    """A row uses as many pleats as the smocker's needle goes through."""
    for pleats in PLEATS:
        assert compiled(pleats, steps).used_pleat_count == walked(pleats, steps).pleats_used


@pytest.mark.parametrize("steps", STEPS)
def test_turns_agree_with_the_walk(steps: int) -> None:
    """A row has as many level stitches as the smocker makes."""
    for pleats in PLEATS:
        turns = sum(move.is_level for move in compiled(pleats, steps).moves)
        assert turns == walked(pleats, steps).turns


@pytest.mark.parametrize("steps", STEPS)
def test_every_stitch_agrees_with_the_walk(steps: int) -> None:
    """Pleats, heights and side of the thread agree stitch by stitch, in the order worked."""
    for pleats in PLEATS:
        stitches = [as_walked(move, pleats, steps) for move in compiled(pleats, steps).moves]
        assert stitches == walked(pleats, steps).stitches


@pytest.mark.parametrize("steps", STEPS)
def test_thread_length_agrees_with_the_walk(steps: int) -> None:
    """The floss of a row is the sum of what the smocker draws stitch by stitch."""
    for pleats in PLEATS:
        floss = row_floss(
            compiled(pleats, steps), pitch_mm=float(PITCH_MM), take_up_mm=PROFILE.take_up_mm, rules=FLOSS
        )
        assert floss.length_mm == pytest.approx(float(walked(pleats, steps).length_mm), rel=1e-12)


@pytest.mark.parametrize("steps", STEPS)
def test_needlefuls_agree_with_the_walk(steps: int) -> None:
    """Needlefuls are counted as the smocker threads the needle, each half on its own."""
    for pleats in PLEATS:
        floss = row_floss(
            compiled(pleats, steps), pitch_mm=float(PITCH_MM), take_up_mm=PROFILE.take_up_mm, rules=FLOSS
        )
        assert floss.needlefuls == walked(pleats, steps).needlefuls


@given(
    half_pleats=st.integers(10, 100),
    steps=st.integers(1, 6),
    pitch_hundredths=st.integers(120, 320),
    cut_mm=st.integers(300, 900),
)
def test_any_pitch_and_cut_agree_with_the_walk(
    half_pleats: int, steps: int, pitch_hundredths: int, cut_mm: int
) -> None:
    """Length and needlefuls agree with the walk at any pitch and cut length."""
    cloth = replace(walked(half_pleats * 2, steps).cloth, pitch_mm=Decimal(pitch_hundredths) / 100)
    smocker = Smocker(cloth=cloth, steps=steps, usable_mm=Decimal(cut_mm - 100)).work_row()
    floss = row_floss(
        compiled(half_pleats * 2, steps),
        pitch_mm=pitch_hundredths / 100,
        take_up_mm=PROFILE.take_up_mm,
        rules=replace(FLOSS, cut_mm=float(cut_mm)),
    )
    assert floss.needlefuls == smocker.needlefuls
    assert floss.length_mm == pytest.approx(float(smocker.length_mm), rel=1e-12)
