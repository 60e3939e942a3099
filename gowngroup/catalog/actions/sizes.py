"""Sizes: weight bands with the body measures gowns are cut for."""

from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.catalog import limits
from gowngroup.catalog.models import Size
from gowngroup.people.models import Person
from gowngroup.planning.sizes import body_length_mm, chest_girth_mm
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal
from gowngroup.records.queries import figures_in_force

LEAST_SHARE, MOST_SHARE = 0.65, 1.5  # of the usual measure at a weight


class ImpossibleSize(Refusal):
    """The measures or the weights cannot be those of a baby."""


class SizesOverlap(Refusal):
    """Another size already covers part of the weight band."""


@action
def add_size(
    *,
    lower_mass_g: int,
    upper_mass_g: int,
    body_length_um: int,
    chest_um: int | None,
    has_armholes: bool,
    source: str,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Size:
    """Add a size by its weight band and body measures."""
    size = Size(
        lower_mass_g=lower_mass_g,
        upper_mass_g=upper_mass_g,
        body_length_um=body_length_um,
        chest_um=chest_um,
        has_armholes=has_armholes,
        source=source,
    )
    _refuse_impossible(size)
    size.save(force_insert=True)
    record(by=by, at=at, did="add_size", subject=size)
    return size


@action
def change_size(
    *,
    size: Size,
    body_length_um: int,
    chest_um: int | None,
    has_armholes: bool,
    source: str,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Size:
    """Change the body measures of a size; stored plans keep the measures they were worked out with."""
    before = Size.objects.select_for_update().get(pk=size.pk)
    new = {
        "body_length_um": body_length_um,
        "chest_um": chest_um,
        "has_armholes": has_armholes,
        "source": source,
    }
    changes = {
        name: [getattr(before, name), value] for name, value in new.items() if getattr(before, name) != value
    }
    for name, value in new.items():
        setattr(before, name, value)
    _refuse_impossible(before)
    before.save(update_fields=list(new))
    record(by=by, at=at, did="change_size", subject=before, changes=changes)
    return before


def _refuse_unlikely(size: Size) -> None:
    """Ask back measures far from those usual at the size's weight; inches typed as centimetres are."""
    figures = figures_in_force()
    usual_mm = {
        "body_length_um": body_length_mm(mass_g=size.upper_mass_g, values=figures),
        "chest_um": chest_girth_mm(mass_g=size.upper_mass_g, values=figures),
    }
    for field, expected_mm in usual_mm.items():
        typed_um = getattr(size, field)
        if typed_um is not None and not LEAST_SHARE <= typed_um / 1000 / expected_mm <= MOST_SHARE:
            raise ImpossibleSize(
                _(
                    "At %(mass)d g about %(usual)s cm are usual, not %(typed)s cm. Was it typed in another unit?"
                )
                % {
                    "mass": size.upper_mass_g,
                    "usual": f"{expected_mm / 10:.0f}",
                    "typed": f"{typed_um / 10_000:.0f}",
                },
                field=field,
            )


def _refuse_impossible(size: Size) -> None:
    if not 0 <= size.lower_mass_g < size.upper_mass_g or not limits.is_within(
        size.upper_mass_g, limits.MASS_G
    ):
        raise ImpossibleSize(
            _("The weights must run upward, at most to %(high)d grams.") % {"high": limits.MASS_G[1]},
            field="upper_mass_g",
        )
    if not limits.is_within(size.body_length_um, limits.BODY_LENGTH_UM):
        raise ImpossibleSize(
            _("The body length must lie between 15 and 70 centimetres."), field="body_length_um"
        )
    if size.chest_um is not None and not limits.is_within(size.chest_um, limits.CHEST_UM):
        raise ImpossibleSize(_("The chest must lie between 10 and 50 centimetres."), field="chest_um")
    _refuse_unlikely(size)
    if size.has_armholes and size.chest_um is None:
        raise ImpossibleSize(_("A size with armholes needs its chest measure."), field="chest_um")
    others = Size.objects.exclude(pk=size.pk)
    clash = others.filter(lower_mass_g__lt=size.upper_mass_g, upper_mass_g__gt=size.lower_mass_g).first()
    if clash is not None:
        raise SizesOverlap(
            _("The size %(size)s already covers part of these weights.") % {"size": clash},
            field="lower_mass_g",
        )
