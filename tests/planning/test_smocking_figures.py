"""Figures of smocking, trims, thread, hours and shops."""

from collections import Counter

import pytest

from gowngroup.planning.figures.figure import Figure
from gowngroup.planning.figures.smocking import SMOCKING
from gowngroup.planning.figures.work import WORK

FIGURES = (*SMOCKING, *WORK)


@pytest.mark.parametrize("figure", FIGURES, ids=lambda figure: figure.key)
def test_a_figure_lies_within_its_own_range(figure: Figure) -> None:
    """A default outside what the group may enter could never be put back."""
    assert figure.low <= figure.value <= figure.high


@pytest.mark.parametrize("figure", FIGURES, ids=lambda figure: figure.key)
def test_a_figure_tells_label_unit_and_source(figure: Figure) -> None:
    """The group sees what a figure means and where it comes from."""
    assert all((figure.label, figure.unit, figure.source))


def test_each_figure_has_a_key_of_its_own() -> None:
    """No key stands for two figures."""
    assert max(Counter(figure.key for figure in FIGURES).values()) == 1
