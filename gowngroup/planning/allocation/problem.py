"""Needs and rooms: kits that are alike and lots as the programme sees them, and what a dealing out comes to."""

from __future__ import annotations

from dataclasses import dataclass

Counts = tuple[tuple[int, ...], ...]

# The solver reckons in m² to a millionth: a left-over as near as this to a useful one is useful.
SAME_MM2 = 0.5
# Sums of areas differ by less, however they are added.
ROUNDING_MM2 = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """Groups of kits that are all alike: how many there are, the area of one, the lots (by number) that suit it."""

    count: int
    area_mm2: float
    gown_count: int
    is_first: bool
    rooms: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A lot: all its cloth, what of it pieces are expected to fill, and the left-over that is still useful; in mm²."""

    area_mm2: float
    capacity_mm2: float
    least_left_mm2: float

    def left_mm2(self, filled_mm2: float) -> float:
        """Cloth left over where pieces fill so much."""
        return self.area_mm2 * (1 - filled_mm2 / self.capacity_mm2)

    def used_up_mm2(self, filled_mm2: float) -> float:
        """Cloth cut away, and what is left over but too short for anything."""
        left_mm2 = self.left_mm2(filled_mm2)
        return self.area_mm2 - (left_mm2 if self.is_useful(left_mm2) else 0.0)

    @property
    def part_mm2(self) -> float:
        """What pieces may fill while something useful is left over; below nought where nothing can be."""
        most_share = 1 - (self.least_left_mm2 - SAME_MM2) / self.area_mm2
        return self.capacity_mm2 * min(most_share, 1.0)

    def is_useful(self, left_mm2: float) -> bool:
        """Whether a left-over still makes something."""
        return left_mm2 >= self.least_left_mm2 - SAME_MM2


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """First gowns and gowns to make at least, rooms to open at most and at least."""

    first: int = 0
    gowns: int = 0
    rooms: int
    least_rooms: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What no dealing out can better: first gowns and gowns at most, lots and mm² of cloth used up at least."""

    most_first: int
    most_gowns: int
    least_lots: int
    least_used_up_mm2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Dealt:
    """How many groups of each need go to each room, and what was proven."""

    counts: Counts
    proof: Proof


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Needs and rooms, and what counts of groups in them come to."""

    needs: tuple[Need, ...]
    rooms: tuple[Room, ...]

    def filled_mm2(self, counts: Counts, room: int) -> float:
        """Area of the pieces dealt to a room."""
        return sum(row[room] * need.area_mm2 for row, need in zip(counts, self.needs, strict=True))

    def opened(self, counts: Counts) -> list[int]:
        """The rooms that are used."""
        return [room for room in range(len(self.rooms)) if any(row[room] for row in counts)]

    def is_possible(self, counts: Counts) -> bool:
        """Whether no room holds more than it can, nor what does not suit it."""
        return all(
            self.filled_mm2(counts, number) <= room.capacity_mm2 + ROUNDING_MM2
            for number, room in enumerate(self.rooms)
        ) and all(
            count == 0 or room in need.rooms
            for need, row in zip(self.needs, counts, strict=True)
            for room, count in enumerate(row)
        )

    def gowns(self, counts: Counts, *, first_only: bool = False) -> int:
        """Gowns that are made."""
        pairs = zip(counts, self.needs, strict=True)
        return sum(sum(row) * need.gown_count for row, need in pairs if need.is_first or not first_only)

    def used_up_mm2(self, counts: Counts) -> float:
        """Cloth cut away and useless left-overs of all the opened rooms."""
        return sum(
            self.rooms[room].used_up_mm2(self.filled_mm2(counts, room)) for room in self.opened(counts)
        )

    def worth(self, counts: Counts) -> tuple[int, int, int, int]:
        """What dealings out are compared by, the better one less; cloth in whole mm²."""
        return (
            -self.gowns(counts, first_only=True),
            -self.gowns(counts),
            len(self.opened(counts)),
            round(self.used_up_mm2(counts)),
        )

    def gap_share(self, counts: Counts, proof: Proof) -> float:
        """How far at most counts stay behind what is possible: in gowns, or in cloth for as many gowns and lots."""
        pairs = (
            (self.gowns(counts, first_only=True), proof.most_first),
            (self.gowns(counts), proof.most_gowns),
        )
        missing = [(most - made) / most for made, most in pairs if most]
        used_up_mm2 = self.used_up_mm2(counts)
        spare = (used_up_mm2 - proof.least_used_up_mm2) / used_up_mm2 if used_up_mm2 else 0.0
        return round(max(0.0, spare, *missing), 6)
