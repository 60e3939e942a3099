"""Why a gown cannot be drafted."""

from typing import Literal

RefusalCode = Literal[
    "no_armholes",
    "no_chest",
    "too_small_to_wear",
    "unknown_measure",
    "unusable_number",
    "unusable_pleater",
    "uneven_pleats",
    "too_few_pleats",
    "pleats_too_close",
    "cloth_ratio",
    "gathers_ratio",
    "neck_drop_meets_first_row",
    "smocking_reaches_underarm",
    "too_short",
    "raglans_cannot_meet",
    "outline_crosses",
    "closure",
    "no_pleats_fit",
    "yoke_too_shallow",
    "shoulder_too_narrow",
    "armhole_above_yoke",
    "overlap_too_wide",
    "smocking_runs_off",
    "neck_cannot_close",
    "cap_cannot_meet",
    "too_big_for_wrap",
    "wrap_too_narrow",
    "wrap_too_short",
    "bonnet_back_too_wide",
    "wider_than_cloth",
]


class CannotDraft(Exception):
    """A draft that is refused: a code and its values, lengths in mm, for a room to put into the reader's words."""

    def __init__(self, code: RefusalCode, **values: float | str) -> None:
        told = ", ".join(f"{name} {value}" for name, value in values.items())
        super().__init__(f"{code}: {told}")
        self.code = code
        self.values = values
