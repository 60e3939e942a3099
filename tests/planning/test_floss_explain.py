"""Where the numbers of floss come from, step by step."""

from dataclasses import replace
from math import ceil

import pytest

from gowngroup.planning.figures import FIGURES
from gowngroup.planning.floss import (
    RowFloss,
    Step,
    cuts_reckoning,
    floss_reckoning,
    row_floss,
    skeins_reckoning,
)
from gowngroup.planning.smocking import ChartRow, compile_row
from tests.planning.smocking_cast import BABY_WAVE, CABLE, FLOSS, PROFILE, TRELLIS, wave

PITCH_MM = 6.35 / 3
ROWS = [CABLE, BABY_WAVE, TRELLIS, wave(2), replace(BABY_WAVE, start="left")]


def steps_of(row: ChartRow, *, pleats: int = 74) -> dict[str, Step]:
    """The steps of a row of a panel by name."""
    steps = floss_reckoning(
        compile_row(row, pleats, PROFILE), pitch_mm=PITCH_MM, profile=PROFILE, rules=FLOSS
    )
    return {step.name: step for step in steps}


def written(row: ChartRow, *, pleats: int = 74) -> RowFloss:
    return row_floss(
        compile_row(row, pleats, PROFILE), pitch_mm=PITCH_MM, take_up_mm=PROFILE.take_up_mm, rules=FLOSS
    )


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.name} {row.start}")
def test_the_steps_end_at_the_planned_numbers(row: ChartRow) -> None:
    """The explained length and needlefuls are those the plan has."""
    steps, floss = steps_of(row), written(row)
    assert steps["row_length"].value == pytest.approx(floss.length_mm)
    assert steps["row_needlefuls"].value == floss.needlefuls


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.name} {row.start}")
def test_stitches_times_their_floss_are_the_row(row: ChartRow) -> None:
    """The two kinds of stitch times their floss add up to the row's length."""
    steps = steps_of(row)
    level, slanting = map(int, steps["stitches"].formula.split(" + "))
    slant_mm = steps["slanting_stitch"].value if slanting else 0.0
    total_mm = level * steps["level_stitch"].value + slanting * slant_mm
    assert total_mm == pytest.approx(steps["row_length"].value)


def test_a_baby_wave_of_74_pleats_is_written_out() -> None:
    """u 6.35, R 3: 37 level and 36 slanting stitches, 352 and 343 mm in the halves, one needleful each (derived)."""
    steps = steps_of(BABY_WAVE)
    assert steps["level_stitch"].formula == "c × (2p + p + 2d) = 1 × (3 × 2.117 + 2 × 1.058)"
    assert steps["travel"].formula == "v = 0.5 × 9.525 ÷ 1"
    assert steps["stitches"].formula == "37 + 36"
    assert steps["row_needlefuls"].formula == "351.76 ÷ 357 ↑ + 343.3 ÷ 357 ↑"
    assert steps["row_needlefuls_heavy"].formula == "1.2 × 351.76 ÷ 357 ↑ + 1.2 × 343.3 ÷ 357 ↑"
    assert (steps["row_needlefuls"].value, steps["row_needlefuls_heavy"].value) == (2, 4)


def test_a_level_row_has_no_slanting_stitch() -> None:
    """Cable, stem and outline are explained by the level stitch alone."""
    assert "slanting_stitch" not in steps_of(CABLE)


def test_a_row_from_an_edge_is_one_sum() -> None:
    """A row started at the left is divided as a whole."""
    assert steps_of(replace(BABY_WAVE, start="left"))["row_needlefuls"].formula == "695.06 ÷ 357 ↑"


def test_a_group_that_ends_on_whole_stitches_is_told_why() -> None:
    """The rounding rests on the group's own figure."""
    rules = replace(FLOSS, ends_on_whole_stitch=True)
    steps = floss_reckoning(compile_row(CABLE, 74, PROFILE), pitch_mm=PITCH_MM, profile=PROFILE, rules=rules)
    assert steps[-2].source_key == "floss_ends_on_whole_stitch"


def test_cuts_are_needlefuls_parted() -> None:
    """Twelve needlefuls of three strands and a spare one take seven cuts."""
    rows = [replace(written(BABY_WAVE), row_name=str(number)) for number in range(6)]
    steps = cuts_reckoning(rows, replace(FLOSS, spare_needlefuls=1))
    assert [(step.name, step.value) for step in steps] == [
        ("needlefuls", 12),
        ("spare_needlefuls", 1),
        ("needlefuls_per_cut", 2),
        ("cuts", 7),
    ]


def test_cuts_of_unlike_strands_are_explained_apart() -> None:
    """Rows of two and of three strands never share a cut."""
    with pytest.raises(ValueError, match="equal strands"):
        cuts_reckoning([written(CABLE), written(replace(CABLE, strand_count=2))], FLOSS)


@pytest.mark.parametrize(("spare", "cuts", "skeins"), [(0, 144, 9), (1, 168, 10)])
def test_skeins_are_cuts_rounded_up(spare: int, cuts: int, skeins: int) -> None:
    """Twenty-four kits of six cuts take nine skeins, with a spare cut each ten (derived)."""
    steps = skeins_reckoning([6] * 24, replace(FLOSS, spare_cuts=spare))
    assert [step.value for step in steps] == [spare, cuts, 17, skeins]


def test_every_source_is_a_figure() -> None:
    """What a step rests on can be looked up among the group's figures."""
    steps = [
        *(step for row in ROWS for step in steps_of(row).values()),
        *cuts_reckoning([written(CABLE)], FLOSS),
        *skeins_reckoning([1], FLOSS),
    ]
    assert {step.source_key for step in steps if step.source_key} <= {figure.key for figure in FIGURES}


@pytest.mark.parametrize("row", [CABLE, BABY_WAVE, TRELLIS])
def test_every_sum_comes_to_what_is_told(row: ChartRow) -> None:
    """Worked out again as it stands, each formula gives its value, as near as the figures written out allow."""
    sums = {name: step.formula.rpartition("= ")[2] for name, step in steps_of(row).items()}
    for name, told in sums.items():
        if any(letter.isdigit() for letter in told):
            assert steps_of(row)[name].value == pytest.approx(worked_out(told), rel=2e-3)


def worked_out(told: str) -> float:
    """A sum as it is written; with `↑` each of its parts is rounded up for itself."""
    if "↑" in told:
        return sum(ceil(worked_out(part.removesuffix("↑"))) for part in told.split(" + "))
    signs = told.replace("×", "*").replace("÷", "/").replace("−", "-")
    return float(eval(signs, {"__builtins__": {}}))  # noqa: S307 - our own sums
