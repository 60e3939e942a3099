"""What may be typed about a material or a donor."""

from typing import Any

from django import forms
from django.core.validators import RegexValidator
from django.utils.translation import gettext_lazy as _

from gowngroup.catalog.models import MaterialKind
from gowngroup.records.fields import ActionForm, LengthField, WholeNumberField
from gowngroup.stock.forms.fields import M
from gowngroup.stock.models import Donor, Fibre, Material

COLOUR = RegexValidator(r"^#[0-9a-fA-F]{6}\Z", _("Please pick a colour."))


class MaterialFilter(forms.Form):
    """Which materials to show."""

    kind = forms.ChoiceField(
        label=_("Kind"), choices=[("", _("everything")), *MaterialKind.choices], required=False
    )
    search = forms.CharField(label=_("Name or shade"), max_length=60, required=False)
    has_run_out = forms.BooleanField(label=_("Only what has run out"), required=False)


class MaterialForm(ActionForm):
    """What a material is."""

    kind = forms.ChoiceField(label=_("Kind"), choices=MaterialKind.choices)
    name = forms.CharField(
        label=_("Name"), max_length=80, help_text=_("Such as “Batiste” or “Lace, narrow”.")
    )
    shade = forms.CharField(
        label=_("Shade, in your own words"),
        max_length=60,
        required=False,
        help_text=_("A maker's number may stand here too."),
    )
    swatch = forms.CharField(
        label=_("Colour of the swatch"),
        validators=[COLOUR],
        required=False,
        widget=forms.TextInput(attrs={"type": "color"}),
        initial="#f3ead6",
    )
    fibre = forms.ChoiceField(label=_("Fibre"), choices=Fibre.choices)
    mass_g_per_m2 = WholeNumberField(
        label=_("Weight of a square metre, in grams"),
        min_value=10,
        max_value=600,
        required=False,
        help_text=_("For cloth: batiste weighs about 60 to 90, flannel about 150."),
    )
    width_um = LengthField(
        label=_("Width all over"),
        low_um=M // 1000,
        high_um=M // 5,
        required=False,
        help_text=_("For lace, entredeux, insertion, beading and ribbon, where a design asks for a width."),
    )
    batiste_um = LengthField(
        label=_("Batiste on each side"),
        low_um=0,
        high_um=M // 20,
        required=False,
        help_text=_("For entredeux: what is trimmed and lies in the seams; empty for lace."),
    )
    wash_max_c = WholeNumberField(
        label=_("Highest wash temperature, in °C"), min_value=20, max_value=95, initial=60
    )
    has_nap = forms.BooleanField(
        label=_("It has a nap or a one-way print: every piece is cut the same way up"), required=False
    )
    repeat_um = LengthField(
        label=_("Its print comes again after"),
        low_um=M // 1000,
        high_um=M,
        required=False,
        help_text=_("Measured along the selvedge; empty for plain cloth or a print too small to match."),
    )
    is_counted = forms.BooleanField(
        label=_("It is counted in pieces, such as fastenings or bags"), required=False
    )
    package_word = forms.CharField(
        label=_("Sold by the"),
        max_length=20,
        required=False,
        help_text=_("Such as skein, card, spool, pack."),
    )
    package_length = LengthField(
        label=_("One skein, card or spool holds"),
        low_um=M // 10,
        high_um=10_000 * M,
        is_long=True,
        required=False,
    )
    package_pieces = WholeNumberField(
        label=_("One pack holds so many pieces"), min_value=1, max_value=10_000, required=False
    )

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        length, pieces = values.pop("package_length", None), values.pop("package_pieces", None)
        is_counted = values.get("is_counted", False)
        wrong, field = (length, "package_length") if is_counted else (pieces, "package_pieces")
        if wrong is not None:
            self.add_error(
                field,
                _("Leave this empty: it does not go with how the material is counted or measured above."),
            )
        values["package_amount"] = pieces if is_counted else length
        values["repeat_um"] = self._as_typed("repeat_um", values) or 0
        values["batiste_um"] = self._as_typed("batiste_um", values) or 0
        values["width_um"] = self._as_typed("width_um", values)
        return values

    def _as_typed(self, name: str, values: dict[str, Any]) -> int | None:
        """A length as typed, kept exact where it was only shown; None where it is empty."""
        if name in self.changed_data:
            return values.get(name)
        return self.get_initial_for_field(self.fields[name], name) or None


class MaterialChangeForm(MaterialForm):
    """A material as it stands, to correct."""

    is_active = forms.BooleanField(label=_("It is in use"), required=False)

    def __init__(self, material: Material, *args: Any, **kwargs: Any) -> None:
        plain = {name: getattr(material, name) for name in self.base_fields if name in _field_names(material)}
        amount = "package_pieces" if material.is_counted else "package_length"
        lengths = {
            amount: material.package_amount,
            "repeat_um": material.repeat_um or None,
            "batiste_um": material.batiste_um or None,
        }
        super().__init__(*args, initial={**plain, **lengths}, **kwargs)


def _field_names(material: Material) -> set[str]:
    return {field.name for field in material._meta.concrete_fields}


class DonorFilter(forms.Form):
    """Which donors to show."""

    search = forms.CharField(label=_("Name"), max_length=60, required=False)


class DonorForm(ActionForm):
    """Who gave something."""

    name = forms.CharField(label=_("Name"), max_length=120)
    email = forms.EmailField(
        label=_("Email address"),
        required=False,
        help_text=_("Only if she would like an acknowledgment by email."),
    )

    def __init__(self, *args: Any, donor: Donor | None = None, **kwargs: Any) -> None:
        initial = {"name": donor.name, "email": donor.email} if donor else None
        super().__init__(*args, initial=initial, **kwargs)
