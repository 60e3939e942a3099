"""What a shopping list says has arrived, as it fills in the form that books it in."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gowngroup.catalog.models import MaterialKind
from gowngroup.stock.models import Material

_NUMBER = re.compile(r"[0-9]{1,12}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """So many bought of so much each, in micrometres or pieces; `width_um` of cloth."""

    count: int
    each_amount: int
    width_um: int | None = None

    def initial(self, material: Material) -> dict[str, Any]:
        """The fields of the form for this material, filled in."""
        if material.package_amount and self.each_amount > 1:
            return {"package_count": self.count, "package_amount": self.each_amount}
        if material.is_counted or material.kind == MaterialKind.CLOTH:
            return {"amount": self.count * self.each_amount, "width_um": self.width_um}
        return {"amount": self.each_amount}

    def form_count(self, material: Material) -> int:
        """How many forms it takes: without packages each card or length is a lot of its own."""
        return self.count if self.initial(material).keys() == {"amount"} else 1


def arrival_in(query: Mapping[str, str]) -> Arrival | None:
    """What an address says has arrived; none where it says nothing that can be read."""
    count, each, width = (_number(query.get(name, "")) for name in ("count", "each", "width"))
    return Arrival(count=count, each_amount=each, width_um=width) if count and each else None


def _number(typed: str) -> int | None:
    return int(typed) if _NUMBER.fullmatch(typed) else None
