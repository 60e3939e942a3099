"""Hospitals, wards, their rules and the shelf agreed with them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.catalog.models import DesignRevision, Size
from gowngroup.people.models import Group, Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken
from gowngroup.wards.models import Hospital, ShelfLevel, Ward

PERSONAL_FIELDS = ("contact_name", "contact_email", "contact_telephone")
WASH_C = (20, 95)
SHELF_MOST = 200
MOST_SHADES = 20
SHADE_LETTERS = (2, 40)


class HospitalNameTaken(Taken):
    """Another hospital has this name."""


class WardNameTaken(Taken):
    """The hospital has a ward of this name."""


class ImpossibleWard(Refusal):
    """The ward's rules leave nothing that could be delivered, or cannot be right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WardDetails:
    """What is known of a ward and what it accepts."""

    name: str
    sizes: Sequence[Size]
    closures: Sequence[str]
    contact_name: str = ""
    contact_email: str = ""
    contact_telephone: str = ""
    wash_c: int = 60
    avoided_shades: Sequence[str] = ()
    packing: str = ""
    rules: str = ""

    def as_fields(self) -> dict[str, object]:
        """The fields of the ward's own row."""
        lists = {"closures": list(self.closures), "avoided_shades": _each_once(self.avoided_shades)}
        names = (name for name in self.__dataclass_fields__ if name not in ("sizes", *lists))
        return {name: getattr(self, name) for name in names} | lists


def _each_once(words: Iterable[str]) -> list[str]:
    """The words without blanks around them, each once whatever its capitals."""
    kept: dict[str, str] = {}
    for word in words:
        kept.setdefault(word.strip().casefold(), word.strip())
    return [word for word in kept.values() if word]


@action
def add_hospital(
    *, name: str, address: str = "", by: Person, at: datetime, request_key: str = ""
) -> Hospital:
    """Add a hospital the group delivers to."""
    _one_after_the_other()
    _refuse_hospital_name(name, None)
    hospital = Hospital.objects.create(name=name.strip(), address=address)
    record(by=by, at=at, did="add_hospital", subject=hospital)
    return hospital


@action
def change_hospital(
    *, hospital: Hospital, name: str, address: str, by: Person, at: datetime, request_key: str = ""
) -> Hospital:
    """Change a hospital's name or address."""
    _one_after_the_other()
    _refuse_hospital_name(name, hospital)
    kept = Hospital.objects.select_for_update().get(pk=hospital.pk)
    changes = {"name": [kept.name, name.strip()], "address": [kept.address, address]}
    kept.name, kept.address = name.strip(), address
    kept.save()
    record(by=by, at=at, did="change_hospital", subject=kept, changes=changes)
    return kept


@action
def add_ward(
    *, hospital: Hospital, details: WardDetails, by: Person, at: datetime, request_key: str = ""
) -> Ward:
    """Add a ward with its rules."""
    hospital = Hospital.objects.select_for_update().get(pk=hospital.pk)
    _refuse_bad_ward(hospital, details, None)
    ward = Ward.objects.create(hospital=hospital, **details.as_fields())
    ward.sizes.set(details.sizes)
    record(by=by, at=at, did="add_ward", subject=ward)
    return ward


@action
def change_ward(
    *,
    ward: Ward,
    details: WardDetails,
    is_active: bool = True,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Ward:
    """Change what is known of a ward and what it accepts."""
    hospital = Hospital.objects.select_for_update().get(pk=ward.hospital_id)
    kept = Ward.objects.select_for_update().get(pk=ward.pk)
    _refuse_bad_ward(hospital, details, kept)
    new = details.as_fields() | {"is_active": is_active}
    changes: dict[str, object] = {}
    for name, value in new.items():
        if getattr(kept, name) != value:
            changes[name] = "changed" if name in PERSONAL_FIELDS else [getattr(kept, name), value]
            setattr(kept, name, value)
    kept.save()
    kept.sizes.set(details.sizes)
    changes["sizes"] = [size.pk for size in details.sizes]
    record(by=by, at=at, did="change_ward", subject=kept, changes=changes)
    return kept


@action
def pause_ward(
    *, ward: Ward, paused_until: date | None, by: Person, at: datetime, request_key: str = ""
) -> Ward:
    """Deliver nothing to a ward until a day, or with no day deliver again."""
    if paused_until is not None and paused_until < timezone.localdate(at):
        raise ImpossibleWard(_("That day has passed; please choose one to come."), field="paused_until")
    kept = Ward.objects.select_for_update().get(pk=ward.pk)
    before, kept.paused_until = kept.paused_until, paused_until
    kept.save(update_fields=["paused_until"])
    changes = {"paused_until": [before and before.isoformat(), paused_until and paused_until.isoformat()]}
    record(by=by, at=at, did="pause_ward", subject=kept, changes=changes)
    return kept


@action
def set_shelf_level(
    *,
    ward: Ward,
    size: Size,
    minimum_count: int,
    present_count: int,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> ShelfLevel | None:
    """Agree how many memorial gowns of a size a ward keeps, and how many are there; none ends the agreement."""
    for field, count in (("minimum_count", minimum_count), ("present_count", present_count)):
        if not 0 <= count <= SHELF_MOST:
            raise ImpossibleWard(
                _("A shelf holds between none and %(most)d gowns.") % {"most": SHELF_MOST}, field=field
            )
    if not minimum_count and not present_count:
        ShelfLevel.objects.filter(ward=ward, size=size).delete()
        record(by=by, at=at, did="end_shelf_level", subject=ward, changes={"size": size.pk})
        return None
    level, _is_new = ShelfLevel.objects.update_or_create(
        ward=ward, size=size, defaults={"minimum_count": minimum_count, "present_count": present_count}
    )
    record(
        by=by,
        at=at,
        did="set_shelf_level",
        subject=ward,
        changes={"size": size.pk, "minimum_count": minimum_count, "present_count": present_count},
    )
    return level


@action
def set_shelf_levels(
    *,
    ward: Ward,
    levels: Mapping[Size, tuple[int, int]],
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Ward:
    """Set the agreed shelf of a ward, size by size: at least so many, and so many there now."""
    for size, (minimum_count, present_count) in levels.items():
        set_shelf_level(
            ward=ward, size=size, minimum_count=minimum_count, present_count=present_count, by=by, at=at
        )
    return ward


def _one_after_the_other() -> None:
    """Wait for whoever else writes a hospital's name, so that the second of two alike is refused and told why."""
    list(Group.objects.select_for_update().filter(pk=1))


def _refuse_hospital_name(name: str, own: Hospital | None) -> None:
    others = Hospital.objects.exclude(pk=own.pk) if own else Hospital.objects.all()
    if others.filter(name__iexact=name.strip()).exists():
        raise HospitalNameTaken(
            _("There is a hospital called “%(name)s” already.") % {"name": name}, field="name"
        )


def _refuse_bad_ward(hospital: Hospital, details: WardDetails, own: Ward | None) -> None:
    others = Ward.objects.filter(hospital=hospital)
    if own is not None:
        others = others.exclude(pk=own.pk)
    if others.filter(name__iexact=details.name.strip()).exists():
        raise WardNameTaken(
            _("%(hospital)s has a ward called “%(name)s” already.")
            % {"hospital": hospital, "name": details.name},
            field="name",
        )
    if not details.sizes:
        raise ImpossibleWard(_("Please choose at least one size the ward takes."), field="sizes")
    if not details.closures or set(details.closures) - set(DesignRevision.Closure.values):
        raise ImpossibleWard(_("Please choose at least one closure the ward accepts."), field="closures")
    if not WASH_C[0] <= details.wash_c <= WASH_C[1]:
        raise ImpossibleWard(_("A wash temperature lies between 20 and 95 °C."), field="wash_c")
    _refuse_bad_shades(_each_once(details.avoided_shades))


def _refuse_bad_shades(words: Sequence[str]) -> None:
    if len(words) > MOST_SHADES:
        raise ImpossibleWard(
            _("That is more than %(most)d shades; name the ones that matter, the rest fits into the rules.")
            % {"most": MOST_SHADES},
            field="avoided_shades",
        )
    odd = next((word for word in words if not SHADE_LETTERS[0] <= len(word) <= SHADE_LETTERS[1]), None)
    if odd is not None:
        raise ImpossibleWard(
            _("“%(word)s” is no word for a shade: give from %(least)d to %(most)d letters, such as yellow.")
            % {"word": odd, "least": SHADE_LETTERS[0], "most": SHADE_LETTERS[1]},
            field="avoided_shades",
        )
