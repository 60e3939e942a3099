"""Asked and met by size, and by ward."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from gowngroup.catalog.models import Purpose
from gowngroup.printing.year_queries import Rows
from gowngroup.records.templatetags.gown import size_length


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeLine:
    """Gowns of one size, named as a length and, for people of the group, by its weight band."""

    length: str
    band: str
    asked: int
    met: int

    @property
    def open(self) -> int:
        return self.asked - self.met


@dataclass(frozen=True, slots=True, kw_only=True)
class Total:
    """Sums of a table of sizes."""

    asked: int
    met: int

    @property
    def open(self) -> int:
        return self.asked - self.met

    @property
    def percent(self) -> int | None:
        """The share met in whole percent; None where nothing was asked for."""
        return round(100 * self.met / self.asked) if self.asked else None


@dataclass(frozen=True, slots=True, kw_only=True)
class WardLine:
    """What one ward asked for and got."""

    name: str
    sizes: tuple[SizeLine, ...]
    total: Total


def length_of(row: Mapping[str, Any], prefix: str) -> str:
    """The size of a row as a length, where parents may see it, too."""
    return _("up to %(length)s") % {"length": size_length(row[f"{prefix}body_length_um"])}


def size_lines(rows: Rows, purpose: str = Purpose.WORN) -> tuple[SizeLine, ...]:
    """Asked and met by size, the smallest first."""
    sums: dict[int, list[int]] = {}
    first: dict[int, Mapping[str, Any]] = {}
    for row in rows:
        if row["purpose"] == purpose:
            key = row["size__upper_mass_g"]
            first.setdefault(key, row)
            both = sums.setdefault(key, [0, 0])
            both[0] += row["asked"]
            both[1] += row["met"]
    return tuple(
        SizeLine(
            length=length_of(first[key], "size__"),
            band=f"{first[key]['size__lower_mass_g']}–{key} g",
            asked=sums[key][0],
            met=sums[key][1],
        )
        for key in sorted(sums)
    )


def ward_lines(rows: Rows) -> tuple[WardLine, ...]:
    """Asked and met of gowns to wear, by ward in the order of their names."""
    by_ward: dict[tuple[str, str, int], list[Mapping[str, Any]]] = {}
    for row in rows:
        name = row["request__ward__hospital__name"], row["request__ward__name"], row["request__ward_id"]
        by_ward.setdefault(name, []).append(row)
    found = (
        (f"{ward}, {hospital}", size_lines(by_ward[hospital, ward, pk]))
        for hospital, ward, pk in sorted(by_ward)
    )
    return tuple(WardLine(name=name, sizes=lines, total=total_of(lines)) for name, lines in found if lines)


def total_of(lines: Iterable[SizeLine]) -> Total:
    """The sums of some sizes."""
    found = tuple(lines)
    return Total(asked=sum(line.asked for line in found), met=sum(line.met for line in found))
