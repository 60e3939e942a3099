"""The pleating guide and the stages of a kit sheet, asked without paper."""

from dataclasses import replace
from importlib import import_module

import pytest

from gowngroup.catalog import starting
from gowngroup.catalog.planner import GownNeed
from gowngroup.people.models import Group
from gowngroup.planning.figures import default_values
from gowngroup.planning.smocking import PleaterProfile
from gowngroup.printing.planner import kit_sheet
from gowngroup.printing.planner.kit_guide import printed_guide
from gowngroup.printing.planner.kit_stages import steps_of_stage
from gowngroup.records.reader import Reader, reading_as
from gowngroup.records.written import known
from tests.printing.conftest import MAKE_KIT

PLEATER = PleaterProfile.from_figures(default_values())
ROUND = (
    "Hem the sleeves.", "Sew the raglan seams.", "Pleat the strip.", "Find the centre between two pleats.",
    "Smock from the chart.", "Block the smocking.", "Draw out the pleating threads.", "Bind the neck.", "Hem the back.",
)  # fmt: skip


@pytest.fixture
def need(make_kit: MAKE_KIT) -> GownNeed:
    """What one gown of the small design needs."""
    return kit_sheet(make_kit()).need


def test_guide_says_where_row_1_lies_and_what_the_bar_measures(need: GownNeed) -> None:
    """With the cut edge known, row 1 lies so far below it; the bar is 5 cm, or 2 in for who reads inches."""
    guide = printed_guide(need, PLEATER, first_row_mm=16.0)
    assert guide is not None
    edge_y = float(guide.cut_edge.split()[1].split("H")[0])
    row_1_y = float(guide.rows.split()[1].split("H")[0])
    assert row_1_y - edge_y == pytest.approx(16.0, abs=0.01)
    assert "cut edge" in {word.text for word in guide.words}
    assert (guide.bar_mm, guide.scale) == (50.0, 1.0)
    with reading_as(Reader(length_unit="in")):
        inches = printed_guide(need, PLEATER, first_row_mm=None)
    assert inches is not None
    assert (inches.bar_mm, inches.cut_edge) == (50.8, "")
    assert "2 in" in inches.caption


def test_guide_too_tall_for_a_page_is_half_as_large(need: GownNeed) -> None:
    """Twenty-four rows are drawn at half of true size, and the guide says so."""
    assert need.pleating is not None
    tall = replace(need, pleating=replace(need.pleating, row_count=24, design_row_count=22))
    guide = printed_guide(tall, PLEATER, first_row_mm=None)
    assert guide is not None
    assert guide.scale == 0.5
    assert guide.height_mm < 160
    assert guide.caption.startswith("Half of true size.")


def test_nothing_to_pleat_has_no_guide(need: GownNeed) -> None:
    """A gown without smocking has none."""
    assert printed_guide(replace(need, pleating=None), PLEATER, first_row_mm=None) is None


@pytest.mark.parametrize(
    ("stage", "first", "last"),
    [("whole", 0, 9), ("pleat", 0, 4), ("smock", 4, 7), ("make up", 7, 9)],
)
def test_steps_are_told_apart_by_their_words(stage: str, first: int, last: int) -> None:
    """What comes before smocking is the pleater's, what speaks of smocking or pleats after it the smocker's."""
    assert steps_of_stage(stage, ROUND) == ROUND[first:last]


@pytest.mark.parametrize(
    ("steps", "ends"), [(starting.ROUND_NECK_STEPS, [4, 7]), (starting.YOKE_STEPS, [1, 3])]
)
def test_designs_of_old_are_told_their_stages(steps: tuple[str, ...], ends: list[int]) -> None:
    """The migration finds by their words the stages that the starting designs now say themselves."""
    migration = import_module("gowngroup.catalog.migrations.0008_say_where_the_stages_of_a_design_end")
    assert migration.told_by_words(list(steps)) == ends
    assert migration.told_by_words(["Cut.", "Sew."]) == []


@pytest.mark.parametrize(("stage", "told"), [("pleat", "ab"), ("smock", "c"), ("make up", "de")])
def test_steps_whose_stages_are_told(stage: str, told: str) -> None:
    """Where a design says after which steps a stage ends, its words may be in any language."""
    assert steps_of_stage(stage, tuple("abcde"), (2, 3)) == tuple(told)


@pytest.mark.parametrize("stage", ["pleat", "smock", "make up"])
@pytest.mark.parametrize("steps", [starting.ROUND_NECK_STEPS, starting.YOKE_STEPS])
def test_steps_are_told_apart_in_spanish_as_in_english(steps: tuple[str, ...], stage: str) -> None:
    """The steps a catalog starts with end and begin at the same place in either language, whoever reads."""
    found = steps_of_stage(stage, steps)
    with reading_as(Reader(language="es")):
        assert steps_of_stage(stage, steps) == found != steps
        assert steps_of_stage(stage, [known(step) for step in steps]) == tuple(known(step) for step in found)


def test_stage_without_a_pick_up_place_names_none(make_kit: MAKE_KIT, group: Group) -> None:
    """Where the group has not said where kits are brought, the sheet only says to whom it goes on."""
    assert "Bring it to" not in kit_sheet(make_kit(stage="pleat")).goes_out
    assert kit_sheet(make_kit()).goes_out == ""


def test_spare_pleats_call_for_the_whole_chart(make_kit: MAKE_KIT) -> None:
    """Where the sides differ from the middle the whole chart is printed, else only where there is room."""
    sheet = kit_sheet(make_kit())
    assert sheet.chart is not None
    assert not sheet.chart.needs_strip
    row = sheet.chart.compiled.rows[0]
    spare = replace(row, used_pleat_count=row.used_pleat_count - 4)
    assert replace(sheet.chart, compiled=replace(sheet.chart.compiled, rows=(spare,))).needs_strip
