"""Inputs of our own beside Django's."""

import pytest
from django import forms
from django.test.html import parse_html

from gowngroup.records.widgets import LongSelect

CHOICES = [("", "nobody"), (1, "Ann & <b>Co</b>"), (2, "Bea")]


@pytest.mark.parametrize("value", [None, "", 2, "2", "3"])
def test_a_long_choice_is_written_as_djangos_own(value: object) -> None:
    """A choice among hundreds is the same page as Django's own, names with signs of HTML included."""
    ours, theirs = (
        widget(attrs={"size": "4"}, choices=CHOICES).render(
            "person", value, {"id": "id_person", "required": True}
        )
        for widget in (LongSelect, forms.Select)
    )
    assert parse_html(ours) == parse_html(theirs)
    assert "<b>" not in ours
