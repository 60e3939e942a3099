"""The planner's figures as the group sets them."""

from datetime import datetime

import pytest

from gowngroup.people.models import Person
from gowngroup.planning.figures import FIGURES, Figure, default_values
from gowngroup.records.actions import ImplausibleFigure, NoSource, UnknownFigure, set_figure
from gowngroup.records.models import FigureChange, TrailLine
from gowngroup.records.queries import figure_history, figures_in_force, figures_with_source

pytestmark = pytest.mark.django_db
KEY = "thread_waste_share"


def test_own_figure_counts_from_now_on(coordinator: Person, at: datetime) -> None:
    """The newest value the group has set is in force; all others stay as they were."""
    set_figure(key=KEY, value=0.12, source="last year", by=coordinator, at=at)
    set_figure(key=KEY, value=0.13, source="this year", by=coordinator, at=at)
    assert figures_in_force() == {**default_values(), KEY: 0.13}


def test_a_figure_sent_twice_counts_once(coordinator: Person, at: datetime) -> None:
    """The form of a figure carries a key, as every form does: sent again it gets the first answer."""
    first, again = (
        set_figure(key=KEY, value=value, source="ours", by=coordinator, at=at, request_key="k" * 32)
        for value in (0.12, 0.13)
    )
    assert first == again
    assert figures_in_force()[KEY] == 0.12


def test_own_figure_shows_its_own_source(coordinator: Person, at: datetime) -> None:
    """A changed figure is marked as the group's with the source it gave, and keeps the default beside it."""
    set_figure(key=KEY, value=0.12, source=" last year ", by=coordinator, at=at)
    shown = next(row for row in figures_with_source() if row["key"] == KEY)
    assert (shown["mark"], shown["source"], shown["value"], shown["default"]) == (
        "group",
        "last year",
        0.12,
        0.15,
    )


def test_history_keeps_every_value(coordinator: Person, at: datetime) -> None:
    """Each change is kept, newest first, and the trail says from what to what."""
    for value in (0.12, 0.13):
        set_figure(key=KEY, value=value, source="ours", by=coordinator, at=at)
    assert [(row.revision, row.value) for row in figure_history(KEY)] == [(2, 0.13), (1, 0.12)]
    assert [line.changes["value"] for line in TrailLine.objects.order_by("pk")] == [
        [0.15, 0.12],
        [0.12, 0.13],
    ]


@pytest.mark.parametrize("value", [-1.0, 0.9, float("nan"), float("inf")])
def test_implausible_value_is_refused(value: float, coordinator: Person, at: datetime) -> None:
    """A value outside the figure's range is asked back with the range named, and nothing is kept."""
    with pytest.raises(ImplausibleFigure, match="10 % and 20 %") as refusal:
        set_figure(key=KEY, value=value, source="ours", by=coordinator, at=at)
    assert (refusal.value.field, FigureChange.objects.count()) == ("value", 0)


def test_figure_needs_a_source(coordinator: Person, at: datetime) -> None:
    """A figure without a word on where it comes from is asked back."""
    with pytest.raises(NoSource):
        set_figure(key=KEY, value=0.12, source="  ", by=coordinator, at=at)


def test_unknown_figure_is_refused(coordinator: Person, at: datetime) -> None:
    """Only figures the planner knows can be set."""
    with pytest.raises(UnknownFigure):
        set_figure(key="no_such", value=1, source="ours", by=coordinator, at=at)


@pytest.mark.parametrize("figure", FIGURES, ids=lambda figure: figure.key)
def test_every_default_is_plausible_by_its_own_range(figure: Figure) -> None:
    """Each default lies within its own range, is named, and says where it comes from."""
    assert figure.low <= figure.value <= figure.high
    assert all([figure.label, figure.source])


def test_figure_keys_are_unique() -> None:
    """No two figures share a key."""
    assert len({figure.key for figure in FIGURES}) == len(FIGURES)
