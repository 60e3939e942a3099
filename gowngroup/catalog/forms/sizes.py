"""What may be typed about sizes and pleaters."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from gowngroup.catalog import limits
from gowngroup.catalog.forms.lengths import ExactLengths, length_field
from gowngroup.catalog.models import PleaterProfile, Size
from gowngroup.records.fields import ActionForm, NumberField, WholeNumberField


class SizeForm(ExactLengths, ActionForm):
    """A weight band and the body measures of its heaviest baby."""

    lower_mass_g = WholeNumberField(label=_("Weight from, in grams"), min_value=0, max_value=limits.MASS_G[1])
    upper_mass_g = WholeNumberField(label=_("Weight to, in grams"), min_value=1, max_value=limits.MASS_G[1])
    body_length_um = length_field(limits.BODY_LENGTH_UM, label=_("Body length"))
    chest_um = length_field(
        limits.CHEST_UM, label=_("Chest"), required=False, help_text=_("Needed for gowns with armholes.")
    )
    has_armholes = forms.BooleanField(
        label=_("Gowns of this size have armholes"), required=False, initial=True
    )
    source = forms.CharField(label=_("Where the measures come from"), max_length=300, required=False)

    def __init__(self, *args: Any, size: Size | None = None, **kwargs: Any) -> None:
        names = ("body_length_um", "chest_um", "has_armholes", "source")
        initial = {name: getattr(size, name) for name in names} if size else {}
        super().__init__(*args, initial=initial, **kwargs)
        if size is not None:
            del self.fields["lower_mass_g"], self.fields["upper_mass_g"]


class PleaterForm(ActionForm):
    """A pleater's measures, in millimetres because a tenth counts."""

    name = forms.CharField(label=_("Name"), max_length=60, help_text=_("Such as: Ruth’s pleater."))
    take_up_mm = NumberField(
        label=_("Flat cloth per pleat, in millimetres"),
        help_text=_("6.35 mm is usual. Count the pleats over half a metre to know your own."),
    )
    row_space_mm = NumberField(
        label=_("Space between rows, in millimetres"), help_text=_("9.525 mm or 10 mm are usual.")
    )
    needle_count = WholeNumberField(label=_("Needles"), min_value=1, max_value=64)

    def __init__(self, *args: Any, pleater: PleaterProfile | None = None, **kwargs: Any) -> None:
        super().__init__(*args, initial=_pleater_values(pleater), **kwargs)
        if pleater is not None:
            del self.fields["name"]

    def measures(self) -> dict[str, Any]:
        """What the action takes."""
        data = dict(self.cleaned_data)
        return {
            "take_up_um": round(data.pop("take_up_mm") * 1000),
            "row_space_um": round(data.pop("row_space_mm") * 1000),
            **data,
        }


def _pleater_values(pleater: PleaterProfile | None) -> dict[str, Any]:
    if pleater is None:
        return {"take_up_mm": 6.35, "row_space_mm": 9.525, "needle_count": 24}
    return {
        "take_up_mm": pleater.take_up_um / 1000,
        "row_space_mm": pleater.row_space_um / 1000,
        "needle_count": pleater.needle_count,
    }


class CalibrateForm(ActionForm):
    counted_pleats = WholeNumberField(label=_("Pleats counted"), min_value=1, max_value=500)
    over_um = length_field(
        limits.COUNTED_OVER_UM,
        label=_("Over this length of flat cloth"),
        initial=500_000,
        help_text=_("Draw a line this long on scrap cloth, pleat it, and count the pleats in it."),
    )
