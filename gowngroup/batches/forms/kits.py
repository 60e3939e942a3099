"""Forms for cutting, and for kits that come to an end."""

from typing import Any, cast

from django import forms
from django.utils.translation import gettext_lazy as _

from gowngroup.batches.models import Kit, Lay
from gowngroup.records.fields import ActionForm, LengthField


class CutLayForm(ActionForm):
    """How much cloth was really cut off for a lay."""

    cut_length = LengthField(
        label=_("Length really cut off, along the selvedge"),
        help_text=_("Measure it; please do not copy the planned length."),
        low_um=1_000,
        high_um=100_000_000,
    )

    def __init__(self, *args: Any, lay: Lay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = cast("LengthField", self.fields["cut_length"])
        field.low_um, field.high_um = lay.length_um // 2, lay.length_um * 3 // 2 + 500_000


class KitFilter(forms.Form):
    """Which kits of the list to show."""

    search = forms.CharField(label=_("Code, design or person"), max_length=60, required=False)
    state = forms.ChoiceField(label=_("State"), choices=[("", _("all")), *Kit.State.choices], required=False)


class EndKitForm(ActionForm):
    """Whether a kit is lost or written off, and why."""

    end = forms.ChoiceField(
        label=_("What happened"),
        widget=forms.RadioSelect,
        choices=[
            ("lost", _("It cannot be found. Should it turn up, its gowns can still come in.")),
            ("written off", _("It will not be made any more.")),
        ],
    )
    reason = forms.CharField(
        label=_("Why"),
        max_length=200,
        help_text=_("A few words, without anybody's name. For instance: cloth scorched."),
    )
