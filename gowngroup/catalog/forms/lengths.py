"""Lengths with the catalog's plausible ranges, kept exact where they were not touched."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from gowngroup.catalog.forms.corners import CornersField
from gowngroup.records.fields import LengthField


def length_field(limits_um: tuple[int, int], **kwargs: Any) -> LengthField:
    """A length within a plausible range of the catalog."""
    low_um, high_um = limits_um
    return LengthField(low_um=low_um, high_um=high_um, **kwargs)


class RowsToTakeOut(forms.BaseFormSet):  # type: ignore[type-arg] # not generic at run time
    """Rows of which each can be taken out."""

    def add_fields(self, form: Any, index: int | None) -> None:
        super().add_fields(form, index)
        form.fields["DELETE"].label = _("Take out")


class ExactLengths(forms.Form):
    """A form whose untouched lengths stay what they were, though they were shown rounded."""

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        for name, field in self.fields.items():
            if isinstance(field, LengthField | CornersField) and name not in self.changed_data:
                data[name] = self.get_initial_for_field(field, name)
        return data
