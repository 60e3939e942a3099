"""What the group sews with, and who gave it."""

from datetime import datetime
from typing import TypedDict, Unpack

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from gowngroup.catalog.models import TRIM_KINDS, MaterialKind
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.stock.actions.errors import DuplicateMaterial, MaterialInUse, NotCounted, NoTrim
from gowngroup.stock.models import Donor, Material


class MaterialFacts(TypedDict, total=False):
    """What can be said of a material."""

    kind: str
    name: str
    shade: str
    swatch: str
    fibre: str
    mass_g_per_m2: int | None
    width_um: int | None
    batiste_um: int
    wash_max_c: int
    has_nap: bool
    repeat_um: int
    is_counted: bool
    package_amount: int | None
    package_word: str
    is_active: bool


@action
def add_material(
    *, by: Person, at: datetime, request_key: str = "", **facts: Unpack[MaterialFacts]
) -> Material:
    """Put a material onto the group's list."""
    material = Material(**facts)
    _save(material)
    record(by=by, at=at, did="add_material", subject=material, changes=dict(facts))
    return material


@action
def change_material(
    *, material: Material, by: Person, at: datetime, request_key: str = "", **facts: Unpack[MaterialFacts]
) -> Material:
    """Correct what is said of a material; how it is measured stays once lots of it are in the books."""
    changes = {
        name: [getattr(material, name), value]
        for name, value in facts.items()
        if getattr(material, name) != value
    }
    if changes.keys() & {"kind", "is_counted"} and material.lots.exists():
        raise MaterialInUse(
            _("Lots of %(material)s are in the books; add a new material instead of changing its kind.")
            % {"material": material},
            field="kind",
        )
    for name, value in facts.items():
        setattr(material, name, value)
    _save(material)
    record(by=by, at=at, did="change_material", subject=material, changes=changes)
    return material


def _save(material: Material) -> None:
    if material.is_counted and material.kind != MaterialKind.NOTION:
        raise NotCounted(
            _("Only notions are counted in pieces; everything else is measured by length."),
            field="is_counted",
        )
    _refuse_bad_width(material)
    try:
        with transaction.atomic():
            material.save()
    except IntegrityError as error:
        raise DuplicateMaterial(
            _("%(material)s is on the list of %(kind)s already.")
            % {"material": material, "kind": material.get_kind_display()},
            field="name",
        ) from error


def _refuse_bad_width(material: Material) -> None:
    is_trim = material.kind in TRIM_KINDS
    if not is_trim and (material.width_um or material.batiste_um):
        raise NoTrim(
            _("A width is noted here for lace, ribbon and other trims only; cloth is measured lot by lot."),
            field="width_um",
        )
    if material.batiste_um and not material.width_um:
        raise NoTrim(_("How wide is it all over, batiste and all?"), field="width_um")
    if material.width_um and 2 * material.batiste_um >= material.width_um:
        raise NoTrim(
            _("Nothing of it would show: the batiste on both sides is as wide as all of it."),
            field="batiste_um",
        )


@action
def add_donor(*, name: str, email: str = "", by: Person, at: datetime, request_key: str = "") -> Donor:
    """Note somebody who gives material."""
    donor = Donor.objects.create(name=name, email=email)
    record(by=by, at=at, did="add_donor", subject=donor)
    return donor


@action
def change_donor(
    *, donor: Donor, name: str, email: str = "", by: Person, at: datetime, request_key: str = ""
) -> Donor:
    """Correct a donor's name or address."""
    changed = [field for field, new in (("name", name), ("email", email)) if getattr(donor, field) != new]
    donor.name, donor.email = name, email
    donor.save(update_fields=["name", "email"])
    record(by=by, at=at, did="change_donor", subject=donor, changes=dict.fromkeys(changed))
    return donor
