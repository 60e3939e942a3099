"""What a kit's card says of its hours and stitches."""

import pytest

from gowngroup.batches.models import Kit
from gowngroup.batches.templatetags.kits import stitches, usual_hours
from gowngroup.catalog.models import DesignRevision


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [(0, 0, ""), (240, 240, "4 h"), (236, 243, "4 h"), (5, 100, "15 min to 1 h 45 min")],
)
def test_hours_are_a_range_in_quarters(low: int, high: int, words: str) -> None:
    """Usual hours are rounded to quarter hours, one figure where both are alike, none where not known."""
    assert usual_hours(Kit(minutes_low=low, minutes_high=high)) == words


def test_a_design_without_a_chart_has_no_stitches() -> None:
    """A gown that is not smocked names no stitches."""
    assert stitches(Kit(design_revision=DesignRevision())) == ""
