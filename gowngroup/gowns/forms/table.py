"""What may be typed at the table."""

from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from gowngroup.batches.models import Kit
from gowngroup.batches.queries import volunteers
from gowngroup.gowns.actions import BackRow, OutRow
from gowngroup.gowns.forms.returns import SCAN_MOST, code_in
from gowngroup.people.models import Person
from gowngroup.records.fields import ActionForm, NumberField, WholeNumberField
from gowngroup.records.widgets import DayInput, LongSelect

UNKNOWN = _("No kit has this code. Please look at the label again.")


class ScanBackForm(ActionForm):
    """A kit that comes back, scanned or typed."""

    code = forms.CharField(max_length=SCAN_MOST)
    is_counted = forms.BooleanField(required=False)

    def clean_code(self) -> Kit:
        kit = Kit.objects.select_related("holder").filter(code=code_in(self.cleaned_data["code"])).first()
        if kit is None:
            raise ValidationError(UNKNOWN, code="unknown")
        return kit


class BackRowForm(forms.Form):
    """One kit of the list that was out."""

    back = WholeNumberField(label=_("Gowns back"), min_value=1, max_value=500, required=False)
    needles = forms.BooleanField(label=_("Needles and pins counted"), required=False)
    hours = NumberField(label=_("Hours"), required=False)
    due_on = forms.DateField(label=_("New day"), widget=DayInput(), required=False)

    def __init__(self, data: QueryDict | None, *, kit: Kit) -> None:
        super().__init__(data, prefix=f"kit-{kit.pk}")
        self.kit = kit
        self.fields["back"].widget = forms.TextInput({"inputmode": "numeric", "size": 3})
        self.fields["hours"].widget.attrs["size"] = 4

    def row(self) -> BackRow | None:
        """What was written of this kit; nothing where its row is empty."""
        said = self.cleaned_data
        if not said["back"] and said["due_on"] is None:
            return None
        hours: float | None = said["hours"]
        return BackRow(
            kit=self.kit,
            gown_count=said["back"] or 0,
            are_needles_counted=said["needles"],
            duration_min=None if hours is None else round(hours * 60),
            due_on=said["due_on"],
        )


class OutRowForm(forms.Form):
    """One kit that was handed out."""

    code = forms.CharField(label=_("Kit code"), max_length=SCAN_MOST, required=False)
    person = forms.ModelChoiceField(
        label=_("Who has it now"),
        queryset=Person.objects.none(),
        required=False,
        empty_label=_("nobody"),
        widget=LongSelect,
    )

    def __init__(self, data: QueryDict | None, *, number: int) -> None:
        super().__init__(data, prefix=f"out-{number}")
        cast("Any", self.fields["person"]).queryset = volunteers()
        self.fields["code"].widget.attrs.update(autocapitalize="characters", autocomplete="off", size=10)

    def clean_code(self) -> Kit | None:
        typed = self.cleaned_data["code"].strip()
        kit = Kit.objects.filter(code=code_in(typed)).first() if typed else None
        if typed and kit is None:
            raise ValidationError(UNKNOWN)
        return kit

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors and bool(cleaned.get("code")) != bool(cleaned.get("person")):
            name = "person" if cleaned.get("code") else "code"
            self.add_error(name, _("Please fill in both, or neither."))
        return cleaned

    def row(self) -> OutRow | None:
        """What was written in this row; nothing where it is empty."""
        kit, person = self.cleaned_data.get("code"), self.cleaned_data.get("person")
        return OutRow(kit=kit, person=person) if kit and person else None


def rows_to_fill(data: QueryDict | None, *, count: int) -> list[OutRowForm]:
    """So many empty rows; who can be chosen is read once for all of them."""
    forms_ = [OutRowForm(data, number=number) for number in range(count)]
    people = list(cast("Any", forms_[0].fields["person"]).choices)
    for form in forms_:
        cast("Any", form.fields["person"]).choices = people
    return forms_
