"""The kinds of gown that are drafted, what they are for, and the measures of each that a group may set by hand."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gowngroup.planning.drafting.refusals import CannotDraft

DraftKind = Literal["round-neck", "yoke", "wrap"]
Purpose = Literal["worn", "memorial"]
MeasureUnit = Literal["mm", "pleats", "rows"]

DRAFT_KINDS: tuple[DraftKind, ...] = ("round-neck", "yoke", "wrap")


@dataclass(frozen=True, slots=True, kw_only=True)
class GownMeasure:
    """A measure a group may set by hand, from `low` to `high`; pleats and rows are counted whole."""

    name: str
    label: str
    unit: MeasureUnit
    low: float
    high: float


class MeasureChoice:
    """Measures chosen one after the other: as the group has set them, else as usual."""

    def __init__(self, overrides: Mapping[str, float]) -> None:
        self.overrides = overrides
        self.values: dict[str, float] = {}

    def __call__(self, name: str, usual: float) -> float:
        """The measure in force; the first choice of a name stands."""
        return self.values.setdefault(name, self.overrides.get(name, usual))

    def worked_out(self, name: str, usual: Callable[[], float]) -> float:
        """The measure in force, worked out only where the group has not set it."""
        return self(name, self.overrides[name] if name in self.overrides else usual())


def refuse_bad_measures(known: Sequence[GownMeasure], overrides: Mapping[str, float]) -> None:
    """Raises CannotDraft naming the first measure set by hand that is not known or outside its limits."""
    by_name = {each.name: each for each in known}
    for name, value in overrides.items():
        measure = by_name.get(name)
        if measure is None:
            raise CannotDraft("unknown_measure", measure=name)
        is_whole = measure.unit == "mm" or float(value).is_integer()
        if not (math.isfinite(value) and measure.low <= value <= measure.high and is_whole):
            raise CannotDraft(
                "unusable_number", measure=name, value=value, low=measure.low, high=measure.high
            )


def refuse_bad_pleater(*, take_up_mm: float, row_space_mm: float) -> None:
    """Raises CannotDraft where a pleater takes up or spaces nothing, or more than any pleater does."""
    for name, value in (("take_up_mm", take_up_mm), ("row_space_mm", row_space_mm)):
        if not (math.isfinite(value) and 0 < value <= _WIDEST_PLEAT_MM):
            raise CannotDraft("unusable_pleater", measure=name, value=value)


_WIDEST_PLEAT_MM = 50.0  # several times any pleater's; keeps a slip of the keyboard out


def in_mm(name: str, label: str, low: float, high: float) -> GownMeasure:
    """A length a group may set."""
    return GownMeasure(name=name, label=label, unit="mm", low=low, high=high)


def counted(name: str, label: str, *, unit: MeasureUnit, low: float, high: float) -> GownMeasure:
    """A number of pleats or rows a group may set."""
    return GownMeasure(name=name, label=label, unit=unit, low=low, high=high)
