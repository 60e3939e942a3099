"""What may be typed about a smocking chart and its rows."""

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from gowngroup.catalog.actions import RowEntry
from gowngroup.catalog.limits import HALF_SPACES, PLEAT_COUNT, RISE_HALF_SPACES
from gowngroup.catalog.models import Chart, ChartRow, DesignSize
from gowngroup.records.fields import ActionForm, WholeNumberField
from gowngroup.records.templatetags.gown import size_length

EMPTY_ROWS, MOST_ROWS = 3, 40
FLOSSES = [(letter, letter) for letter in "ABCDEF"]


class ChartForm(ActionForm):
    name = forms.CharField(label=_("Name of the chart"), max_length=80)
    note = forms.CharField(
        label=_("Note"), max_length=1000, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(self, *args: Any, chart: Chart | None = None, **kwargs: Any) -> None:
        super().__init__(*args, initial={"note": chart.note} if chart else {}, **kwargs)
        if chart is not None:
            del self.fields["name"]


def _heights() -> list[tuple[int, str]]:
    return [
        (half, str(half // 2 + 1) if half % 2 == 0 else f"{half // 2 + 1}½")
        for half in range(HALF_SPACES[1] + 1)
    ]


def _rises() -> list[tuple[int, str]]:
    spaces = (_spaces(half) for half in range(1, RISE_HALF_SPACES[1] + 1))
    return [(0, str(_("not"))), *enumerate(spaces, start=1)]


def _spaces(half: int) -> str:
    whole = f"{half // 2 or ''}{'½' if half % 2 else ''}"
    return ngettext("%(count)s space", "%(count)s spaces", 1 if half <= 2 else 2) % {"count": whole}


class RowForm(forms.Form):
    """One row of stitches; a row without a stitch is left out."""

    stitch = forms.ChoiceField(
        label=_("Stitch"), choices=[("", _("no row")), *ChartRow.Stitch.choices], required=False
    )
    step_count = WholeNumberField(label=_("Steps between turns"), min_value=0, max_value=6, initial=0)
    top_half_space = forms.TypedChoiceField(label=_("Top at row"), coerce=int, choices=_heights, initial=0)
    rise_half_spaces = forms.TypedChoiceField(
        label=_("Rises"),
        coerce=int,
        choices=_rises,
        initial=0,
    )
    floss_role = forms.ChoiceField(label=_("Floss"), choices=FLOSSES, initial="A")
    strand_count = WholeNumberField(label=_("Strands"), min_value=1, max_value=6, initial=3)
    start = forms.ChoiceField(
        label=_("Starts at"),
        choices=[("centre", _("centre")), ("left", _("left")), ("right", _("right"))],
        initial="centre",
    )
    centre_at = forms.ChoiceField(
        label=_("Middle stitch"), choices=[("bottom", _("low")), ("top", _("high"))], initial="bottom"
    )
    is_back_smocking = forms.BooleanField(label=_("Wrong side"), required=False)
    meets_row_above = forms.BooleanField(label=_("Meets row above"), required=False)

    def entry(self) -> RowEntry | None:
        """The row as typed, or None where no stitch was chosen."""
        data = self.cleaned_data
        return RowEntry(**data) if data.get("stitch") else None


RowFormSet = forms.formset_factory(RowForm, extra=EMPTY_ROWS, max_num=MOST_ROWS, validate_max=True)


def row_values(chart: Chart) -> list[dict[str, Any]]:
    """The rows of a chart as a formset shows them."""
    names = RowForm.base_fields
    return [{name: getattr(row, name) for name in names} for row in chart.rows.all()]


class PleatsForm(forms.Form):
    """Over how many pleats a chart is looked at: a number, or as in a size of a design."""

    worked_in = forms.ChoiceField(label=_("As in"), required=False)
    pleats = WholeNumberField(
        label=_("Pleats"), min_value=PLEAT_COUNT[0], max_value=PLEAT_COUNT[1], required=False
    )

    def __init__(self, *args: Any, sizes: Iterable[DesignSize], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sizes = {str(size.pk): size for size in sizes}
        worked_in = self.fields["worked_in"]
        worked_in.choices = [  # type: ignore[attr-defined] # a choice
            ("", _("a panel of any number of pleats")),
            *((key, _size_words(size)) for key, size in self.sizes.items()),
        ]
        if not self.sizes:
            del self.fields["worked_in"]

    @property
    def design_size(self) -> DesignSize | None:
        """The size of a design that was chosen."""
        return self.sizes.get(self.cleaned_data.get("worked_in", "")) if self.is_valid() else None

    @property
    def pleat_count(self) -> int | None:
        """The number of pleats that was typed."""
        return self.cleaned_data["pleats"] if self.is_valid() else None


def _size_words(size: DesignSize) -> str:
    return str(
        _("%(design)s, for a baby up to %(length)s")
        % {"design": size.revision.design, "length": size_length(size.size.body_length_um)}
    )
