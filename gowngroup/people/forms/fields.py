"""Fields that forms about people share; they check what was typed and never save."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import RegexValidator
from django.utils.translation import gettext_lazy as _

from gowngroup.records.fields import NumberField
from gowngroup.records.written import written_number

MOST_HOURS_A_MONTH = 300
YES, NO = "yes", "no"
telephone_number = RegexValidator(
    r"^[0-9+()/ .\-]*$", _("Please type the number with digits, such as 01234 567890.")
)


class HoursField(NumberField):
    """Hours a month as typed, cleaned to whole minutes."""

    unit = _("hours a month")

    def prepare_value(self, value: object) -> object:
        if isinstance(value, int):
            return written_number(f"{value / 60:.4g}") if value else ""
        return value

    def clean(self, value: object) -> Any:
        hours = super().clean(value)
        if hours is None:
            return 0
        if hours > MOST_HOURS_A_MONTH:
            raise ValidationError(
                _("Please type the hours of one month, at most %(most)s."),
                params={"most": MOST_HOURS_A_MONTH},
            )
        return round(hours * 60)


class YesNoField(forms.TypedChoiceField):
    """A plain yes or no, both written out, cleaned to a boolean."""

    def __init__(self, *, yes: Any, no: Any, **kwargs: Any) -> None:
        super().__init__(
            choices=[(YES, yes), (NO, no)],
            coerce=lambda value: value == YES,
            widget=forms.RadioSelect,
            **kwargs,
        )

    def prepare_value(self, value: object) -> object:
        return (YES if value else NO) if isinstance(value, bool) else value


def telephone_field(**kwargs: Any) -> forms.CharField:
    """A field for a telephone number as people write it."""
    return forms.CharField(
        max_length=40,
        required=False,
        validators=[telephone_number],
        widget=forms.TextInput({"type": "tel"}),
        **kwargs,
    )
