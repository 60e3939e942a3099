"""One figure of the trade with its unit, plausible range and source."""

from dataclasses import dataclass
from typing import Literal

Mark = Literal["published", "common practice", "derived", "from memory"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A number the planner uses; the group may change it within `low` and `high` and sees its source."""

    key: str
    label: str
    value: float
    unit: str
    low: float
    high: float
    mark: Mark
    source: str
