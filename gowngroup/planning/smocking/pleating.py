"""How much cloth and pleating thread a number of pleats takes."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from typing import Self


@dataclass(frozen=True, slots=True, kw_only=True)
class PleaterProfile:
    """One pleater as measured by the group, with the group's habits at the ends of the rows."""

    take_up_mm: float
    row_space_mm: float
    spare_each_side_count: int
    holding_row_count: int
    thread_end_mm: float

    @classmethod
    def from_figures(cls, values: Mapping[str, float]) -> Self:
        """The usual pleater, from the figures keyed `pleat_…`."""
        return cls(
            take_up_mm=values["pleat_take_up_mm"],
            row_space_mm=values["pleat_row_space_mm"],
            spare_each_side_count=int(values["pleat_spare_each_side_count"]),
            holding_row_count=int(values["pleat_holding_row_count"]),
            thread_end_mm=values["pleat_thread_end_mm"],
        )


def calibrated_take_up_mm(*, counted_pleats: int, over_mm: float = 500.0) -> float:
    """Flat mm per pleat from a count over a measured length (common practice: count over 50 cm)."""
    if counted_pleats < 1 or not 0 < over_mm < inf:
        raise ValueError("count at least one pleat over a length above zero")
    return over_mm / counted_pleats


def flat_width_mm(pleat_count: int, profile: PleaterProfile) -> float:
    """Flat width in mm to pleat: (N + 6)·u, with 3 pleats at each end unpicked (derived)."""
    return (pleat_count + 2 * profile.spare_each_side_count) * profile.take_up_mm


def pleat_pitch_mm(*, finished_width_mm: float, pleat_count: int) -> float:
    """Pitch p in mm of `pleat_count` pleats blocked to a finished width (derived); raises ValueError for no pleats."""
    _refuse_bad(finished_width=finished_width_mm, number_of_pleats=pleat_count)
    return finished_width_mm / pleat_count


def cloth_ratio(*, finished_width_mm: float, pleat_count: int, profile: PleaterProfile) -> float:
    """Flat to finished width R = u/p, spare pleats not counted (derived); raises ValueError for a width that is none."""
    _refuse_bad(finished_width=finished_width_mm, number_of_pleats=pleat_count, take_up=profile.take_up_mm)
    return profile.take_up_mm * pleat_count / finished_width_mm


def pleats_for_width(*, finished_width_mm: float, ratio: float, profile: PleaterProfile) -> int:
    """The even number of pleats nearest to finished width / p, where p = u/R (derived); ValueError as `cloth_ratio`."""
    _refuse_bad(finished_width=finished_width_mm, ratio=ratio, take_up=profile.take_up_mm)
    return 2 * round(finished_width_mm * ratio / profile.take_up_mm / 2)


def pleated_row_count(design_row_count: int, profile: PleaterProfile) -> int:
    """Rows to thread in the pleater: design rows and holding rows (common practice)."""
    return design_row_count + profile.holding_row_count


def pleating_thread_mm(*, pleat_count: int, design_row_count: int, profile: PleaterProfile) -> float:
    """Pleating thread in mm: rows · (flat width + an end of 300 mm at both sides) (common practice)."""
    per_row_mm = flat_width_mm(pleat_count, profile) + 2 * profile.thread_end_mm
    return pleated_row_count(design_row_count, profile) * per_row_mm


def _refuse_bad(**measures: float) -> None:
    for name, measure in measures.items():
        if not 0 < measure < inf:
            raise ValueError(f"smocking: the {name.replace('_', ' ')} must be above zero, not {measure}")
