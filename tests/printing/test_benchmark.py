"""The benchmark's lines about kit sheets."""

import re

import pytest

from gowngroup.catalog.models import DesignRevision
from gowngroup.printing import benchmark
from gowngroup.printing.planner import kit_sheet
from tests.printing.conftest import MAKE_KIT


def test_three_ways_side_by_side(
    make_kit: MAKE_KIT, revision: DesignRevision, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A line for each design, then the ways as ratios; without smocked kits there are none with full charts."""
    for name, value in {"SHEETS": 1, "NAIVE_SHEETS": 1, "WARM_UP": 0}.items():
        monkeypatch.setattr(benchmark, name, value)
    revision.chart = None
    revision.save()
    make_kit()
    said: list[str] = []
    benchmark.sheet_section(said.append)
    assert re.fullmatch(r"kit sheet, Panel gown: \d+ ms a page, \d pages, \d+ ms in all", said[1])
    assert said[2] == "1 kit sheets with their own charts"
    table = said[2:]
    assert [line[:3] for line in table[2:5]] == ["(a)", "(b)", "(c)"]
    assert re.match(r"\(a\) to \(b\), time of the whole: \d+\.\d\d", table[5])
    assert re.match(r"\(a\) to \(c\), time a page: 1/\d+\.\d", table[6])
    assert len(table) == 7


def test_a_full_chart_is_the_most_a_sheet_must_hold(make_kit: MAKE_KIT) -> None:
    """Smocked kits get twelve rows over 126 pleats, 1,500 stitches, in their plans in memory; nothing is stored."""
    kit = make_kit()
    (full,) = benchmark._full(benchmark._kits())
    smocking = kit_sheet(full).need.smocking
    assert smocking is not None
    assert (len(smocking.rows), smocking.pleat_count, smocking.move_count) == (12, 126, 1500)
    assert kit_sheet(kit).need.smocking != smocking


def test_the_naive_way_draws_each_stitch() -> None:
    """A run of three stitches becomes three lines that look like the run; all else stays as it is."""
    path = '<path class="x" d="M1 2L3 4L5 6.5L7 8M0 0v9" stroke="black"/>'
    chart, other = f'<svg class="chart-drawing">{path}</svg>', f"<svg>{path}</svg>"
    lines = "".join(
        f'<line class="x" x1="{a}" y1="{b}" x2="{c}" y2="{d}" stroke="black"/>'
        for a, b, c, d in (("1", "2", "3", "4"), ("3", "4", "5", "6.5"), ("5", "6.5", "7", "8"))
    )
    whole = '<path class="x" d="M0 0v9" stroke="black"/>'
    assert benchmark.naively_set(chart + other) == f'<svg class="chart-drawing">{lines}{whole}</svg>{other}'


def test_nothing_to_measure(db: None) -> None:
    """Without kits it says so."""
    assert list(benchmark.kit_sheet_times()) == ["kit sheet: there are no kits to print yet"]
