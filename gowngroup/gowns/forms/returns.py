"""What may be typed when gowns come in."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from gowngroup.batches.models import Kit, KitReturn, Stage
from gowngroup.batches.queries import finish_values
from gowngroup.catalog.models import DesignRevision, Purpose, Size
from gowngroup.catalog.queries import revisions_in_use
from gowngroup.gowns.words import purpose_words
from gowngroup.records.codes import clean_code, is_code
from gowngroup.records.fields import ActionForm, NumberField, WholeNumberField
from gowngroup.records.templatetags.gown import size_length
from gowngroup.records.written import written_number
from gowngroup.stock.models import Lot

YES_NO = [("yes", _("Yes")), ("no", _("No"))]
SCAN_MOST = 300


def code_in(typed: str) -> str:
    """The code in what was typed, or in the address a scanner reads from a kit sheet."""
    return clean_code(typed.rstrip("/").rsplit("/", 1)[-1])


class YesNoField(forms.TypedChoiceField):
    """A question that must be answered, by two large choices."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            choices=YES_NO, coerce=lambda answer: answer == "yes", widget=forms.RadioSelect, **kwargs
        )

    def prepare_value(self, value: object) -> object:
        return ("yes" if value else "no") if isinstance(value, bool) else value


class KitCodeForm(forms.Form):
    """The code on a kit that comes back."""

    code = forms.CharField(
        label=_("Kit code"),
        max_length=SCAN_MOST,
        help_text=_("Type it from the kit sheet, such as K7D-PY6, or scan the square."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters"}),
    )

    def clean_code(self) -> str:
        code = code_in(self.cleaned_data["code"])
        if not is_code(code):
            raise ValidationError(
                _(
                    "There is a slip in “%(typed)s”: a kit code has six letters and digits. Please look at the sheet again."
                ),
                params={"typed": self.cleaned_data["code"]},
            )
        if not Kit.objects.filter(code=code).exists():
            raise ValidationError(
                _("No kit bears the code %(code)s. Please look at the sheet again."), params={"code": code}
            )
        return code


class TakeBackForm(ActionForm):
    """What came back of a kit."""

    gown_count = WholeNumberField(label=_("Gowns that came back"), min_value=1, max_value=500)
    are_needles_counted = YesNoField(label=_("Are all needles and pins of the kit accounted for?"))
    duration_min = NumberField(
        label=_("Hours spent, only if she would like to say"),
        required=False,
        help_text=_("Such as 6 or 6.5."),
    )
    floss_outcome = forms.ChoiceField(
        label=_("The floss, only if she would like to say"),
        choices=[("", _("nothing said")), *KitReturn.FlossOutcome.choices],
        required=False,
        widget=forms.RadioSelect,
        help_text=_("It tells us how much to wind for the next kit, nothing about her sewing."),
    )
    floss_cut_count = WholeNumberField(
        label=_("Lengths of floss left over, or sent on when it ran short"),
        min_value=1,
        max_value=400,
        required=False,
        help_text=_(
            "Whole lengths as they were wound, all shades together. Leave it empty if nobody counted."
        ),
    )
    remarks = forms.CharField(
        label=_("What she said about it"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Never write anything about a baby or a family."),
    )

    def __init__(self, kit: Kit, *args: Any, **kwargs: Any) -> None:
        said = {"gown_count": kit.open_count, "floss_outcome": "", **finish_values(kit)}
        said["duration_min"] = _as_hours(said.get("duration_min"))
        super().__init__(*args, initial=said, **kwargs)
        if not _is_smocked(kit):
            del self.fields["floss_outcome"], self.fields["floss_cut_count"]

    def clean_duration_min(self) -> int | None:
        hours: float | None = self.cleaned_data["duration_min"]
        return None if hours is None else round(hours * 60)


def _as_hours(duration_min: object) -> object:
    return written_number(f"{duration_min / 60:.4g}") if isinstance(duration_min, int) else None


def _is_smocked(kit: Kit) -> bool:
    """Was floss wound for it?"""
    return kit.stage in (Stage.WHOLE, Stage.SMOCK) and kit.design_revision.chart_id is not None


class GownForm(ActionForm):
    """A gown that was made without a kit."""

    design_revision = forms.ModelChoiceField(
        label=_("Design"), queryset=DesignRevision.objects.none(), empty_label=_("please choose")
    )
    size = forms.ModelChoiceField(
        label=_("Size"), queryset=Size.objects.all(), empty_label=_("please choose")
    )
    purpose = forms.ChoiceField(label=_("What it is for"), widget=forms.RadioSelect)
    outer_lot = forms.CharField(
        label=_("Code of the lot it was cut from"),
        max_length=12,
        required=False,
        help_text=_("Empty if it was made of her own cloth."),
    )
    place = forms.CharField(label=_("Box or shelf"), max_length=40, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        revisions = DesignRevision.objects.filter(pk__in=[one.pk for one in revisions_in_use()])
        design, purpose = self.fields["design_revision"], self.fields["purpose"]
        design.queryset = revisions.select_related("design").order_by("design__name")  # type: ignore[attr-defined] # a model choice
        design.label_from_instance = lambda revision: str(revision.design)  # type: ignore[attr-defined] # a model choice
        self.fields["size"].label_from_instance = _size_words  # type: ignore[attr-defined] # a model choice
        purpose.choices = [(one.value, purpose_words(one).capitalize()) for one in Purpose]  # type: ignore[attr-defined] # a choice

    def clean_outer_lot(self) -> Lot | None:
        typed = self.cleaned_data["outer_lot"]
        if not typed:
            return None
        lot = Lot.objects.filter(code=clean_code(typed)).first()
        if lot is None:
            raise ValidationError(
                _("No lot bears the code %(code)s. Leave this empty if you do not know it."),
                params={"code": typed},
            )
        return lot


def _size_words(size: Size) -> str:
    return str(
        _("for a baby up to %(length)s (%(band)s)")
        % {"length": size_length(size.body_length_um), "band": size.band}
    )
