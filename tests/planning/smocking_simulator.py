"""A smocker who walks pleat by pleat, one stitch at a time; shares no code with the planner.

Pleats are told by their distance from the centre valley: 1, 2, 3 … to the right, -1, -2, -3 … to the left.
Heights are counted in steps above the lower turns. Lengths are reckoned in decimals of thirty digits.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal, getcontext
from itertools import pairwise

getcontext().prec = 30

Station = tuple[int, int]
OTHER = {"above": "below", "below": "above"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stitch:
    """One stitch as the smocker makes it."""

    from_place: int
    to_place: int
    from_height: int
    to_height: int
    thread: str


@dataclass(slots=True, kw_only=True)
class Needle:
    """Thread in the needle; a new needleful is threaded the moment the old one runs out.

    A smocker who ends on whole stitches throws away what is too short for the next one.
    """

    usable_mm: Decimal
    ends_on_whole_stitch: bool = False
    left_mm: Decimal = Decimal(0)
    needlefuls: int = 0

    def draw(self, wanted_mm: Decimal) -> None:
        """Use thread for a stitch, threading again as often as needed."""
        while wanted_mm > self.left_mm:
            wanted_mm -= Decimal(0) if self.ends_on_whole_stitch else self.left_mm
            self.left_mm = self.usable_mm
            self.needlefuls += 1
        self.left_mm -= wanted_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Cloth:
    """What the smocker works on."""

    pleats: int
    pitch_mm: Decimal
    bite_mm: Decimal
    step_rise_mm: Decimal

    def stitch_mm(self, steps_up: int) -> Decimal:
        """Thread over two pleats and a rise, through one pleat and down and up its bite."""
        across, up = 2 * self.pitch_mm, steps_up * self.step_rise_mm
        return (across * across + up * up).sqrt() + self.pitch_mm + 2 * self.bite_mm


@dataclass(slots=True, kw_only=True)
class Smocker:
    """Works one row: from the centre right then left, or from one edge to the other.

    `kind` is `wave` (trellises too), `cable`, `stem` or `outline`; the last three have no steps.
    """

    cloth: Cloth
    steps: int
    usable_mm: Decimal
    kind: str = "wave"
    start: str = "centre"
    is_centre_high: bool = False
    ends_on_whole_stitch: bool = False
    stitches: list[Stitch] = field(default_factory=list)
    needlefuls: int = 0
    length_mm: Decimal = Decimal(0)
    sides: dict[int, str] = field(default_factory=dict)

    def work_row(self) -> "Smocker":
        """Every run of the row, each with a fresh needleful."""
        right, left = self._outward(1), self._outward(-1)
        across = [*reversed(left), *right]
        routes = {
            "centre": [[left[0], *right], left],
            "left": [across],
            "right": [across[::-1]],
        }
        for route in routes[self.start]:
            self._work(route)
        return self

    def _outward(self, side: int) -> list[Station]:
        """Pleats from the centre out with their heights, as far as there is room for another turn."""
        place, is_rising = side, not self.is_centre_high
        height = self.steps if self.is_centre_high else 0
        stations = [(place, height)]
        while abs(place) + self.steps + 1 <= self.cloth.pleats // 2:
            for _ in range(self.steps):
                place, height = place + side, height + (1 if is_rising else -1)
                stations.append((place, height))
            place, is_rising = place + side, not is_rising
            stations.append((place, height))
        return stations

    def _work(self, route: Sequence[Station]) -> None:
        needle = Needle(usable_mm=self.usable_mm, ends_on_whole_stitch=self.ends_on_whole_stitch)
        level_mm, slant_mm = self.cloth.stitch_mm(0), self.cloth.stitch_mm(1)
        for (start, low), (end, high) in pairwise(route):
            wanted_mm = level_mm if low == high else slant_mm
            needle.draw(wanted_mm)
            self.length_mm += wanted_mm
            self.stitches.append(
                Stitch(
                    from_place=start,
                    to_place=end,
                    from_height=low,
                    to_height=high,
                    thread=self._thread(min(start, end), low, high),
                )
            )
        self.needlefuls += needle.needlefuls

    def _thread(self, gap: int, low: int, high: int) -> str:
        """Up below, down above; level with what came or comes: at the bottom below, at the top above."""
        if self.kind == "cable":
            return self._beside(gap)
        if self.kind != "wave":
            return {"stem": "below", "outline": "above"}[self.kind]
        if low == high:
            return "above" if low == self.steps else "below"
        return "below" if high > low else "above"

    def _beside(self, gap: int) -> str:
        """A cable stitch lies on the other side than the stitch next to it; the first one is chosen."""
        before, after = (-1 if gap == 1 else gap - 1), (1 if gap == -1 else gap + 1)
        neighbour = self.sides.get(before) or self.sides.get(after)
        first = "above" if self.is_centre_high else "below"
        self.sides[gap] = OTHER[neighbour] if neighbour else first
        return self.sides[gap]

    @property
    def turns(self) -> int:
        """Level stitches made."""
        return sum(stitch.from_height == stitch.to_height for stitch in self.stitches)

    @property
    def pleats_used(self) -> int:
        """Different pleats the needle has been through."""
        return len({place for stitch in self.stitches for place in (stitch.from_place, stitch.to_place)})
