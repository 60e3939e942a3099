"""What an acknowledgment says: what was given and what came of it, never what it is worth (IRS Publication 1771)."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from django.utils.translation import gettext as _

from gowngroup.catalog.models import MaterialKind
from gowngroup.printing import year_queries
from gowngroup.printing.planner.year.materials import GivenLine, given_by_kind
from gowngroup.printing.year_queries import Span
from gowngroup.records.templatetags.gown import short_length
from gowngroup.stock.amounts import amount_text
from gowngroup.stock.models import Donor, Lot


@dataclass(frozen=True, slots=True, kw_only=True)
class Gift:
    """One lot as it was given."""

    lot: Lot
    name: str
    kind: str
    fibre: str
    amount: str
    width: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Acknowledgment:
    """What one donor gave in a span, and what has come of it so far."""

    donor: Donor
    span: Span
    gifts: tuple[Gift, ...]
    sums: tuple[GivenLine, ...]

    @property
    def first_day(self) -> date:
        return min(gift.lot.received_on for gift in self.gifts)

    @property
    def last_day(self) -> date:
        return max(gift.lot.received_on for gift in self.gifts)

    @property
    def gowns_made(self) -> int:
        """Gowns of every purpose cut from the cloth given."""
        return sum(line.gowns_made for line in self.sums)

    @property
    def gowns_left(self) -> int:
        return sum(line.gowns_left for line in self.sums)

    @property
    def on_shelf(self) -> tuple[GivenLine, ...]:
        """Kinds of which something still lies ready."""
        return tuple(line for line in self.sums if line.left)

    @property
    def in_kits(self) -> tuple[GivenLine, ...]:
        """Kinds of which something has gone into gowns."""
        return tuple(line for line in self.sums if line.used)


def acknowledgments(span: Span, donors: Iterable[Donor]) -> list[Acknowledgment]:
    """The acknowledgments of these donors, in their order, of those who gave something."""
    order = [donor.pk for donor in donors]
    gifts = {
        donor: list(lots)
        for donor, lots in groupby(year_queries.gifts_of(span, order), key=lambda lot: lot.donor)
        if donor
    }
    sums = list(year_queries.lots_given(span).filter(donor__in=order))
    found = (
        Acknowledgment(
            donor=donor,
            span=span,
            gifts=tuple(_gift(lot) for lot in lots),
            sums=given_by_kind([row for row in sums if row["donor_id"] == donor.pk]),
        )
        for donor, lots in gifts.items()
    )
    return sorted(found, key=lambda each: order.index(each.donor.pk))


def _gift(lot: Lot) -> Gift:
    material = lot.material
    return Gift(
        lot=lot,
        name=str(material),
        kind=str(material.get_kind_display()),
        fibre=str(material.get_fibre_display()) if material.kind != MaterialKind.NOTION else "",
        amount=_amount(lot),
        width=short_length(lot.width_um or material.width_um),
    )


def _amount(lot: Lot) -> str:
    """What came in, as packages where it came unopened."""
    came_in = int(getattr(lot, "came_in", 0) or 0)
    whole = amount_text(came_in, lot.material)
    if not lot.package_amount or came_in % lot.package_amount or lot.material.is_counted:
        return whole
    return _("%(count)d × %(one)s, %(whole)s in all") % {
        "count": came_in // lot.package_amount,
        "one": amount_text(lot.package_amount, lot.material),
        "whole": whole,
    }
