"""What may be typed about a batch: its month and hours, its lines, its materials."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from gowngroup.batches.actions.batches import (
    MOST_GOWNS,
    MOST_GOWNS_A_KIT,
    MOST_MINUTES,
    LineDetails,
    StageHours,
)
from gowngroup.batches.models import Batch, BatchLine
from gowngroup.batches.planner.materials import Part, parts_of
from gowngroup.batches.planner.words import length_words
from gowngroup.batches.queries.batches import lines_of_batch
from gowngroup.catalog.models import DesignRevision, MaterialKind, Purpose, Size
from gowngroup.catalog.queries import revisions_in_use, sizes
from gowngroup.records.fields import ActionForm, NumberField, WholeNumberField
from gowngroup.records.templatetags.gown import size_length
from gowngroup.records.written import written_date, written_number
from gowngroup.stock.models import Fibre, Material
from gowngroup.stock.queries import materials

MONTHS_SHOWN = 4
STAGES = ("pleat", "smock", "make_up")
EMPTY_ROWS = 3


class HoursField(NumberField):
    """Hours typed, cleaned to minutes."""

    def prepare_value(self, value: object) -> object:
        return written_number(f"{value / 60:.10g}") if isinstance(value, int) else value

    def clean(self, value: object) -> Any:
        hours = super().clean(value)
        if hours is None:
            return None
        if hours * 60 > MOST_MINUTES:
            raise forms.ValidationError(
                _("Please give the hours of all volunteers together, at most %(most)d."),
                params={"most": MOST_MINUTES // 60},
            )
        return round(hours * 60)


def hours_field(**kwargs: Any) -> HoursField:
    """The hours all volunteers together offer for a batch."""
    return HoursField(
        label=_("Hours the volunteers offer"),
        help_text=_("All of them together, for this batch. It starts as the sum of what each has offered."),
        **kwargs,
    )


def stage_hours_field(label: Any) -> HoursField:
    """The most of all hours that may go to one stage."""
    return HoursField(label=label, required=False)


class StageHoursForm(ActionForm):
    """The hours offered, and of these at most so many for a stage where few can do it."""

    hours_offered = hours_field()
    pleat = stage_hours_field(_("Of these for pleating, at most"))
    smock = stage_hours_field(_("Of these for smocking, at most"))
    make_up = stage_hours_field(_("Of these for making up, at most"))

    def stage_cells(self) -> tuple[forms.BoundField, ...]:
        """The fields of the stages."""
        return tuple(self[name] for name in STAGES)

    def has_stage_hours(self) -> bool:
        """Has anything been typed for a stage?"""
        return any(self[name].value() not in (None, "") for name in STAGES)

    def stage_hours(self) -> StageHours:
        """Minutes for each stage, as typed."""
        return StageHours(**{f"{name}_min": self.cleaned_data[name] for name in STAGES})


def _count_field(label: Any, low: int, high: int, **kwargs: Any) -> forms.IntegerField:
    return WholeNumberField(label=label, min_value=low, max_value=high, **kwargs)


class StartBatchForm(StageHoursForm):
    """For which month a batch is, and the hours there are; a month that has one already comes with a word of that.

    `taken` says of months that have a batch whether one of them is still being put together: such a month is not
    offered, for that batch can be gone on with. Who has the form open since before may still send it.
    """

    month = forms.ChoiceField(label=_("For which month"))
    field_order = ("month", "hours_offered", *STAGES)

    def __init__(self, *args: Any, today: date, taken: Mapping[date, bool], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["month"]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101 - declared above
        months = months_shown(today)
        field.choices = [(month.isoformat(), _month_words(month, month in taken)) for month in months]
        offered = [month.isoformat() for month in months if not taken.get(month)]
        field.widget.choices = [choice for choice in field.choices if choice[0] in offered] or field.choices


def months_shown(today: date) -> list[date]:
    """The months a batch can be begun for, by their first days: this one and those after it."""
    return [
        date(today.year + (today.month - 1 + ahead) // 12, (today.month - 1 + ahead) % 12 + 1, 1)
        for ahead in range(MONTHS_SHOWN)
    ]


def _month_words(month: date, is_taken: bool) -> str:
    words = {"month": written_date(month, "F Y")}
    return gettext("%(month)s, a further batch") % words if is_taken else words["month"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of the form: the row it changes, if any, and its fields."""

    line: BatchLine | None
    cells: tuple[forms.BoundField, ...]

    @property
    def of(self) -> str:
        """What its fields are about, for those who hear them named: `150–250 g, memorial`."""
        if self.line is None:
            return ""
        purpose = f", {Purpose(self.line.purpose).label}" if self.line.purpose == Purpose.MEMORIAL else ""
        return f"{self.line.size.band}{purpose}"


class LinesForm(StageHoursForm):
    """The lines of a batch, each number of which may be changed, with empty rows for more."""

    def __init__(self, *args: Any, batch: Batch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["hours_offered"].initial = batch.hours_offered_min
        for name in STAGES:
            self.fields[name].initial = getattr(batch, f"{name}_min")
        self.lines = list(lines_of_batch(batch))
        self.revisions = revisions_in_use()
        self.sizes = list(sizes())
        for line in self.lines:
            self._add_line(line)
        for number in range(1, EMPTY_ROWS + 1):
            self._add_empty(number)

    def _revision_field(self, *, revisions: Sequence[DesignRevision], **kwargs: Any) -> forms.ChoiceField:
        choices = [(str(revision.pk), str(revision.design)) for revision in revisions]
        if not kwargs.get("required", True):
            choices = [("", "–"), *choices]
        return forms.ChoiceField(label=_("Design"), choices=choices, **kwargs)

    def _add_line(self, line: BatchLine) -> None:
        suiting = [each for each in self.revisions if each.design_id != line.design_revision.design_id]
        newest = [each for each in self.revisions if each.design_id == line.design_revision.design_id]
        own = {each.pk: each for each in [*newest, line.design_revision]}
        field = self._revision_field(
            revisions=[*own.values(), *suiting], initial=str(line.design_revision_id)
        )
        if len(own) > 1:
            field.choices = [
                (str(each.pk), self._numbered(each, is_newest=each in newest)) for each in own.values()
            ] + [(str(each.pk), str(each.design)) for each in suiting]
        self.fields[f"design_{line.pk}"] = field
        self.fields[f"gowns_{line.pk}"] = _count_field(_("Gowns"), 0, MOST_GOWNS, initial=line.gown_count)
        self.fields[f"per_kit_{line.pk}"] = _count_field(
            _("Gowns in a kit"), 1, MOST_GOWNS_A_KIT, initial=line.gowns_per_kit
        )

    @staticmethod
    def _numbered(revision: DesignRevision, *, is_newest: bool) -> str:
        words = _("%(design)s, as it is now") if is_newest else _("%(design)s, as it was (%(number)d)")
        return str(words) % {"design": revision.design, "number": revision.number}

    def _add_empty(self, number: int) -> None:
        self.fields[f"design_new{number}"] = self._revision_field(revisions=self.revisions, required=False)
        self.fields[f"size_new{number}"] = forms.ChoiceField(
            label=_("Size"),
            choices=[("", "–"), *((str(size.pk), size_words(size)) for size in self.sizes)],
            required=False,
        )
        self.fields[f"purpose_new{number}"] = forms.ChoiceField(
            label=_("Purpose"), choices=Purpose.choices, required=False
        )
        self.fields[f"gowns_new{number}"] = _count_field(_("Gowns"), 0, MOST_GOWNS, required=False)
        self.fields[f"per_kit_new{number}"] = _count_field(
            _("Gowns in a kit"), 1, MOST_GOWNS_A_KIT, required=False, initial=1
        )

    def rows(self) -> Iterator[Row]:
        """The lines there are."""
        for line in self.lines:
            names = (f"design_{line.pk}", f"gowns_{line.pk}", f"per_kit_{line.pk}")
            yield Row(line=line, cells=tuple(self[name] for name in names))

    def empty_rows(self) -> Iterator[Row]:
        """Places for more lines."""
        for number in range(1, EMPTY_ROWS + 1):
            names = ("design", "size", "purpose", "gowns", "per_kit")
            yield Row(line=None, cells=tuple(self[f"{name}_new{number}"] for name in names))

    def clean(self) -> dict[str, Any]:
        for number in range(1, EMPTY_ROWS + 1):
            if self.cleaned_data.get(f"gowns_new{number}"):
                for name in ("design", "size"):
                    field = f"{name}_new{number}"
                    if not self.cleaned_data.get(field) and field not in self.errors:
                        self.add_error(field, _("Please choose one for the gowns in this row."))
        return self.cleaned_data

    def details(self) -> list[LineDetails]:
        """Every line as typed; a line set to no gowns stays, so that what was asked is not forgotten."""
        known = {revision.pk: revision for revision in self.revisions}
        known |= {line.design_revision_id: line.design_revision for line in self.lines}
        data = self.cleaned_data
        kept = [
            LineDetails(
                revision=known[int(data[f"design_{line.pk}"])],
                size=line.size,
                purpose=line.purpose,
                gown_count=data[f"gowns_{line.pk}"],
                gowns_per_kit=data[f"per_kit_{line.pk}"],
                field=f"gowns_{line.pk}",
            )
            for line in self.lines
        ]
        by_pk = {size.pk: size for size in self.sizes}
        added = [
            LineDetails(
                revision=known[int(data[f"design_new{number}"])],
                size=by_pk[int(data[f"size_new{number}"])],
                purpose=data[f"purpose_new{number}"] or Purpose.WORN,
                gown_count=data[f"gowns_new{number}"],
                gowns_per_kit=data[f"per_kit_new{number}"] or 1,
                field=f"gowns_new{number}",
            )
            for number in range(1, EMPTY_ROWS + 1)
            if data.get(f"gowns_new{number}")
        ]
        return kept + added


def size_words(size: Size) -> str:
    """A size as a length with its weight band."""
    return _("up to %(length)s (%(band)s)") % {"length": size_length(size.body_length_um), "band": size.band}


@dataclass(frozen=True, slots=True, kw_only=True)
class DesignParts:
    """The parts of one design with their fields."""

    revision: DesignRevision
    cells: tuple[forms.BoundField, ...]


def _facts(material: Material) -> str:
    """The width a trim shows, where it is known, and its wash: `12 mm, 71 °C`."""
    wash = f"{material.wash_max_c} °C"
    return wash if material.shown_um is None else f"{length_words(material.shown_um)}, {wash}"


class ChoicesForm(ActionForm):
    """Which material each part of each design is made of, and how the cloth is cut."""

    cutting_way = forms.ChoiceField(
        label=_("How shall the cloth be cut?"),
        choices=Batch.CuttingWay.choices,
        widget=forms.RadioSelect,
    )

    def __init__(self, *args: Any, batch: Batch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["cutting_way"].initial = batch.cutting_way
        revisions = {line.design_revision_id: line.design_revision for line in lines_of_batch(batch)}
        self.parts = {
            f"part_{revision.pk}_{number}": part
            for revision in revisions.values()
            for number, part in enumerate(parts_of(revision))
        }
        chosen = {
            (row.design_revision_id, row.kind, row.part): row.material_id for row in batch.choices.all()
        }
        self.materials: dict[str, Material] = {}
        offered = {kind: self._offered(kind) for kind in {part.kind for part in self.parts.values()}}
        for name, part in self.parts.items():
            empty = _("any that suits") if part.kind == MaterialKind.CLOTH else _("not chosen yet")
            initial = chosen.get((part.revision.pk, part.kind, part.name))
            self.fields[name] = forms.ChoiceField(
                label=capfirst(part.label),
                choices=[("", empty), *offered[part.kind]],
                required=False,
                initial=str(initial or ""),
            )

    def _offered(self, kind: str) -> list[tuple[str, str]]:
        rows = list(materials(kind=kind).filter(is_active=True).exclude(fibre=Fibre.METAL))
        self.materials |= {str(row.pk): row for row in rows}
        return [(str(row.pk), f"{row} ({_facts(row)})") for row in rows]

    def designs(self) -> Iterator[DesignParts]:
        """The parts design by design."""
        for revision in {part.revision.pk: part.revision for part in self.parts.values()}.values():
            cells = tuple(self[name] for name, part in self.parts.items() if part.revision.pk == revision.pk)
            yield DesignParts(revision=revision, cells=cells)

    def chosen(self) -> list[tuple[Part, Material | None]]:
        """Each part with the material typed for it."""
        return [(part, self.materials.get(self.cleaned_data[name])) for name, part in self.parts.items()]
