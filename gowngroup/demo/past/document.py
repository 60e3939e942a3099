"""The stored plan of an old batch: whole widths of cloth, one below the other, a kit each."""

from collections.abc import Mapping, Sequence
from typing import Any

from gowngroup.demo.past.pattern import KitPattern
from gowngroup.stock.models import Lot

WIDTH_MM, GOWN_MM = 1090.0, 500.0
UM_PER_MM = 1000
Share = Sequence[tuple[KitPattern, int]]  # kits from one lot, each with how many gowns it makes
LEFT_OUT: dict[str, Any] = {
    "moves": [],
    "unmade": [],
    "bias": [],
    "trims": [],
    "floss": [],
    "thread": [],
    "notions": [],
}


def lay_length_um(share: Share) -> int:
    """How much cloth the kits of one lot take."""
    return round(sum(GOWN_MM * gown_count for _kit, gown_count in share) * UM_PER_MM)


def document_after(
    pattern: Mapping[str, Any], lots: Sequence[Lot], shares: Sequence[Share]
) -> dict[str, Any]:
    """The document of a plan after another's, with these kits from these lots, numbered in their order."""
    cuts, plan_kits, kits, number = [], [], [], 0
    for lot, share in zip(lots, shares, strict=True):
        keys = [str(number + place) for place in range(1, len(share) + 1)]
        number += len(share)
        cuts.append(_cut(lot, keys, share))
        plan_kits += [_plan_kit(key, lot, *ordered) for key, ordered in zip(keys, share, strict=True)]
        kits += [_kit(key, *ordered) for key, ordered in zip(keys, share, strict=True)]
    return {
        **pattern,
        "plan": {**pattern["plan"], **LEFT_OUT, "kits": plan_kits, "cuts": cuts},
        "kits": kits,
        "packing": [],
        "requests": [],
        "lots": {str(lot.pk): {**_any_lot(pattern), "code": lot.code, "place": lot.place} for lot in lots},
    }


def _any_lot(pattern: Mapping[str, Any]) -> dict[str, Any]:
    return {**next(iter(pattern["lots"].values())), "flaws": []}


def _plan_kit(key: str, lot: Lot, kit: KitPattern, gown_count: int) -> dict[str, Any]:
    return {
        "key": key,
        "design_key": str(kit.revision_id),
        "size_name": str(kit.size_id),
        "purpose": kit.purpose,
        "gown_count": gown_count,
        "matched_set_key": None,
        "lot_key": str(lot.pk),
        "minutes": float(kit.minutes_low * gown_count),
    }


def _kit(key: str, kit: KitPattern, gown_count: int) -> dict[str, Any]:
    return {
        "key": key,
        "revision_id": kit.revision_id,
        "size_id": kit.size_id,
        "purpose": kit.purpose,
        "gown_count": gown_count,
        "set_key": None,
        "request_line_id": None,
        "minutes_low": kit.minutes_low,
        "minutes_high": kit.minutes_high,
    }


def _cut(lot: Lot, keys: Sequence[str], share: Share) -> dict[str, Any]:
    lengths = [GOWN_MM * gown_count for _kit, gown_count in share]
    length_mm = sum(lengths)
    return {
        "lot_key": str(lot.pk),
        "kit_keys": list(keys),
        "strip": {
            "usable_width_mm": WIDTH_MM, "length_mm": length_mm, "gap_mm": 0.0, "has_nap": False, "flaws": [],
            "length_step_mm": 5.0, "repeat_mm": 0.0,
        },
        "pieces": [_piece(key, each_mm) for key, each_mm in zip(keys, lengths, strict=True)],
        "lay": {
            "placements": [
                {"piece_key": _name(key), "x_mm": 0.0, "y_mm": sum(lengths[:place]), "is_turned": False}
                for place, key in enumerate(keys)
            ],
            "length_mm": length_mm,
            "used_share": 1.0,
            "engine": "rows",
        },
        "before_cutting": "nothing",
        "left_mm": 0.0,
        "is_left_useful": False,
    }  # fmt: skip


def _piece(key: str, length_mm: float) -> dict[str, Any]:
    corners = [[0.0, 0.0], [WIDTH_MM, 0.0], [WIDTH_MM, length_mm], [0.0, length_mm]]
    return {
        "key": _name(key), "kit_key": key, "name": "whole width", "number": 1, "outline": corners,
        "may_turn": True, "is_matched": False,
    }  # fmt: skip


def _name(key: str) -> str:
    return f"{key}/whole width/1"
