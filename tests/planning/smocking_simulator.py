"""A smocker who walks pleat by pleat, one stitch at a time; shares no code with the planner.

Pleats are told by their distance from the centre valley: 1, 2, 3 … to the right, -1, -2, -3 … to the left.
Heights are counted in steps above the lower turns. Lengths are reckoned in decimals of thirty digits.
"""

from dataclasses import dataclass, field
from decimal import Decimal, getcontext

getcontext().prec = 30


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
    """Thread in the needle; a new needleful is threaded the moment the old one runs out."""

    usable_mm: Decimal
    left_mm: Decimal = Decimal(0)
    needlefuls: int = 0
    drawn_mm: Decimal = Decimal(0)

    def draw(self, wanted_mm: Decimal) -> None:
        """Use thread for a stitch, threading again as often as needed."""
        self.drawn_mm += wanted_mm
        while wanted_mm > self.left_mm:
            wanted_mm -= self.left_mm
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


@dataclass(slots=True, kw_only=True)
class Smocker:
    """Works one row from the centre to the right edge, then from the centre to the left edge."""

    cloth: Cloth
    steps: int
    usable_mm: Decimal
    stitches: list[Stitch] = field(default_factory=list)
    needlefuls: int = 0
    length_mm: Decimal = Decimal(0)

    def work_row(self) -> "Smocker":
        """Both halves, the centre turn with the first."""
        self._work_half(side=1, with_centre_turn=True)
        self._work_half(side=-1, with_centre_turn=False)
        return self

    def _work_half(self, *, side: int, with_centre_turn: bool) -> None:
        needle = Needle(usable_mm=self.usable_mm)
        place, height, is_rising = side, 0, True
        if with_centre_turn:
            self._stitch(needle, -side, side, 0, 0, "below")
        while abs(place) + self.steps + 1 <= self.cloth.pleats // 2:
            thread = "below" if is_rising else "above"
            for _ in range(self.steps):
                higher = height + (1 if is_rising else -1)
                self._stitch(needle, place, place + side, height, higher, thread)
                place, height = place + side, higher
            self._stitch(needle, place, place + side, height, height, "above" if is_rising else "below")
            place, is_rising = place + side, not is_rising
        self.needlefuls += needle.needlefuls
        self.length_mm += needle.drawn_mm

    def _stitch(self, needle: Needle, start: int, end: int, low: int, high: int, thread: str) -> None:
        across, up = 2 * self.cloth.pitch_mm, abs(high - low) * self.cloth.step_rise_mm
        needle.draw((across * across + up * up).sqrt() + self.cloth.pitch_mm + 2 * self.cloth.bite_mm)
        self.stitches.append(
            Stitch(from_place=start, to_place=end, from_height=low, to_height=high, thread=thread)
        )

    @property
    def turns(self) -> int:
        """Level stitches made."""
        return sum(stitch.from_height == stitch.to_height for stitch in self.stitches)

    @property
    def pleats_used(self) -> int:
        """Different pleats the needle has been through."""
        return len({place for stitch in self.stitches for place in (stitch.from_place, stitch.to_place)})
