"""The benchmark's lines about kit sheets."""

import re

import pytest

from gowngroup.printing import benchmark
from tests.printing.conftest import MAKE_KIT


def test_three_ways_side_by_side(make_kit: MAKE_KIT, monkeypatch: pytest.MonkeyPatch) -> None:
    """A line for each design, then the ways as ratios, once with the kits' own charts and once with full ones."""
    for name, value in {"SHEETS": 1, "NAIVE_SHEETS": 1, "WARM_UP": 0}.items():
        monkeypatch.setattr(benchmark, name, value)
    make_kit()
    said: list[str] = []
    benchmark.sheet_section(said.append)
    assert re.fullmatch(r"kit sheet, Panel gown: \d+ ms a page, \d pages, \d+ ms in all", said[1])
    for table in (said[2:9], said[9:16]):
        assert [line[:3] for line in table[2:5]] == ["(a)", "(b)", "(c)"]
        assert re.match(r"\(a\) to \(b\), time of the whole: \d+\.\d\d", table[5])
        assert re.match(r"\(a\) to \(c\), time a page: 1/\d+\.\d", table[6])


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
