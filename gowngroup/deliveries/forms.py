"""What may be typed about drop-offs."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from gowngroup.deliveries.models import DropOff
from gowngroup.deliveries.queries import ReceiptLine
from gowngroup.gowns.models import Gown
from gowngroup.gowns.words import purpose_words
from gowngroup.people.models import Person, Role
from gowngroup.people.queries import people_with
from gowngroup.records.codes import clean_code, is_code
from gowngroup.records.fields import ActionForm, WholeNumberField
from gowngroup.records.templatetags.gown import size_length
from gowngroup.records.widgets import DayInput
from gowngroup.wards.models import Ward


class PersonChoice(forms.ModelChoiceField):  # type: ignore[type-arg] # not generic at run time
    """Choose somebody by name."""

    def label_from_instance(self, obj: Person) -> str:
        return obj.name


class StartForm(ActionForm):
    """Which ward, which day, who drives."""

    ward = forms.ModelChoiceField(Ward.objects.none(), label=_("Ward"))
    planned_on = forms.DateField(label=_("Day"), widget=DayInput)
    driver = PersonChoice(Person.objects.none(), label=_("Driver"), required=False)
    note = forms.CharField(label=_("Note for the driver"), max_length=300, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        wards = self.fields["ward"]
        drivers = self.fields["driver"]
        wards.queryset = Ward.objects.filter(is_active=True).select_related("hospital")  # type: ignore[attr-defined]
        drivers.queryset = people_with(Role.DRIVER)  # type: ignore[attr-defined]


class ScanForm(ActionForm):
    """The code of a gown to pack."""

    code = forms.CharField(
        label=_("Gown code"),
        max_length=300,
        help_text=_("Type it from the label or the bag, or scan it."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters"}),
    )

    def clean_code(self) -> Gown:
        typed = self.cleaned_data["code"]
        code = clean_code(typed.rstrip("/").rsplit("/", 1)[-1])
        if not is_code(code):
            raise ValidationError(
                _(
                    "There is a slip in “%(typed)s”: a gown code has six letters and digits. Please look again."
                ),
                params={"typed": typed},
            )
        found = Gown.objects.select_related(
            "size", "design_revision", "outer_lot__material", "matched_set"
        ).filter(code=code)
        gown = found.first()
        if gown is None:
            raise ValidationError(
                _("No gown bears the code %(code)s. Please look again."), params={"code": code}
            )
        return gown


def _asked(line: ReceiptLine) -> str:
    """The question about a line: a size may stand on the receipt twice, for both purposes."""
    return ngettext(
        "%(count)d gown for a baby up to %(length)s, %(band)s, %(purpose)s: how many came?",
        "%(count)d gowns for a baby up to %(length)s, %(band)s, %(purpose)s: how many came?",
        line.gown_count,
    ) % {
        "count": line.gown_count,
        "length": size_length(line.size.body_length_um),
        "band": line.size.band,
        "purpose": purpose_words(line.purpose),
    }


class SignedForm(ActionForm):
    """What the ward signed: a name, and what really came of each line."""

    signed_name = forms.CharField(label=_("Name of who signed, as printed on the receipt"), max_length=120)

    def __init__(self, lines: list[ReceiptLine], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lines = lines
        for number, line in enumerate(lines):
            self.fields[f"came_{number}"] = WholeNumberField(
                label=_asked(line),
                min_value=0,
                max_value=999,
                initial=line.gown_count,
            )
        self.fields["remark"] = forms.CharField(
            label=_("Anything else the ward noted"), max_length=300, required=False
        )

    @cached_property
    def differences(self) -> list[dict[str, object]]:
        """The lines where something else came than was written, and the ward's remark."""
        found: list[dict[str, object]] = [
            {
                "size": line.size.pk,
                "band": line.size.band,
                "purpose": line.purpose,
                "written": line.gown_count,
                "came": self.cleaned_data[f"came_{number}"],
            }
            for number, line in enumerate(self.lines)
            if self.cleaned_data[f"came_{number}"] != line.gown_count
        ]
        remark = self.cleaned_data.get("remark")
        return [*found, {"remark": remark}] if remark else found


class BackForm(ActionForm):
    """Why a drop-off came back."""

    reason = forms.CharField(label=_("Why did it come back?"), max_length=200)


class Filter(forms.Form):
    """Which drop-offs to show."""

    search = forms.CharField(label=_("Ward or receipt number"), max_length=80, required=False)
    state = forms.ChoiceField(
        label=_("State"), choices=[("", _("all")), *DropOff.State.choices], required=False
    )
