"""Why a gown cannot be drafted."""

from collections.abc import Mapping
from typing import Literal

RefusalCode = Literal[
    "no_armholes",
    "no_chest",
    "too_small_to_wear",
    "unknown_measure",
    "unusable_number",
    "uneven_pleats",
    "too_few_pleats",
    "pleats_too_close",
    "cloth_ratio",
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
    "bonnet_back_too_wide",
    "wider_than_cloth",
]


class CannotDraft(Exception):
    """A draft that is refused; `code` and `values` let a room word it, the text is a plain sentence."""

    def __init__(
        self, code: RefusalCode, sentence: str, values: Mapping[str, float | str] | None = None
    ) -> None:
        super().__init__(sentence)
        self.code = code
        self.sentence = sentence
        self.values = dict(values or {})
