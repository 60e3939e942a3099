"""Form fields for lengths in the reader's unit, and the hidden key that makes a form count once."""

import uuid
from fractions import Fraction
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from gowngroup.records.reader import current_reader
from gowngroup.records.units import NotALength, UnclearMark, in_unit, long_unit, parse_number, to_um
from gowngroup.records.written import written_number


def number_typed(typed: str) -> Fraction:
    """The number somebody typed into a form, by the point or the comma; asked back where it is none."""
    try:
        return parse_number(typed)
    except UnclearMark as error:
        raise ValidationError(
            _("Is “%(typed)s” in the thousands? Please type it without a mark for thousands, such as 1250."),
            params={"typed": typed},
        ) from error
    except NotALength as error:
        raise ValidationError(_("Please type a number, such as 12 or 12.5.")) from error


class LengthField(forms.CharField):
    """A length typed in the reader's unit (or metres and yards with `is_long`), cleaned to micrometres.

    A value outside `low_um`..`high_um` is asked back, naming the range, since it was probably typed in
    another unit.
    """

    def __init__(self, *, low_um: int, high_um: int, is_long: bool = False, **kwargs: Any) -> None:
        self.low_um, self.high_um, self.is_long = low_um, high_um, is_long
        super().__init__(max_length=20, **kwargs)
        self.widget.attrs["inputmode"] = "decimal"

    @property
    def unit(self) -> str:
        """The unit the reader types in."""
        unit = current_reader().length_unit
        return long_unit(unit) if self.is_long else unit

    def prepare_value(self, value: object) -> object:
        return in_unit(value, self.unit) if isinstance(value, int) else value

    def clean(self, value: object) -> Any:
        typed = super().clean(value)
        if not typed:
            return None
        length_um = to_um(number_typed(typed), self.unit)
        if not self.low_um <= length_um <= self.high_um:
            raise ValidationError(
                _(
                    "%(typed)s %(unit)s is not likely here: it lies between %(low)s and %(high)s %(unit)s. Was it typed in another unit?"
                ),
                params={
                    "typed": typed,
                    "unit": self.unit,
                    "low": in_unit(self.low_um, self.unit),
                    "high": in_unit(self.high_um, self.unit),
                },
            )
        return length_um

    def has_changed(self, initial: object, data: object) -> bool:
        return super().has_changed(self.prepare_value(initial), data)


class NumberField(forms.CharField):
    """A plain number typed with a point or a comma, cleaned to a float."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=20, **kwargs)
        self.widget.attrs["inputmode"] = "decimal"

    def prepare_value(self, value: object) -> object:
        return written_number(f"{value:.10g}") if isinstance(value, float) else value

    def clean(self, value: object) -> Any:
        typed = super().clean(value)
        if not typed:
            return None
        return float(number_typed(typed))


class ActionForm(forms.Form):
    """A form that leads to one action: it carries a fresh request key, kept when the form comes back."""

    request_key = forms.CharField(widget=forms.HiddenInput, max_length=64, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["request_key"].initial = uuid.uuid4().hex
