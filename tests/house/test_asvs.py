"""The table of what a published standard asks of a safe application: whole, and naming tests that are really run."""

import ast
import re
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest
from django.conf import settings

ROOT = Path(settings.BASE_DIR)
TABLE = Path(__file__).with_name("asvs.md")
TEST = re.compile(r"`(tests/[\w/]+\.py)::(\w+)`")
WITHOUT = ("does not apply", "not shown")
# OWASP ASVS 5.0.0, how many requirements of level 1 each section has, counted in the list the standard is published as.
LEVEL_1 = {
    "1.2": 5, "1.3": 2, "1.5": 1, "2.1": 1, "2.2": 2, "2.3": 1, "3.2": 2, "3.3": 1, "3.4": 2, "3.5": 3, "4.1": 1,
    "4.4": 1, "5.2": 2, "5.3": 2, "6.1": 1, "6.2": 8, "6.3": 2, "6.4": 2, "7.2": 4, "7.4": 2, "8.1": 1, "8.2": 2,
    "8.3": 1, "9.1": 3, "9.2": 1, "10.4": 5, "11.3": 2, "11.4": 1, "12.1": 1, "12.2": 2, "13.4": 1, "14.2": 1,
    "14.3": 1, "15.1": 1, "15.2": 1, "15.3": 1,
}  # fmt: skip


class Asked(NamedTuple):
    """One row of the table."""

    number: str
    what: str
    shown: str


def rows() -> list[Asked]:
    found = re.findall(r"^\| (\d+\.\d+\.\d+) \| (.+?) \| (.+) \|$", TABLE.read_text(), flags=re.MULTILINE)
    return [Asked(*each) for each in found]


@cache
def run_in(name: str) -> set[str]:
    """The tests pytest collects from a file and runs whenever everything runs; those asked for by a marker are not among them."""
    path = ROOT / name
    if not path.name.startswith("test_") or not path.exists():
        return set()
    functions = [node for node in ast.parse(path.read_text()).body if isinstance(node, ast.FunctionDef)]
    return {
        node.name
        for node in functions
        if node.name.startswith("test_") and not any(map(_is_left_out, node.decorator_list))
    }


def _is_left_out(mark: ast.expr) -> bool:
    return bool(re.match(r"pytest\.mark\.(matrix|skip\b|xfail)", ast.unparse(mark)))


def test_every_requirement_stands_in_the_table_once() -> None:
    """As many of each section as the standard has, none twice, in its order."""
    numbers = [row.number for row in rows()]
    sections = [number.rsplit(".", 1)[0] for number in numbers]
    assert {section: sections.count(section) for section in sections} == LEVEL_1
    assert sum(LEVEL_1.values()) == len(set(numbers)) == 70
    assert numbers == sorted(numbers, key=lambda number: [int(part) for part in number.split(".")])


def test_each_is_shown_or_says_why_not() -> None:
    """A row names a test, or says that the requirement does not apply or is not shown, and why."""
    bare = [
        row.number
        for row in rows()
        if not TEST.search(row.shown) and not re.search(rf"\*\*({'|'.join(WITHOUT)})\*\*: \w", row.shown)
    ]
    assert bare == []


def test_every_test_named_is_run() -> None:
    """No name leads to nothing, nor to a test that is left out."""
    named = TEST.findall(TABLE.read_text())
    assert len(named) > 70
    assert [f"{file}::{name}" for file, name in named if name not in run_in(file)] == []


@pytest.mark.parametrize(
    ("file", "name"),
    [
        ("tests/house/test_asvs.py", "test_that_is_not_there"),
        ("tests/house/test_no_such_file.py", "test_anything"),
        ("tests/deliveries/test_killed_server.py", "test_five_killed_servers"),
        ("tests/race.py", "at_once"),
    ],
)
def test_a_name_that_leads_to_nothing_is_seen(file: str, name: str) -> None:
    """Negative control: a test that is not there, that is only run when asked for, or that is none."""
    assert name not in run_in(file)
