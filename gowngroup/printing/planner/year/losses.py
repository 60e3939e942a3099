"""What did not come to where it was meant to go."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from gowngroup.batches.models import Kit
from gowngroup.catalog.models import Purpose
from gowngroup.printing.year_queries import Rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Losses:
    """Kits of gowns to wear that were lost or written off, and gowns the wards found missing or too many."""

    lost_kits: int
    lost_gowns: int
    written_off_kits: int
    written_off_gowns: int
    missing: int
    too_many: int

    def __bool__(self) -> bool:
        return any((self.lost_kits, self.written_off_kits, self.missing, self.too_many))


def losses(kits: Rows, differences: Iterable[Iterable[Mapping[str, Any]]]) -> Losses:
    """The sums of lost kits and of what wards found otherwise than written."""
    ended = {row["state"]: row for row in kits}
    lost, written_off = (ended.get(state, {}) for state in (Kit.State.LOST, Kit.State.WRITTEN_OFF))
    changes = [
        int(line["came"]) - int(line["written"])
        for lines in differences
        for line in lines
        if line.get("purpose") == Purpose.WORN
    ]
    return Losses(
        lost_kits=lost.get("kits", 0),
        lost_gowns=lost.get("gowns_lost", 0),
        written_off_kits=written_off.get("kits", 0),
        written_off_gowns=written_off.get("gowns_lost", 0),
        missing=-sum(change for change in changes if change < 0),
        too_many=sum(change for change in changes if change > 0),
    )
