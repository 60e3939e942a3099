"""Pleaters: what a pleat takes up and how far the rows stand apart, measured on the group's own machine."""

from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.catalog import limits
from gowngroup.catalog.models import PleaterProfile
from gowngroup.people.models import Person
from gowngroup.planning.smocking import calibrated_take_up_mm
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken
from gowngroup.records.written import written_number


class PleaterNameTaken(Taken):
    """Another pleater has this name."""


class ImplausiblePleater(Refusal):
    """No pleater takes up so much cloth or has its rows so far apart."""


@action
def add_pleater(
    *,
    name: str,
    take_up_um: int,
    row_space_um: int,
    needle_count: int,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> PleaterProfile:
    """Add a pleater; the first one is used for planning."""
    if PleaterProfile.objects.filter(name__iexact=name.strip()).exists():
        raise PleaterNameTaken(
            _("There is a pleater called “%(name)s” already.") % {"name": name}, field="name"
        )
    _refuse_implausible(take_up_um, row_space_um)
    pleater = PleaterProfile.objects.create(
        name=name.strip(),
        take_up_um=take_up_um,
        row_space_um=row_space_um,
        needle_count=needle_count,
        is_in_use=not PleaterProfile.objects.filter(is_in_use=True).exists(),
    )
    record(by=by, at=at, did="add_pleater", subject=pleater)
    return pleater


@action
def change_pleater(
    *,
    pleater: PleaterProfile,
    take_up_um: int,
    row_space_um: int,
    needle_count: int,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> PleaterProfile:
    """Change a pleater's measures."""
    _refuse_implausible(take_up_um, row_space_um)
    kept = PleaterProfile.objects.select_for_update().get(pk=pleater.pk)
    changes = {
        "take_up_um": [kept.take_up_um, take_up_um],
        "row_space_um": [kept.row_space_um, row_space_um],
        "needle_count": [kept.needle_count, needle_count],
    }
    kept.take_up_um, kept.row_space_um, kept.needle_count = take_up_um, row_space_um, needle_count
    kept.save(update_fields=["take_up_um", "row_space_um", "needle_count"])
    record(by=by, at=at, did="change_pleater", subject=kept, changes=changes)
    return kept


@action
def calibrate_pleater(
    *,
    pleater: PleaterProfile,
    counted_pleats: int,
    over_um: int,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> PleaterProfile:
    """Work out what a pleat takes up from the pleats counted over a length of flat cloth."""
    if counted_pleats < 1:
        raise ImplausiblePleater(_("Please count at least one pleat."), field="counted_pleats")
    take_up_um = round(1000 * calibrated_take_up_mm(counted_pleats=counted_pleats, over_mm=over_um / 1000))
    kept = PleaterProfile.objects.select_for_update().get(pk=pleater.pk)
    _refuse_implausible(take_up_um, kept.row_space_um, field="counted_pleats")
    before, kept.take_up_um, kept.calibrated_on = kept.take_up_um, take_up_um, at.date()
    kept.save(update_fields=["take_up_um", "calibrated_on"])
    record(by=by, at=at, did="calibrate_pleater", subject=kept, changes={"take_up_um": [before, take_up_um]})
    return kept


@action
def use_pleater(
    *, pleater: PleaterProfile, by: Person, at: datetime, request_key: str = ""
) -> PleaterProfile:
    """Plan with this pleater from now on."""
    PleaterProfile.objects.filter(is_in_use=True).update(is_in_use=False)
    PleaterProfile.objects.filter(pk=pleater.pk).update(is_in_use=True)
    pleater.refresh_from_db()
    record(by=by, at=at, did="use_pleater", subject=pleater)
    return pleater


def _refuse_implausible(take_up_um: int, row_space_um: int, *, field: str = "take_up_um") -> None:
    if not limits.is_within(take_up_um, limits.TAKE_UP_UM):
        raise ImplausiblePleater(
            _("One pleat would take up %(found)s mm of flat cloth; pleaters take 4 to 12 mm.")
            % {"found": written_number(f"{take_up_um / 1000:.2f}")},
            field=field,
        )
    if not limits.is_within(row_space_um, limits.ROW_SPACE_UM):
        raise ImplausiblePleater(
            _("The rows would stand %(found)s mm apart; pleaters have 8 to 12 mm.")
            % {"found": written_number(f"{row_space_um / 1000:.2f}")},
            field="row_space_um",
        )
