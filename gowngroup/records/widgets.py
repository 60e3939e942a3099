"""Inputs that browsers know better than we do."""

from typing import Any

from django import forms


class DayInput(forms.DateInput):
    """A day, picked or typed with the browser's own calendar."""

    input_type = "date"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%Y-%m-%d", **kwargs)
