"""What may be typed about hospitals, wards and their requests."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from gowngroup.catalog.models import DesignRevision, Purpose, Size
from gowngroup.catalog.queries import sizes
from gowngroup.records.fields import ActionForm, WholeNumberField
from gowngroup.records.templatetags.gown import size_length
from gowngroup.records.widgets import DayInput
from gowngroup.records.written import written_date
from gowngroup.wards.actions import LineEntry, WardDetails
from gowngroup.wards.actions.lines import MOST_GOWNS, SET_GOWNS
from gowngroup.wards.actions.requests import MONTHS_AHEAD
from gowngroup.wards.actions.wards import SHELF_MOST, WASH_C
from gowngroup.wards.models import Hospital, Ward, WardRequest
from gowngroup.wards.queries import shelf_levels

EMPTY_SETS = 2


class HospitalForm(ActionForm):
    name = forms.CharField(label=_("Name of the hospital"), max_length=120)
    address = forms.CharField(
        label=_("Address"), max_length=500, required=False, widget=forms.Textarea(attrs={"rows": 4})
    )


ID_DIGITS_MOST = 18  # more does not fit the databases' own integers


def size_label(size: Size) -> str:
    """A size for people of the group: as a length, with its weight band."""
    return _("for a baby up to %(length)s (%(band)s)") % {
        "length": size_length(size.body_length_um),
        "band": size.band,
    }


class SizesField(forms.ModelMultipleChoiceField):  # type: ignore[type-arg] # not generic at run time
    """Sizes to tick, each as a length with its weight band."""

    widget = forms.CheckboxSelectMultiple

    def label_from_instance(self, obj: Size) -> str:
        return size_label(obj)

    def clean(self, value: Any) -> Any:
        too_long = next((one for one in value or () if len(str(one)) > ID_DIGITS_MOST), None)
        if too_long is not None:
            raise ValidationError(self.error_messages["invalid_choice"], params={"value": too_long})
        return super().clean(value)


class WordsField(forms.CharField):
    """Words a line each, or with commas between them."""

    widget = forms.Textarea(attrs={"rows": 3})

    def prepare_value(self, value: Any) -> Any:
        return "\n".join(value) if isinstance(value, list) else value

    def clean(self, value: Any) -> Any:
        return [word.strip() for word in re.split(r"[,;\n]", super().clean(value)) if word.strip()]


class WardForm(ActionForm):
    """A ward and what it accepts."""

    hospital = forms.ModelChoiceField(label=_("Hospital"), queryset=Hospital.objects.all())
    name = forms.CharField(label=_("Name of the ward"), max_length=120)
    contact_name = forms.CharField(label=_("Contact"), max_length=120, required=False)
    contact_telephone = forms.CharField(label=_("Contact’s telephone"), max_length=40, required=False)
    contact_email = forms.EmailField(label=_("Contact’s email address"), required=False)
    sizes = SizesField(
        label=_("Sizes on the ward’s list"),
        queryset=Size.objects.all(),
        help_text=_("The ward decides which sizes it wants, and for what."),
    )
    closures = forms.MultipleChoiceField(
        label=_("Closures the ward accepts"),
        choices=DesignRevision.Closure.choices,
        widget=forms.CheckboxSelectMultiple,
    )
    wash_c = WholeNumberField(
        label=_("The ward’s wash temperature, in °C"),
        min_value=WASH_C[0],
        max_value=WASH_C[1],
        help_text=_("60 °C and tumble dry is common; some laundries wash at 71 °C. Ask the ward."),
    )
    avoided_shades = WordsField(
        label=_("Shades the ward does not want to see"),
        max_length=1000,
        required=False,
        help_text=_(
            "A line each, such as yellow, which makes jaundice hard to see. Cloth with such a word in its name is "
            "not used for this ward; for lace and floss you are told."
        ),
    )
    packing = forms.CharField(
        label=_("Packing"),
        max_length=200,
        required=False,
        help_text=_("For example: one gown a clear bag, sealed, the size on the outside."),
    )
    rules = forms.CharField(
        label=_("The ward’s rules, a line each"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 5}),
    )
    is_active = forms.BooleanField(label=_("This ward is being served"), required=False)

    def __init__(self, *args: Any, ward: Ward | None = None, **kwargs: Any) -> None:
        super().__init__(*args, initial=_ward_values(ward) | kwargs.pop("initial", {}), **kwargs)
        if ward is None:
            del self.fields["is_active"]
        else:
            del self.fields["hospital"]

    def details(self) -> WardDetails:
        """The ward's details as typed."""
        names = WardDetails.__dataclass_fields__
        values = {name: value for name, value in self.cleaned_data.items() if name in names}
        return WardDetails(**{**values, "sizes": list(values["sizes"])})


def _ward_values(ward: Ward | None) -> dict[str, Any]:
    if ward is None:
        return {"wash_c": 60, "closures": [DesignRevision.Closure.FLAT_FASTENING]}
    names = (*WardDetails.__dataclass_fields__, "is_active")
    return {name: getattr(ward, name) for name in names if name != "sizes"} | {"sizes": ward.sizes.all()}


class PauseForm(ActionForm):
    paused_until = forms.DateField(
        label=_("No deliveries until"),
        required=False,
        widget=DayInput,
        help_text=_("Leave it empty to deliver again."),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class GridRow:
    """One size of a grid: what may be typed beside it."""

    size: Size
    cells: tuple[BoundField, ...]


class ShelfForm(ActionForm):
    """The agreed shelf: for each size of the ward at least so many, and so many there now."""

    def __init__(self, *args: Any, ward: Ward, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sizes = list(ward.sizes.all())
        known = {level.size_id: level for level in shelf_levels(ward)}
        for size in self.sizes:
            level = known.get(size.pk)
            for name, label, value in (
                ("minimum", _("At least"), level.minimum_count if level else None),
                ("present", _("There now"), level.present_count if level else None),
            ):
                self.fields[f"{name}_{size.pk}"] = WholeNumberField(
                    label=label, min_value=0, max_value=SHELF_MOST, required=False, initial=value
                )

    def rows(self) -> Iterator[GridRow]:
        """The grid, smallest size first."""
        for size in self.sizes:
            cells = tuple(self[f"{name}_{size.pk}"] for name in ("minimum", "present"))
            yield GridRow(size=size, cells=cells)

    def levels(self) -> dict[Size, tuple[int, int]]:
        """What was typed; empty counts as none."""
        data = self.cleaned_data
        return {
            size: (data[f"minimum_{size.pk}"] or 0, data[f"present_{size.pk}"] or 0) for size in self.sizes
        }


class RequestForm(ActionForm):
    """What a ward asks for: a grid of sizes and purposes, and matched sets."""

    field_order = ["month"]
    is_urgent = forms.BooleanField(label=_("Urgent: needed today"), required=False)
    is_standing = forms.BooleanField(label=_("Repeats each month until changed"), required=False)
    note = forms.CharField(
        label=_("Note"), max_length=1000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )

    def __init__(
        self,
        *args: Any,
        ward: Ward,
        today: date,
        request: WardRequest | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, initial=_request_values(request) | kwargs.pop("initial", {}), **kwargs)
        self.listed = {size.pk for size in ward.sizes.all()}
        self.sizes = list(sizes())
        if request is None:
            self.fields["month"] = forms.ChoiceField(label=_("For which month"), choices=month_choices(today))
            self.order_fields(self.field_order)
        else:
            del self.fields["is_urgent"]
        self._add_grid(request)
        self.set_count = self._add_sets(request)

    def _add_grid(self, request: WardRequest | None) -> None:
        counts = _single_counts(request)
        for size in self.sizes:
            for purpose in Purpose:
                self.fields[f"count_{size.pk}_{purpose.value}"] = WholeNumberField(
                    label=purpose_label(purpose.value),
                    min_value=0,
                    max_value=MOST_GOWNS,
                    required=False,
                    initial=counts.get((size.pk, purpose.value)),
                )

    def _add_sets(self, request: WardRequest | None) -> int:
        known = _set_choices(request)
        count = len(known) + EMPTY_SETS
        choices = [("", _("no gown")), *self._gown_choices()]
        for number in range(1, count + 1):
            chosen = known[number - 1] if number <= len(known) else []
            for place in range(1, SET_GOWNS[1] + 1):
                self.fields[f"set_{number}_{place}"] = forms.ChoiceField(
                    label=_("Gown %(place)d") % {"place": place},
                    choices=choices,
                    required=False,
                    initial=chosen[place - 1] if place <= len(chosen) else "",
                )
        return count

    def _gown_choices(self) -> list[tuple[str, str]]:
        return [
            (f"{size.pk}:{purpose.value}", f"{size_label(size)}, {purpose_label(purpose.value)}")
            for size in self.sizes
            for purpose in Purpose
            if size.pk in self.listed
        ]

    def listed_rows(self) -> list[GridRow]:
        """The grid of the ward's own sizes and purposes, smallest size first."""
        return [self._row(size) for size in self.sizes if size.pk in self.listed]

    def other_rows(self) -> list[GridRow]:
        """The grid of the sizes that are not on the ward's list."""
        return [self._row(size) for size in self.sizes if size.pk not in self.listed]

    def _row(self, size: Size) -> GridRow:
        cells = tuple(self[f"count_{size.pk}_{purpose.value}"] for purpose in Purpose)
        return GridRow(size=size, cells=cells)

    @property
    def has_others(self) -> bool:
        """Is a size asked for that is not on the list, or to be put right?"""
        return any(cell.value() or cell.errors for row in self.other_rows() for cell in row.cells)

    def sets(self) -> Iterator[tuple[int, tuple[BoundField, ...]]]:
        """The matched sets, each with the places of its gowns."""
        for number in range(1, self.set_count + 1):
            yield number, tuple(self[f"set_{number}_{place}"] for place in range(1, SET_GOWNS[1] + 1))

    @property
    def has_sets(self) -> bool:
        """Is a matched set entered or to be put right?"""
        return any(cell.value() or cell.errors for _number, cells in self.sets() for cell in cells)

    def lines(self) -> list[LineEntry]:
        """What is asked for, as typed."""
        by_pk = {size.pk: size for size in self.sizes}
        lines = [
            LineEntry(size=size, purpose=purpose.value, gown_count=count)
            for size in self.sizes
            for purpose in Purpose
            if (count := self.cleaned_data[f"count_{size.pk}_{purpose.value}"])
        ]
        for number, cells in self.sets():
            for cell in cells:
                if chosen := self.cleaned_data[cell.name]:
                    size_pk, purpose_value = chosen.split(":")
                    lines.append(
                        LineEntry(
                            size=by_pk[int(size_pk)], purpose=purpose_value, gown_count=1, set_number=number
                        )
                    )
        return lines


def purpose_label(purpose: str) -> str:
    """What gowns are for, in words a ward would use."""
    if purpose == Purpose.MEMORIAL:
        return str(_("for babies who die, before or soon after birth"))
    return str(Purpose(purpose).label)


def month_choices(today: date) -> list[tuple[str, str]]:
    """This month and those a request may be entered ahead for."""
    months = [
        date(today.year + (today.month - 1 + ahead) // 12, (today.month - 1 + ahead) % 12 + 1, 1)
        for ahead in range(MONTHS_AHEAD + 1)
    ]
    return [(month.isoformat(), written_date(month, "F Y")) for month in months]


def _request_values(request: WardRequest | None) -> dict[str, Any]:
    if request is None:
        return {}
    return {"is_standing": request.is_standing, "note": request.note}


def _single_counts(request: WardRequest | None) -> dict[tuple[int, str], int]:
    if request is None:
        return {}
    return {
        (line.size_id, line.purpose): line.gown_count
        for line in request.lines.all()
        if line.set_number is None
    }


def _set_choices(request: WardRequest | None) -> list[list[str]]:
    """The gowns of each matched set, in the order of the sets' numbers."""
    sets: dict[int, list[str]] = {}
    for line in request.lines.all() if request else ():
        if line.set_number is not None:
            sets.setdefault(line.set_number, []).extend([f"{line.size_id}:{line.purpose}"] * line.gown_count)
    return [sets[number] for number in sorted(sets)]
