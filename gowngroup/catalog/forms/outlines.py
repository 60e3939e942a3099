"""Pieces of the group's own, by their corners."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from gowngroup.catalog import limits
from gowngroup.catalog.actions import OutlineEntry
from gowngroup.catalog.forms.corners import CornersField
from gowngroup.catalog.forms.designs import MOST_FORMS
from gowngroup.catalog.forms.lengths import ExactLengths, RowsToTakeOut, length_field
from gowngroup.catalog.models import DesignSize, OutlinePiece, RectanglePiece
from gowngroup.records.fields import WholeNumberField
from gowngroup.records.reader import current_reader


class OutlineForm(ExactLengths):
    """One piece; one without a name and corners is left out."""

    name = forms.CharField(label=_("Piece"), max_length=60)
    part = forms.ChoiceField(
        label=_("Part of the gown"),
        choices=RectanglePiece.Part.choices,
        initial=RectanglePiece.Part.OTHER,
    )
    piece_count = WholeNumberField(label=_("How many"), min_value=1, max_value=limits.MOST_PIECES, initial=1)
    corners_um = CornersField(label=_("Corners"))
    allowance_um = length_field(
        limits.SEAM_ALLOWANCE_UM,
        label=_("Seam allowance to add all round"),
        initial=0,
        help_text=_("0 where the corners already include it."),
    )
    grain_deg = forms.TypedChoiceField(
        label=_("Grain"), coerce=int, choices=OutlinePiece.Grain.choices, initial=OutlinePiece.Grain.ALONG
    )
    is_on_fold = forms.BooleanField(
        label=_("This is half the piece: its left edge lies on the fold"), required=False
    )
    is_pair = forms.BooleanField(label=_("Every second one is turned over"), required=False)
    may_turn = forms.BooleanField(label=_("May be turned upside down"), required=False, initial=True)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        unit = current_reader().length_unit
        self.fields["corners_um"].help_text = _(
            "A line for each corner, in %(unit)s: how far across, then how far down. A third number bows the edge"
            " to the next corner outwards, or inwards with a minus."
        ) % {"unit": unit}

    def entry(self) -> OutlineEntry | None:
        """The piece as typed, or None for an empty one or one to take out."""
        data = {name: value for name, value in self.cleaned_data.items() if name != "DELETE"}
        return OutlineEntry(**data) if data and not self.cleaned_data.get("DELETE") else None


OutlineFormSet = forms.formset_factory(
    OutlineForm,
    formset=RowsToTakeOut,
    extra=1,
    max_num=MOST_FORMS,
    validate_max=True,
    can_delete=True,
)


def outline_values(design_size: DesignSize) -> list[dict[str, Any]]:
    """The pieces of a size as a formset shows them."""
    return [
        {name: getattr(piece, name) for name in OutlineForm.base_fields} | {"corners_um": _corners(piece)}
        for piece in design_size.outlines.all()
    ]


def _corners(piece: OutlinePiece) -> tuple[tuple[int, ...], ...]:
    return tuple(tuple(corner) for corner in piece.corners_um)
