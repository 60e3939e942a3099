"""The measures of a drafted design the group sets itself in one size."""

from collections.abc import Iterator, Sequence
from typing import Any

from django import forms
from django.forms import BoundField

from gowngroup.catalog.forms.lengths import ExactLengths, length_field
from gowngroup.catalog.planner.overrides import OwnMeasure
from gowngroup.records.fields import ActionForm, WholeNumberField

UM_PER_MM = 1000


class OverridesForm(ExactLengths, ActionForm):
    """A field for every measure of the draft; an empty one is worked out."""

    def __init__(self, *args: Any, measures: Sequence[OwnMeasure], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.measures = measures
        for measure in measures:
            self.fields[measure.name] = _count_field(measure) if measure.is_count else _length_field(measure)

    def first(self) -> list[tuple[OwnMeasure, BoundField]]:
        """The measures a group changes first."""
        return [pair for pair in self._rows() if pair[0].is_first]

    def finer(self) -> list[tuple[OwnMeasure, BoundField]]:
        """All others."""
        return [pair for pair in self._rows() if not pair[0].is_first]

    def is_finer_open(self) -> bool:
        """Is anything set or wrong among the others?"""
        return any(cell.value() or cell.errors for _measure, cell in self.finer())

    def _rows(self) -> Iterator[tuple[OwnMeasure, BoundField]]:
        for measure in self.measures:
            yield measure, self[measure.name]

    def overrides(self) -> dict[str, float]:
        """The measures as typed, in mm or as counts; those left empty are not among them."""
        typed = {measure: self.cleaned_data.get(measure.name) for measure in self.measures}
        return {
            measure.name: float(value) if measure.is_count else value / UM_PER_MM
            for measure, value in typed.items()
            if value is not None
        }


def _count_field(measure: OwnMeasure) -> forms.IntegerField:
    return WholeNumberField(
        label=measure.label,
        min_value=round(measure.low),
        max_value=round(measure.high),
        required=False,
        initial=None if measure.own is None else round(measure.own),
    )


def _length_field(measure: OwnMeasure) -> forms.Field:
    return length_field(
        (round(measure.low * UM_PER_MM), round(measure.high * UM_PER_MM)),
        label=measure.label,
        required=False,
        initial=None if measure.own is None else round(measure.own * UM_PER_MM),
    )
