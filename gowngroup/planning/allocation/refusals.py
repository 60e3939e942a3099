"""What no allocation can be made from, refused by name before anything is reckoned."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from gowngroup.planning.allocation.values import ClothLot, KitCloth
from gowngroup.planning.geometry.polygon import is_simple_polygon

_MEASURES = (
    "width_mm",
    "length_mm",
    "selvedge_mm",
    "highest_wash_c",
    "width_shrink_share",
    "length_shrink_share",
    "repeat_mm",
)


class BadCloth(ValueError):
    """A kit or lot nothing can be cut for; `subject` is "kit" or "lot", `key` names it, `field` what is wrong with it."""

    def __init__(self, *, subject: str, key: str, field: str, why: str) -> None:
        super().__init__(f"{subject} {key}: {why}")
        self.subject = subject
        self.key = key
        self.field = field


def refuse_bad_cloth(kits: Sequence[KitCloth], lots: Sequence[ClothLot]) -> None:
    """Raises BadCloth for the first key that stands twice, kit without whole pieces or lot without whole figures."""
    _refuse_twice("kit", [kit.key for kit in kits])
    _refuse_twice("lot", [lot.key for lot in lots])
    for kit in kits:
        if not kit.pieces:
            raise BadCloth(subject="kit", key=kit.key, field="pieces", why="it has no pieces to cut")
        if kit.gown_count < 1:
            raise BadCloth(subject="kit", key=kit.key, field="gown_count", why="it makes no gown")
    for lot in lots:
        for field, value in _measures(lot):
            if not (math.isfinite(value) and value >= 0):
                why = f"its {field} is {value}, which is no measure"
                raise BadCloth(subject="lot", key=lot.key, field=field, why=why)
    _refuse_bad_outlines(kits)


def _refuse_twice(subject: str, keys: Iterable[str]) -> None:
    for key, count in Counter(keys).items():
        if count > 1:
            raise BadCloth(subject=subject, key=key, field="key", why=f"{count} have this key")


def _measures(lot: ClothLot) -> Iterator[tuple[str, float]]:
    for field in _MEASURES:
        yield field, getattr(lot, field)
    if lot.weight_gsm is not None:
        yield "weight_gsm", lot.weight_gsm
    for flaw in lot.flaws:
        yield "flaws", flaw.from_mm
        yield "flaws", flaw.to_mm


def _refuse_bad_outlines(kits: Iterable[KitCloth]) -> None:
    """Kits share their outlines, so each is looked at once."""
    sound = set()
    for kit in kits:
        for piece in kit.pieces:
            if piece.outline not in sound and not is_simple_polygon(piece.outline):
                why = f"the outline of its piece {piece.name} crosses itself or is no outline"
                raise BadCloth(subject="kit", key=kit.key, field=piece.name, why=why)
            sound.add(piece.outline)
