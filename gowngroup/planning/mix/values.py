"""What the size mix is worked out from, and the mix itself with its reasons."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import floor
from typing import Literal, Self

from gowngroup.planning.reason import Reason

Purpose = Literal["worn", "memorial"]
Line = tuple[str, Purpose]
SewingStage = Literal["pleat", "smock", "make_up"]
SEWING_STAGES: tuple[SewingStage, ...] = ("pleat", "smock", "make_up")
LimitCode = Literal["hours", "pleat_hours", "smock_hours", "make_up_hours", "cloth", "several", "no_design"]

ROUNDING = 1e-9


class CannotPropose(ValueError):
    """The input cannot be meant (the message names the ward, size or lot), or the solver gave up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WardAsk:
    """Gowns of one size and purpose a ward asks for; asks with one set key are one matched set.

    For a memorial shelf the count is what the shelf lacks.
    """

    ward_key: str
    size_name: str
    purpose: Purpose
    gown_count: int
    matched_set_key: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GownSupply:
    """Gowns of one size and purpose there already: passed on the shelf, and out in kits or in check.

    `share_passed` is the part of those out that is expected to pass; `ward_keys` names the wards that may be given
    them, None for every ward.
    """

    size_name: str
    purpose: Purpose
    shelf_count: int
    out_count: int
    share_passed: float
    ward_keys: tuple[str, ...] | None = None

    @property
    def expected_count(self) -> int:
        """Rounded down, because a gown promised and missing is worse than one over."""
        return self.shelf_count + floor(self.out_count * self.share_passed + ROUNDING)


@dataclass(frozen=True, slots=True, kw_only=True)
class StageMinutes:
    """Usual minutes of one gown, stage by stage."""

    pleat: float = 0.0
    smock: float = 0.0
    make_up: float = 0.0

    @property
    def total(self) -> float:
        return self.pleat + self.smock + self.make_up

    def of(self, stage: SewingStage) -> float:
        """Minutes of one stage."""
        return {"pleat": self.pleat, "smock": self.smock, "make_up": self.make_up}[stage]


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursOffered:
    """Minutes the volunteers offer in all, and of these at most so many for a stage; None leaves a stage free."""

    total_min: float
    pleat_min: float | None = None
    smock_min: float | None = None
    make_up_min: float | None = None

    def of(self, stage: SewingStage) -> float | None:
        """Minutes offered for one stage, None where all of them may go there."""
        return {"pleat": self.pleat_min, "smock": self.smock_min, "make_up": self.make_up_min}[stage]


@dataclass(frozen=True, slots=True, kw_only=True)
class GownChoice:
    """A design that may be made for one size and purpose: usual minutes and cloth of one gown.

    `lot_keys` are the lots that suit it, `cloth_key` names the kind of cloth it wants, so that a lack of that kind
    can be told; `ward_keys` are the wards that accept it, None for every ward.
    """

    size_name: str
    purpose: Purpose
    design_key: str
    minutes: StageMinutes
    cloth_mm2: float
    lot_keys: tuple[str, ...]
    cloth_key: str = ""
    ward_keys: tuple[str, ...] | None = None

    @property
    def line(self) -> Line:
        return self.size_name, self.purpose


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothRoom:
    """The area of a lot that pieces can be expected to fill."""

    lot_key: str
    area_mm2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PastDemand:
    """Gowns to wear of one size the wards asked for in a usual month."""

    size_name: str
    monthly_mean: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MixRules:
    """How sure safety stock shall be (`cover_share`), and up to which monthly mean a size counts as rare."""

    cover_share: float = 0.95
    rare_most_mean: float = 5.0

    @classmethod
    def from_figures(cls, values: Mapping[str, float]) -> Self:
        """From the figures keyed `mix_…`."""
        return cls(cover_share=values["mix_cover_share"], rare_most_mean=values["mix_rare_most_mean"])


@dataclass(frozen=True, slots=True, kw_only=True)
class WardShare:
    """One ward's part of a size and purpose: what it asked, what is there for it already, what is made for it."""

    ward_key: str
    asked_count: int
    covered_count: int
    make_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposalLine:
    """How many gowns of one size, purpose and design to make, for whom and why.

    `asked_count` and `shares` are those of the size and purpose, `make_count` is this design's, with the
    `safety_count` gowns for the shelf among them.
    """

    size_name: str
    purpose: Purpose
    design_key: str | None
    asked_count: int
    make_count: int
    safety_count: int
    shares: tuple[WardShare, ...]
    matched_set_keys: tuple[str, ...]
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """What holds the mix back, the gowns it costs, and the least that would free them.

    `more_count` gowns could be made with all of these: so many minutes more at each stage (under None at any stage)
    and so much more cloth of each kind. `several` stands for more than one of the other limits, `no_design` counts
    the gowns that no design suits.
    """

    code: LimitCode
    more_count: int
    more_min: Mapping[SewingStage | None, float] = field(default_factory=dict)
    more_mm2: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mix:
    """The proposed batch; counts leave safety stock out.

    `worst_cover` is the share met of what the worst-served ward asked to wear (None without such a ward);
    `is_proven` says that nothing better can exist.
    """

    lines: tuple[ProposalLine, ...]
    limits: tuple[Limit, ...]
    asked_count: int
    met_count: int
    memorial_short_count: int
    worst_cover: float | None
    worst_ward_key: str | None
    design_count: int
    is_proven: bool
