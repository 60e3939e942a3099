"""Planning values come back from plain data as they were, or are refused."""

import json
from dataclasses import dataclass
from fractions import Fraction

import pytest

from gowngroup.planning.plain_data import Json, plain, value_of
from gowngroup.planning.smocking import compile_chart, compiled_from_document, compiled_to_document
from tests.planning.smocking_cast import BABY_WAVE, CABLE, OUTLINE, PROFILE, TRELLIS, chart_of


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    height: Fraction
    corner: tuple[float, float]
    names: tuple[str, ...] = ()
    count: int | None = None


PLACE = _Place(height=Fraction(5, 2), corner=(1.5, 2.0), names=("a", "b"))
STORED = {"height": "5/2", "corner": [1.5, 2.0], "names": ["a", "b"], "count": None}


def test_values_come_back() -> None:
    """A value goes through JSON and comes back equal, fractions and tuples too."""
    assert plain(PLACE) == STORED
    assert value_of(_Place, json.loads(json.dumps(STORED))) == PLACE


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("height", "a half"),
        ("height", "1/0"),
        ("corner", [1.0]),
        ("names", "ab"),
        ("names", [7]),
        ("count", "2"),
    ],
)
def test_other_sorts_are_refused(field: str, value: Json) -> None:
    """A field of another sort is refused, never read differently."""
    with pytest.raises(TypeError):
        value_of(_Place, STORED | {field: value})


def test_a_field_that_came_later_has_its_default() -> None:
    """What was stored before a field was added comes back with the field's default; a field without one is missed."""
    assert value_of(_Place, {"height": "5/2", "corner": [1.5, 2.0], "names": ["a", "b"]}) == PLACE
    with pytest.raises(KeyError):
        value_of(_Place, {"corner": [1.5, 2.0]})


@pytest.mark.parametrize("pleat_count", [26, 50, 146])
def test_stitches_come_back(pleat_count: int) -> None:
    """Every stitch of a stored chart comes back with its pleats, rows, travel and side of the needle."""
    chart = chart_of(CABLE, OUTLINE, BABY_WAVE, TRELLIS)
    compiled = compile_chart(chart, pleat_count, PROFILE)
    stored = json.loads(json.dumps(compiled_to_document(compiled)))
    assert compiled_from_document(stored, row_space_mm=PROFILE.row_space_mm) == compiled


def test_a_run_of_unequal_lists_is_refused() -> None:
    """A run whose sides and pleats do not match in number is damaged."""
    stored = compiled_to_document(compile_chart(chart_of(CABLE), 26, PROFILE))
    stored["rows"][0]["runs"][0]["threads"] += "a"
    with pytest.raises(ValueError, match="zip"):
        compiled_from_document(stored, row_space_mm=9.5)
