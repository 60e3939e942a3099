"""The compiled stitches and floss against a smocker walking pleat by pleat."""

from dataclasses import replace
from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gowngroup.planning.floss import row_floss
from gowngroup.planning.smocking import CannotSmock, ChartRow, CompiledRow, Level, Move, Start, compile_row
from tests.planning.smocking_cast import CABLE, FLOSS, OUTLINE, PROFILE, STEM, tall, wave
from tests.planning.smocking_simulator import Cloth, Smocker, Stitch

PITCH_MM = Decimal("6.35") / 3
STEPS = range(1, 7)
PLEATS = range(20, 201, 2)
STARTS: tuple[Start, ...] = ("centre", "left", "right")
CENTRES: tuple[Level, ...] = ("bottom", "top")
WAYS = list(product(STARTS, CENTRES))


def walked(
    row: ChartRow, pleats: int, *, is_whole: bool = False, usable_mm: int = 357, half_spaces: int = 2
) -> Smocker:
    """The smocker's row over a full row space unless said, ratio 3, cuts of 457 mm unless said."""
    cloth = Cloth(
        pleats=pleats,
        pitch_mm=PITCH_MM,
        bite_mm=Decimal("6.35") / 6,
        step_rise_mm=Decimal("9.525") * half_spaces / 2 / max(row.steps, 1),
    )
    smocker = Smocker(
        cloth=cloth,
        steps=row.steps,
        usable_mm=Decimal(usable_mm),
        kind="wave" if row.stitch == "trellis" else row.stitch,
        start=row.start,
        is_centre_high=row.centre_at == "top" or row.first_thread == "above",
        ends_on_whole_stitch=is_whole,
    )
    return smocker.work_row()


def as_walked(move: Move, compiled: CompiledRow, half_spaces: int) -> Stitch:
    """A planner's stitch in the smocker's own way of counting."""
    centre, steps = compiled.pleat_count // 2, compiled.row.steps
    places = [p - centre + 1 if p >= centre else p - centre for p in (move.from_pleat, move.to_pleat)]
    lowest = 1 + half_spaces / 2
    heights = [(lowest - row) * steps * 2 / half_spaces for row in (move.from_row, move.to_row)]
    assert all(abs(height - round(height)) < 1e-6 for height in heights)
    return Stitch(
        from_place=places[0],
        to_place=places[1],
        from_height=round(heights[0]),
        to_height=round(heights[1]),
        thread=move.thread,
    )


def agrees(row: ChartRow, pleats: int, half_spaces: int = 2) -> bool:
    """Pleats used, turns, every stitch in its order, length and needlefuls are those of the walk."""
    compiled, smocker = compile_row(row, pleats, PROFILE), walked(row, pleats, half_spaces=half_spaces)
    floss = row_floss(compiled, pitch_mm=float(PITCH_MM), take_up_mm=PROFILE.take_up_mm, rules=FLOSS)
    return (
        compiled.used_pleat_count == smocker.pleats_used
        and sum(move.is_level for move in compiled.moves) == smocker.turns
        and [as_walked(move, compiled, half_spaces) for move in compiled.moves] == smocker.stitches
        and floss.length_mm == pytest.approx(float(smocker.length_mm), rel=1e-12)
        and floss.needlefuls == smocker.needlefuls
    )


@pytest.mark.parametrize("steps", STEPS)
def test_every_number_of_pleats_agrees_with_the_walk(steps: int) -> None:
    """From 20 to 200 pleats a row from the centre is, stitch by stitch, what the smocker sews."""
    assert [pleats for pleats in PLEATS if not agrees(wave(steps), pleats)] == []


@pytest.mark.parametrize("steps", [2, 3, 4])
def test_every_rise_a_trellis_may_have_agrees_with_the_walk(steps: int) -> None:
    """From half a space to one space a step, over 20 to 200 pleats, a trellis is what the smocker sews."""
    rises = range(1, 2 * steps + 1)
    rows = [(tall(steps, rise), rise, pleats) for rise in rises for pleats in range(20, 201, 10)]
    assert [(row.name, pleats) for row, rise, pleats in rows if not agrees(row, pleats, rise)] == []


@pytest.mark.parametrize(("start", "centre_at"), WAYS)
def test_tall_trellises_agree_with_the_walk_from_every_side(start: Start, centre_at: Level) -> None:
    """A trellis over one and a half to four spaces may start at an edge and have its middle stitch high."""
    shapes = [(2, 3), (3, 5), (4, 4), (4, 8)]
    rows = [(replace(tall(*shape), start=start, centre_at=centre_at), shape[1]) for shape in shapes]
    numbers = [(row, rise, pleats) for row, rise in rows for pleats in (20, 74, 112, 198)]
    assert [(row.name, pleats) for row, rise, pleats in numbers if not agrees(row, pleats, rise)] == []


@pytest.mark.parametrize(("start", "centre_at"), WAYS[1:])
def test_rows_from_an_edge_and_turned_over_agree_with_the_walk(start: Start, centre_at: Level) -> None:
    """A row may start at either edge and have its middle stitch high or low, over one to six steps."""
    rows = [replace(wave(steps), start=start, centre_at=centre_at) for steps in STEPS]
    numbers = [(row, pleats) for row in rows for pleats in range(20, 201, 14)]
    assert [(row.steps, pleats) for row, pleats in numbers if not agrees(row, pleats)] == []


@pytest.mark.parametrize("start", STARTS)
@pytest.mark.parametrize("row", [CABLE, STEM, OUTLINE], ids=lambda row: row.name)
def test_level_rows_agree_with_the_walk(row: ChartRow, start: Start) -> None:
    """Cable lies by turns above and below, stem and outline on their one side, from wherever they start."""
    rows = [replace(row, start=start), replace(row, start=start, first_thread="above")]
    chosen = rows if row.stitch == "cable" else rows[:1]
    assert all(agrees(each, pleats) for each in chosen for pleats in range(20, 201, 6))


@pytest.mark.parametrize("pleats", [21, 75, 199])
def test_no_odd_number_of_pleats_is_walked(pleats: int) -> None:
    """There is no centre valley between an odd number of pleats."""
    with pytest.raises(CannotSmock):
        compile_row(wave(1), pleats, PROFILE)


@pytest.mark.parametrize("steps", STEPS)
def test_ending_on_whole_stitches_agrees_with_the_walk(steps: int) -> None:
    """A group may count needlefuls by whole stitches; then no stitch is begun with too little thread."""
    rules = replace(FLOSS, ends_on_whole_stitch=True)
    for pleats in range(20, 201, 6):
        row = wave(steps)
        floss = row_floss(
            compile_row(row, pleats, PROFILE),
            pitch_mm=float(PITCH_MM),
            take_up_mm=PROFILE.take_up_mm,
            rules=rules,
        )
        assert floss.needlefuls == walked(row, pleats, is_whole=True).needlefuls


@settings(max_examples=40)
@given(
    half_pleats=st.integers(10, 100),
    steps=st.integers(1, 6),
    way=st.sampled_from(WAYS),
    cut_mm=st.integers(300, 900),
)
def test_any_cut_agrees_with_the_walk(
    half_pleats: int, steps: int, way: tuple[Start, Level], cut_mm: int
) -> None:
    """Needlefuls agree with the walk at any cut length."""
    row = replace(wave(steps), start=way[0], centre_at=way[1])
    smocker = walked(row, 2 * half_pleats, usable_mm=cut_mm - 100)
    floss = row_floss(
        compile_row(row, 2 * half_pleats, PROFILE),
        pitch_mm=float(PITCH_MM),
        take_up_mm=PROFILE.take_up_mm,
        rules=replace(FLOSS, cut_mm=float(cut_mm)),
    )
    assert floss.needlefuls == smocker.needlefuls
