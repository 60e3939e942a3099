"""Inputs that browsers know better than we do."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.forms.renderers import BaseRenderer
from django.forms.utils import flatatt
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

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


class LongSelect(forms.Select):
    """A choice among hundreds, written in one go: a template for each of them takes ten times as long."""

    def render(
        self,
        name: str,
        value: Any,
        attrs: dict[str, Any] | None = None,
        renderer: BaseRenderer | None = None,
    ) -> SafeString:
        chosen = set(self.format_value(value))
        rows = ((key, " selected" if str(key) in chosen else "", label) for key, label in self.choices)
        options = format_html_join("", '<option value="{}"{}>{}</option>', rows)
        return format_html(
            "<select{}>{}</select>", flatatt({**self.build_attrs(self.attrs, attrs), "name": name}), options
        )
