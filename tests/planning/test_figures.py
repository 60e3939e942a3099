"""Every figure the planner reads is listed with a use, and no use names a figure there is not."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import gowngroup
from gowngroup.planning.figures import FIGURES
from gowngroup.planning.figures.uses import USES, uses_of

SOURCES = tuple(Path(gowngroup.__file__).parent.rglob("*.py"))
BY_NAME = re.compile(r"figures\[\s*\"([a-z0-9_]+)\"\s*\]")


def keys_in_rules(source: str) -> Iterator[str]:
    """The keys that a `from_figures` takes out of the figures given to it."""
    for function in ast.walk(ast.parse(source)):
        if isinstance(function, ast.FunctionDef) and function.name == "from_figures":
            for node in ast.walk(function):
                if isinstance(node, ast.Subscript) and isinstance(node.slice, ast.Constant):
                    yield str(node.slice.value)


def test_every_figure_has_a_use() -> None:
    """No figure stands in the list that nothing is said to use, and no use names a figure there is not."""
    keys = {figure.key for figure in FIGURES}
    assert [key for key in keys if not uses_of(key)] == []
    assert {key for used in USES.values() for key in used} <= keys


def test_every_figure_read_by_the_planner_is_listed() -> None:
    """Whatever is read by key, by the planner or for it, can be found and changed on the page of figures."""
    texts = [path.read_text() for path in SOURCES]
    read = {key for text in texts for key in (*keys_in_rules(text), *BY_NAME.findall(text))}
    assert len(read) > 40
    assert sorted(read - {figure.key for figure in FIGURES}) == []
