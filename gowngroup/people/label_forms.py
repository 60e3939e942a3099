"""How labels are printed, as the coordinator types it: in millimetres, or in inches with `in` after the number."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from gowngroup.people.actions import LabelPrintingDetails
from gowngroup.people.models import LabelPrinting, PaperSize
from gowngroup.records.fields import ActionForm, WholeNumberField
from gowngroup.records.units import NotALength, parse_number, to_um
from gowngroup.records.written import written_number

MOST_UM = 500_000
SIGNS = {"-": -1, "\u2212": -1, "\u2013": -1, "+": 1}


class MillimetreField(forms.CharField):
    """A length on paper, typed as `63.5`, `2 5/8 in` or, where it may be less than nothing, `-0.5`; cleaned to µm."""

    unit = "mm"

    def __init__(self, *, is_signed: bool = False, **kwargs: Any) -> None:
        self.is_signed = is_signed
        super().__init__(max_length=20, **kwargs)

    def prepare_value(self, value: object) -> object:
        if not isinstance(value, int):
            return value
        shown = f"{value / 1000:.3f}".rstrip("0").rstrip(".")
        return written_number(shown) if value or self.is_signed else ""

    def clean(self, value: object) -> Any:
        typed = str(super().clean(value)).strip()
        if not typed:
            return 0
        sign = SIGNS.get(typed[0], 0) if self.is_signed else 0
        length_um = (sign or 1) * self._read(typed[1:] if sign else typed)
        if abs(length_um) > MOST_UM:
            raise ValidationError(_("That is longer than any sheet of paper. Please type millimetres."))
        return length_um

    def _read(self, typed: str) -> int:
        number, unit = typed.strip().lower(), "mm"
        for ending in ("mm", "in", '"', "\u2033"):
            if number.endswith(ending):
                number, unit = number.removesuffix(ending), "mm" if ending == "mm" else "in"
                break
        try:
            return to_um(parse_number(number), unit)
        except NotALength as error:
            raise ValidationError(
                _("Please type millimetres, such as 63.5, or inches, such as 2 5/8 in.")
            ) from error


def _count(label: Any) -> forms.IntegerField:
    return WholeNumberField(
        label=label,
        min_value=1,
        max_value=100,
        required=False,
        widget=forms.TextInput({"inputmode": "numeric"}),
    )


def _length(label: Any, **kwargs: Any) -> MillimetreField:
    return MillimetreField(label=label, required=False, **kwargs)


class LabelPrintingForm(ActionForm):
    """How far the printer is out, and the group's own sheet; a sheet is asked for whole or not at all."""

    offset_right_um = _length(
        gettext_lazy("Move everything to the right by"),
        is_signed=True,
        help_text=gettext_lazy("With a minus in front: to the left. Leave it at 0 if the test page fits."),
    )
    offset_down_um = _length(
        gettext_lazy("Move everything down by"),
        is_signed=True,
        help_text=gettext_lazy("With a minus in front: up."),
    )
    sheet_name = forms.CharField(
        label=gettext_lazy("Name of our own sheet"),
        max_length=40,
        required=False,
        help_text=gettext_lazy(
            "Only if your labels are not on the list. Give it a name of your own, such as “round ones from the cupboard”; leave it empty for no sheet of your own."
        ),
    )
    paper_size = forms.ChoiceField(label=gettext_lazy("Its paper"), choices=PaperSize.choices)
    column_count = _count(gettext_lazy("Labels side by side"))
    row_count = _count(gettext_lazy("Labels one below the other"))
    label_width_um = _length(gettext_lazy("Width of a label"))
    label_height_um = _length(gettext_lazy("Height of a label"))
    pitch_x_um = _length(gettext_lazy("From one left edge to the next left edge"))
    pitch_y_um = _length(gettext_lazy("From one upper edge to the next upper edge"))
    left_um = _length(gettext_lazy("From the left edge of the paper to the first label"))
    top_um = _length(gettext_lazy("From the upper edge of the paper to the first label"))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for name in ("column_count", "row_count"):
            if cleaned.get("sheet_name") and name in cleaned and cleaned[name] is None:
                self.add_error(name, _("Please count the labels of your own sheet."))
        return cleaned

    def details(self) -> LabelPrintingDetails:
        """What was typed, as the action takes it."""
        values = {name: self.cleaned_data[name] for name in LabelPrintingDetails.__slots__}
        for name in ("column_count", "row_count"):
            values[name] = values[name] or 1
        return LabelPrintingDetails(**values)


def label_printing_of(printing: LabelPrinting) -> dict[str, Any]:
    """How labels are printed now, as a form starts with it."""
    return {name: getattr(printing, name) for name in LabelPrintingDetails.__slots__}
