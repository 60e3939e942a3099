"""What may be typed about a lot."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from gowngroup.catalog.models import TRIM_KINDS, MaterialKind
from gowngroup.records.fields import ActionForm, LengthField, WholeNumberField
from gowngroup.stock.forms.fields import (
    PACKAGE_MOST_M,
    PACKAGES_MOST,
    M,
    amount_field,
    length_field,
    part_field,
    width_field,
)
from gowngroup.stock.models import Donor, Lot, Material

WASHABLE = {MaterialKind.CLOTH, *TRIM_KINDS}


class ShelfFilter(forms.Form):
    """Which lots to show."""

    kind = forms.ChoiceField(
        label=_("Kind"), choices=[("", _("everything")), *MaterialKind.choices], required=False
    )
    state = forms.ChoiceField(label=_("State"), choices=[("", _("any")), *Lot.State.choices], required=False)
    search = forms.CharField(label=_("Name, shade, code or place"), max_length=60, required=False)


class ReceiveForm(ActionForm):
    """What came in of one material."""

    place = forms.CharField(
        label=_("Where it lies"), max_length=60, required=False, help_text=_("Such as “shelf 2, box 5”.")
    )
    donor = forms.ModelChoiceField(
        label=_("Given by"),
        queryset=Donor.objects.all(),
        required=False,
        empty_label=_("bought, or not known"),
    )
    code = forms.CharField(
        label=_("Code of your own"),
        max_length=12,
        required=False,
        help_text=_("Leave this empty and the lot gets a new code."),
    )

    def __init__(self, material: Material, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.material = material
        later = [self.fields.pop(name) for name in ("place", "donor", "code")]
        self._add_amount()
        if not material.is_counted and material.kind not in (MaterialKind.FLOSS, MaterialKind.THREAD):
            self.fields["width_um"] = width_field(material.kind, label=_("Width"))
        if material.kind in WASHABLE and not material.is_counted:
            self.fields["state"] = forms.ChoiceField(label=_("State"), choices=Lot.State.choices)
        self.fields.update(zip(("place", "donor", "code"), later, strict=True))

    def _add_amount(self) -> None:
        material = self.material
        if not material.package_amount:
            label = _("How many pieces") if material.is_counted else _("Length")
            self.fields["amount"] = amount_field(material, label=label)
            return
        self.fields["package_count"] = WholeNumberField(
            label=_("Unopened packages"),
            help_text=_("Sold by the %(word)s.") % {"word": material.package_word}
            if material.package_word
            else "",
            min_value=1,
            max_value=PACKAGES_MOST,
            required=False,
        )
        if not material.is_counted:
            most = PACKAGE_MOST_M.get(MaterialKind(material.kind), 1_000)
            self.fields["package_amount"] = LengthField(
                label=_("One package holds"),
                low_um=M // 10,
                high_um=most * M,
                is_long=True,
                required=False,
                initial=material.package_amount,
            )
        self.fields["amount"] = amount_field(
            material,
            label=_("Or: one that is opened, how much is left"),
            required=False,
        )

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        if "package_count" in self.fields and not self.errors:
            given = [name for name in ("package_count", "amount") if values.get(name) is not None]
            if len(given) != 1:
                raise ValidationError(
                    _(
                        "Please give either the number of unopened packages or what is left of an opened one; book them in one after the other."
                    )
                )
            if given == ["amount"]:
                values.pop("package_amount", None)
        return values


class CountForm(ActionForm):
    """What was really found of a lot, and why the books say otherwise."""

    def __init__(self, lot: Lot, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        label = _("Pieces found") if lot.material.is_counted else _("Length found")
        self.fields["counted_amount"] = amount_field(lot.material, from_nothing=True, label=label)
        self.fields["reason"] = forms.CharField(
            label=_("Why it differs"), max_length=200, help_text=_("Such as “counted in March” or “moths”.")
        )


class MeasureForm(ActionForm):
    """The real size of a lot after washing and drying."""

    def __init__(self, lot: Lot, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["length_um"] = length_field(lot.material, label=_("Length now"))
        self.fields["width_um"] = width_field(lot.material.kind, label=_("Width now"))


class TakeForm(ActionForm):
    """Something taken off the shelf, or put back, outside a kit."""

    def __init__(self, lot: Lot, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        label = _("How many pieces") if lot.material.is_counted else _("Length")
        self.fields["amount"] = part_field(lot.material, label=label)
        self.fields["reason"] = forms.CharField(
            label=_("What for"),
            max_length=200,
            help_text=_("Such as “test square” or “left over from a kit”."),
        )


class MoveForm(ActionForm):
    """Where a lot lies and who gave it."""

    place = forms.CharField(label=_("Where it lies"), max_length=60, required=False)
    donor = forms.ModelChoiceField(
        label=_("Given by"),
        queryset=Donor.objects.all(),
        required=False,
        empty_label=_("bought, or not known"),
    )


class FlawForm(ActionForm):
    """One stretch of a cloth that no piece may touch."""

    def __init__(self, lot: Lot, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        most = max(lot.on_hand_amount, 1)
        self.fields["from_um"] = LengthField(
            label=_("The flaw begins at"), low_um=0, high_um=most, is_long=True
        )
        self.fields["to_um"] = LengthField(label=_("and ends at"), low_um=0, high_um=most, is_long=True)
