"""What may be typed about a design, its sizes, pieces and trims."""

from collections.abc import Iterator
from itertools import groupby, pairwise
from typing import Any, cast

from django import forms
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from gowngroup.catalog import limits
from gowngroup.catalog.actions import DRAFT_EDGES, NeedEntry, PieceEntry, RevisionDetails, SizeEntry
from gowngroup.catalog.forms.lengths import ExactLengths, RowsToTakeOut, length_field
from gowngroup.catalog.models import (
    TRIM_KINDS,
    Chart,
    Design,
    DesignRevision,
    DesignSize,
    MaterialKind,
    RectanglePiece,
    Size,
)
from gowngroup.catalog.planner import measure_labels
from gowngroup.catalog.queries import sizes
from gowngroup.records.fields import ActionForm, WholeNumberField

STAGE_COUNT = 3  # pleating, smocking, making up
EMPTY_PIECES, EMPTY_NEEDS, MOST_FORMS = 3, 1, 40
EDGES = {
    "": _("none: I type the lengths"),
    "hem": _("lower edge"),
    "sleeve_hem": _("sleeve hems"),
    "neck": _("neck"),
    "yoke_seam": _("seam between panel and yoke"),
    "round": _("all round"),
}
NEED_KINDS = [(kind.value, kind.label) for kind in (*TRIM_KINDS, MaterialKind.NOTION)]
# Finished measures a group types where no draft works them out.
TYPED_MEASURES = ("neck_mm", "chest_mm", "length_mm")


class DetailsForm(ExactLengths, ActionForm):
    """What a revision says apart from its sizes, pieces and trims; a new design also takes a name and a kind."""

    name = forms.CharField(label=_("Name of the design"), max_length=80)
    kind = forms.ChoiceField(label=_("How it is cut"), choices=Design.Kind.choices, widget=forms.RadioSelect)
    chart = forms.ModelChoiceField(
        label=_("Smocking chart"),
        queryset=Chart.objects.all(),
        required=False,
        empty_label=_("not smocked"),
    )
    closure = forms.ChoiceField(
        label=_("Closure"),
        choices=DesignRevision.Closure.choices,
        help_text=_("No metal, and no cord or tie at the neck."),
    )
    tie_length_um = length_field(
        limits.TIE_LENGTH_UM,
        label=_("Finished length of a tie"),
        required=False,
        help_text=_("Only for ties: shorter than the baby’s neck is round."),
    )
    difficulty = forms.TypedChoiceField(
        label=_("Difficulty"),
        coerce=int,
        choices=[(1, _("easy")), (2, _("some practice")), (3, _("experienced"))],
    )
    is_for_worn = forms.BooleanField(label=_("For gowns to wear"), required=False)
    is_for_memorial = forms.BooleanField(
        label=_("For babies who die, before or soon after birth"), required=False
    )
    cloth_mass_min_g_per_m2 = WholeNumberField(
        label=_("Cloth weight from, in grams per square metre"),
        min_value=limits.CLOTH_MASS_G_PER_M2[0],
        max_value=limits.CLOTH_MASS_G_PER_M2[1],
    )
    cloth_mass_max_g_per_m2 = WholeNumberField(
        label=_("Cloth weight to, in grams per square metre"),
        min_value=limits.CLOTH_MASS_G_PER_M2[0],
        max_value=limits.CLOTH_MASS_G_PER_M2[1],
    )
    seam_class = forms.ChoiceField(
        label=_("How its seams are sewn"),
        choices=DesignRevision.SeamClass.choices,
        help_text=_("A French seam lies flattest on a small baby’s skin; overedge takes far more thread."),
    )
    trim_class = forms.ChoiceField(label=_("How lace is sewn on"), choices=DesignRevision.TrimClass.choices)
    matched_parts = forms.MultipleChoiceField(
        label=_("Parts whose print must meet, on cloth with a repeat"),
        choices=DesignRevision.MatchedPart.choices,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("Each of them takes up to one repeat more cloth."),
    )
    companions = forms.MultipleChoiceField(
        label=_("Cut along with each gown, from the same cloth"),
        choices=DesignRevision.Companion.choices,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    order_of_work = forms.CharField(
        label=_("Order of work, a step a line"),
        required=False,
        max_length=6000,
        widget=forms.Textarea(attrs={"rows": 10}),
        help_text=_(
            "Leave one line empty where the smocking begins and one where it ends: then a kit that is only pleated, smocked or made up gets its own steps alone."
        ),
    )

    def __init__(self, *args: Any, revision: DesignRevision | None = None, **kwargs: Any) -> None:
        super().__init__(*args, initial=_details_values(revision or DesignRevision()), **kwargs)
        if revision is not None:
            del self.fields["name"], self.fields["kind"]

    def details(self) -> RevisionDetails:
        """The details as typed."""
        values = {
            name: self.cleaned_data[name]
            for name in RevisionDetails.__dataclass_fields__
            if name not in ("order_of_work", "stage_ends", "tie_length_um", "companions", "matched_parts")
        }
        steps, stage_ends = _steps_typed(self.cleaned_data["order_of_work"])
        return RevisionDetails(
            **values,
            tie_length_um=self.cleaned_data["tie_length_um"] or 0,
            order_of_work=steps,
            stage_ends=stage_ends,
            companions=tuple(self.cleaned_data["companions"]),
            matched_parts=tuple(self.cleaned_data["matched_parts"]),
        )


def _steps_typed(text: str) -> tuple[tuple[str, ...], tuple[int, ...]]:
    """The steps, and after how many of them pleating and smocking end, where empty lines part them in three."""
    lines = [line.strip() for line in text.strip().splitlines()]
    runs = [list(run) for is_step, run in groupby(lines, key=bool) if is_step]
    ends = (len(runs[0]), len(runs[0]) + len(runs[1])) if len(runs) == STAGE_COUNT else ()
    return tuple(line for line in lines if line), ends


def _steps_as_typed(revision: DesignRevision) -> str:
    ends = [0, *revision.stage_ends, len(revision.order_of_work)]
    stages = ["\n".join(revision.order_of_work[start:end]) for start, end in pairwise(ends)]
    return "\n\n".join(stages)


def _details_values(revision: DesignRevision) -> dict[str, Any]:
    values = {name: getattr(revision, name) for name in RevisionDetails.__dataclass_fields__}
    return values | {
        "order_of_work": _steps_as_typed(revision),
        "tie_length_um": revision.tie_length_um or None,
    }


class DesignForm(ActionForm):
    name = forms.CharField(label=_("Name of the design"), max_length=80)
    is_active = forms.BooleanField(label=_("Is being made"), required=False)


class SizesForm(ExactLengths, ActionForm):
    """In which sizes a design is made; one that is not drafted also with its pleats and finished measures."""

    def __init__(self, *args: Any, revision: DesignRevision, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.is_drafted = revision.design.is_drafted()
        self.sizes = list(sizes())
        self.known = {row.size_id: row for row in revision.sizes.all()}
        for size in self.sizes:
            row = self.known.get(size.pk)
            self.fields[f"made_{size.pk}"] = forms.BooleanField(
                label=_("Made"), required=False, initial=row is not None
            )
            if not self.is_drafted:
                self._add_typed(size, row)

    def _add_typed(self, size: Size, row: DesignSize | None) -> None:
        low, high = limits.PLEAT_COUNT
        self.fields[f"pleats_{size.pk}"] = WholeNumberField(
            label=_("Pleats"),
            min_value=low,
            max_value=high,
            required=False,
            initial=row.pleat_count if row else None,
        )
        self.fields[f"width_{size.pk}"] = length_field(
            limits.SMOCKED_WIDTH_UM,
            label=_("Smocked width"),
            required=False,
            initial=row.smocked_width_um if row else None,
        )
        for key in TYPED_MEASURES:
            value = row.overrides.get(key) if row else None
            self.fields[f"{key}_{size.pk}"] = length_field(
                limits.FINISHED_MEASURE_UM,
                label=measure_labels()[key],
                required=False,
                initial=None if value is None else round(value * 1000),
            )

    def names(self) -> tuple[str, ...]:
        """The columns of the grid."""
        return ("made",) if self.is_drafted else ("made", "pleats", "width", *TYPED_MEASURES)

    def labels(self) -> list[Any]:
        """The headings of the grid, each with its unit."""
        first = self.sizes[0].pk if self.sizes else 0
        return [self.fields[f"{name}_{first}"] for name in self.names() if self.sizes]

    def rows(self) -> Iterator[tuple[Size, list[BoundField]]]:
        """The grid, smallest size first."""
        for size in self.sizes:
            yield size, [self[f"{name}_{size.pk}"] for name in self.names()]

    def entries(self) -> list[SizeEntry]:
        """The sizes that are made, as typed; drafted ones keep the measures the group has set."""
        made = [size for size in self.sizes if self.cleaned_data[f"made_{size.pk}"]]
        return [self._kept(size) if self.is_drafted else self._entry(size) for size in made]

    def _kept(self, size: Size) -> SizeEntry:
        row = self.known.get(size.pk)
        return SizeEntry(size=size, overrides=row.overrides if row else {})

    def _entry(self, size: Size) -> SizeEntry:
        data = self.cleaned_data
        typed_um = {key: data[f"{key}_{size.pk}"] for key in TYPED_MEASURES}
        return SizeEntry(
            size=size,
            pleat_count=data[f"pleats_{size.pk}"],
            smocked_width_um=data[f"width_{size.pk}"],
            overrides={key: length_um / 1000 for key, length_um in typed_um.items() if length_um},
        )


class PieceForm(ExactLengths):
    """One rectangle; a row without a name is left out."""

    name = forms.CharField(label=_("Piece"), max_length=60)
    part = forms.ChoiceField(
        label=_("Part of the gown"),
        choices=RectanglePiece.Part.choices,
        initial=RectanglePiece.Part.OTHER,
    )
    piece_count = WholeNumberField(label=_("How many"), min_value=1, max_value=20, initial=1)
    width_um = length_field(limits.PIECE_WIDTH_UM, label=_("Width, across the cloth"))
    length_um = length_field(limits.PIECE_LENGTH_UM, label=_("Length, along the selvedge"))
    may_turn = forms.BooleanField(label=_("May be turned upside down"), required=False, initial=True)

    def entry(self) -> PieceEntry | None:
        """The piece as typed, or None for an empty row or one to take out."""
        data = {name: value for name, value in self.cleaned_data.items() if name != "DELETE"}
        return PieceEntry(**data) if data and not self.cleaned_data.get("DELETE") else None


PieceFormSet = forms.formset_factory(
    PieceForm,
    formset=RowsToTakeOut,
    extra=EMPTY_PIECES,
    max_num=MOST_FORMS,
    validate_max=True,
    can_delete=True,
)


def piece_values(design_size: DesignSize) -> list[dict[str, Any]]:
    """The pieces of a size as a formset shows them."""
    names = PieceForm.base_fields
    return [{name: getattr(piece, name) for name in names} for piece in design_size.pieces.all()]


class NeedForm(ExactLengths):
    """One trim or notion; lengths per size where no edge of a draft is followed."""

    kind = forms.ChoiceField(label=_("What"), choices=NEED_KINDS)
    place = forms.CharField(label=_("Where it goes"), max_length=60)
    edge = forms.ChoiceField(label=_("Edge it follows"), choices=EDGES.items(), required=False)
    gather_percent = WholeNumberField(
        label=_("Gathering: 100 is flat, 150 sparse, 200 full"),
        min_value=limits.GATHER_PERCENT[0],
        max_value=limits.GATHER_PERCENT[1],
        initial=100,
    )
    end_allowance_um = length_field(
        limits.END_ALLOWANCE_UM, label=_("Turned in, or caught in a seam, at each end"), initial=10_000
    )
    piece_count = WholeNumberField(label=_("How many on a gown"), min_value=1, max_value=20, initial=1)
    width_um = length_field(
        limits.TRIM_WIDTH_UM,
        label=_("Width that shows"),
        required=False,
        help_text=_(
            "Where it matters, as for entredeux, insertion and beading: measure between the seams, batiste edges left out."
        ),
    )
    is_threaded = forms.BooleanField(
        label=_("A ribbon is drawn through it"),
        required=False,
        help_text=_("Only for beading; its ends are caught in the seams. Never at the neck."),
    )

    def __init__(self, *args: Any, revision: DesignRevision, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.revision = revision
        edges = DRAFT_EDGES.get(revision.design.kind)
        if edges is None:
            del self.fields["edge"]
        else:
            cast(forms.ChoiceField, self.fields["edge"]).choices = [(key, EDGES[key]) for key in ("", *edges)]
        for row in revision.sizes.all():
            self.fields[f"length_{row.size_id}"] = length_field(
                limits.NEED_LENGTH_UM,
                label=_("Finished length, %(size)s") % {"size": row.size},
                required=False,
            )

    def entry(self) -> NeedEntry | None:
        """The need as typed, or None for an empty one or one to take out."""
        data = self.cleaned_data
        if not data or data.get("DELETE"):
            return None
        lengths = {row.size_id: data[f"length_{row.size_id}"] for row in self.revision.sizes.all()}
        names = [name for name in NeedForm.base_fields if name in data]
        return NeedEntry(
            **{name: data[name] for name in names},
            lengths_um={size_id: length for size_id, length in lengths.items() if length},
        )


NeedFormSet = forms.formset_factory(
    NeedForm, formset=RowsToTakeOut, extra=EMPTY_NEEDS, max_num=MOST_FORMS, validate_max=True, can_delete=True
)


def need_values(revision: DesignRevision) -> list[dict[str, Any]]:
    """The needs of a revision as a formset shows them."""
    return [
        {name: getattr(need, name) for name in NeedForm.base_fields}
        | {f"length_{row.size_id}": row.length_um for row in need.lengths.all()}
        for need in revision.needs.prefetch_related("lengths")
    ]
