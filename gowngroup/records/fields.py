"""Form fields for lengths in the reader's unit, and the hidden key that makes a form count once."""

import uuid
from fractions import Fraction
from typing import Any
from unicodedata import category

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import EmailValidator, MaxLengthValidator, MaxValueValidator, MinValueValidator
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext_lazy

from gowngroup.records.reader import current_reader
from gowngroup.records.units import (
    THOUSANDS,
    NotALength,
    UnclearMark,
    exactly_in_unit,
    in_unit,
    long_unit,
    number_and_unit,
    parse_number,
    to_um,
)
from gowngroup.records.widgets import LengthInput
from gowngroup.records.written import written_number

# Django says that a field "is required" or to "ensure this value"; these say what to do.
forms.Field.default_error_messages["required"] = _("Please fill this in.")
forms.ChoiceField.default_error_messages["required"] = _("Please choose one.")
forms.BooleanField.default_error_messages = {"required": _("Please tick this.")}
forms.IntegerField.default_error_messages["invalid"] = _("Please type a whole number, such as 12.")
EmailValidator.message = _("Please type a whole email address, such as ann@example.org.")
MaxLengthValidator.message = ngettext_lazy(
    "Please shorten this to %(limit_value)d character; it has %(show_value)d.",
    "Please shorten this to %(limit_value)d characters; it has %(show_value)d.",
    "limit_value",
)
MinValueValidator.message = _("Please type %(limit_value)s or more.")
MaxValueValidator.message = _("Please type %(limit_value)s or less.")


JOINERS = "\u200c\u200d"  # hidden, but part of how some scripts are written


def number_typed(typed: str) -> Fraction:
    """The number somebody typed into a form, by the point or the comma; asked back where it is none."""
    try:
        return parse_number(typed)
    except UnclearMark as error:
        raise _unclear(typed) from error
    except NotALength as error:
        raise ValidationError(_("Please type a number, such as 12 or 12.5.")) from error


def _unclear(typed: str) -> ValidationError:
    return ValidationError(
        _("Is “%(typed)s” in the thousands? Please type it without a mark for thousands, such as 1250."),
        params={"typed": typed},
    )


class LengthField(forms.CharField):
    """A length typed in the reader's unit (or metres and yards with `is_long`), cleaned to micrometres.

    The unit may be chosen beside the field, or typed behind the number. A value outside `low_um`..`high_um` is
    asked back, naming the range, since it was probably typed in another unit.
    """

    widget = LengthInput

    def __init__(self, *, low_um: int, high_um: int, is_long: bool = False, **kwargs: Any) -> None:
        self.low_um, self.high_um, self.is_long = low_um, high_um, is_long
        super().__init__(max_length=30, **kwargs)
        self.widget.attrs["inputmode"] = "decimal"

    @property
    def unit(self) -> str:
        """The unit the reader types in."""
        unit = current_reader().length_unit
        return long_unit(unit) if self.is_long else unit

    @property
    def units(self) -> tuple[str, ...]:
        """The units to choose from."""
        return ("m", "yd") if self.is_long else ("cm", "in")

    def prepare_value(self, value: object) -> object:
        return in_unit(value, self.unit) if isinstance(value, int) else value

    def get_bound_field(self, form: forms.BaseForm, field_name: str) -> "BoundLength":
        return BoundLength(form, self, field_name)

    def clean(self, value: object) -> Any:
        typed = super().clean(value)
        if not typed:
            return None
        number, typed_unit = number_and_unit(typed)
        unit = typed_unit or self.unit
        length_um = to_um(number_typed(number), unit)
        if not self.low_um <= length_um <= self.high_um:
            raise ValidationError(
                _(
                    "%(typed)s %(unit)s is not likely here: it lies between %(low)s and %(high)s %(unit)s. Was it typed in another unit?"
                ),
                params={
                    "typed": number,
                    "unit": unit,
                    "low": in_unit(self.low_um, unit),
                    "high": in_unit(self.high_um, unit),
                },
            )
        return length_um

    def has_changed(self, initial: object, data: object) -> bool:
        number, unit = number_and_unit(str(data or ""))
        unit = unit or self.unit
        if isinstance(initial, int) and number.strip() in (
            in_unit(initial, unit),
            exactly_in_unit(initial, unit),
        ):
            return False
        return super().has_changed(self.prepare_value(initial), data)


class BoundLength(forms.BoundField):
    """A length on its form: shown without the unit that was chosen beside it, and exact where it was not touched."""

    field: LengthField

    @property
    def unit(self) -> str:
        """The unit that stands chosen beside the field."""
        chosen = number_and_unit(str(self._typed or ""))[1] if self._has_switch else None
        return chosen if chosen in self.field.units else self.field.unit

    @property
    def exact(self) -> str:
        """The micrometres of what was shown at first, and that as it was shown in the reader's unit."""
        return str(self.initial) if isinstance(self.initial, int) and not self._typed else ""

    @property
    def data(self) -> Any:
        """What was typed; the length that was there before, to the micrometre, where that is left as it was shown."""
        typed = self._typed
        if isinstance(self.initial, int) and typed and not self.field.has_changed(self.initial, typed):
            return f"{exactly_in_unit(self.initial, self.field.unit)} {self.field.unit}"
        return typed

    def value(self) -> Any:
        if not self.form.is_bound or self.field.disabled:
            return super().value()
        number, unit = number_and_unit(str(self._typed or ""))
        return number if self._has_switch and unit in self.field.units else self._typed

    @property
    def _has_switch(self) -> bool:
        return LengthInput.unit_name(self.html_name) in (self.form.data or {})

    @property
    def _typed(self) -> Any:
        return super().data if self.form.is_bound else None


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


class WholeNumberField(forms.IntegerField):
    """A whole number; one with a mark and three digits is asked back, since `2.000` may be two or two thousand."""

    def to_python(self, value: Any) -> int | None:
        if isinstance(value, str) and THOUSANDS.fullmatch(value.strip()):
            raise _unclear(value)
        return super().to_python(value)


class NameField(forms.CharField):
    """A name without the hidden signs that come along when it is copied, some of which turn a page's writing round."""

    def to_python(self, value: Any) -> str:
        text = super().to_python(value) or ""
        return "".join(sign for sign in text if sign in JOINERS or category(sign) != "Cf").strip()


class ActionForm(forms.Form):
    """A form that leads to one action: it carries a fresh request key, kept when the form comes back."""

    request_key = forms.CharField(widget=forms.HiddenInput, max_length=64, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["request_key"].initial = uuid.uuid4().hex
