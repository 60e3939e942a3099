"""The benchmark's lines about kit sheets."""

import re

from gowngroup.printing.benchmark import kit_sheet_times, sheet_section
from tests.printing.conftest import MAKE_KIT


def test_one_line_for_each_design(make_kit: MAKE_KIT) -> None:
    """Two kits of one design give one line, with milliseconds a page and the number of pages."""
    make_kit()
    make_kit()
    said: list[str] = []
    sheet_section(said.append)
    _heading, line = said
    assert re.fullmatch(r"kit sheet, Panel gown: \d+ ms a page, 2 pages", line)


def test_nothing_to_measure(db: None) -> None:
    """Without kits it says so."""
    assert list(kit_sheet_times()) == ["kit sheet: there are no kits to print yet"]
