"""Inputs that browsers know better than we do."""

from collections.abc import Mapping
from typing import Any

from django import forms

from gowngroup.records.units import UM_PER_UNIT, number_and_unit


class DayInput(forms.DateInput):
    """A day, picked or typed with the browser's own calendar."""

    input_type = "date"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%Y-%m-%d", **kwargs)


class LengthInput(forms.TextInput):
    """A length, with the unit chosen beside it put behind the number where none was typed there."""

    @staticmethod
    def unit_name(name: str) -> str:
        """What the choice of unit beside a field is sent as."""
        return f"{name}_unit"

    def value_from_datadict(self, data: Mapping[str, Any], files: Any, name: str) -> Any:
        typed, unit = super().value_from_datadict(data, files, name), data.get(self.unit_name(name))
        if not typed or unit not in UM_PER_UNIT or number_and_unit(typed)[1]:
            return typed
        return f"{typed.strip()} {unit}"
