"""Lengths as they are measured at the table: whole millimetres, equal ones counted together."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from gowngroup.planning.trims.values import ROUNDING_MM, TrimPiece, TrimScore, TrimSupply

IntOrInts = TypeVar("IntOrInts", int, npt.NDArray[np.int64])

# An end shorter than this is a snip, not a left-over.
SNIP_MM = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Piece lengths in mm, longest first, how often each is wanted, and what they may be cut from."""

    lengths: tuple[int, ...]
    wanted: tuple[int, ...]
    supplies: tuple[int, ...]
    is_whole: tuple[bool, ...]
    shortest_edge: int

    def useless_cm(self, supply: int, filled: int) -> int:
        """Whole centimetres left of a supply that no edge in use could come from."""
        return self.useless_cms(self.supplies[supply] - filled)

    def useless_cms(self, left: IntOrInts) -> IntOrInts:
        """Whole useless centimetres of a left-over, or of many."""
        return (left < self.shortest_edge) * (left // SNIP_MM)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """How many of each length one supply gives."""

    supply: int
    counts: tuple[int, ...]

    def filled(self, problem: Problem) -> int:
        """What they take of it in mm."""
        return sum(
            count * length for count, length in zip(self.counts, problem.lengths, strict=True) if count
        )


Cutting = tuple[Pattern, ...]


def problem_of(
    pieces: Iterable[TrimPiece], supplies: Sequence[TrimSupply], *, shortest_edge_mm: float
) -> Problem:
    """Pieces rounded up and supplies rounded down to whole millimetres, so that what fits here fits."""
    counted = Counter(table_mm(piece) for piece in pieces)
    lengths = tuple(sorted(counted, reverse=True))
    return Problem(
        lengths=lengths,
        wanted=tuple(counted[length] for length in lengths),
        supplies=tuple(map(table_length, supplies)),
        is_whole=tuple(not supply.is_opened for supply in supplies),
        shortest_edge=ceil(shortest_edge_mm - ROUNDING_MM),
    )


def table_mm(piece: TrimPiece) -> int:
    """A piece in whole millimetres, rounded up."""
    return ceil(piece.length_mm - ROUNDING_MM)


def table_length(supply: TrimSupply) -> int:
    """A supply in whole millimetres, rounded down."""
    return floor(supply.length_mm + ROUNDING_MM)


def score_of(cutting: Cutting, problem: Problem) -> TrimScore:
    """What a cutting is judged by."""
    missing = missing_of(cutting, problem)
    return TrimScore(
        missing_count=sum(missing),
        missing_mm=sum(count * length for count, length in zip(missing, problem.lengths, strict=True)),
        cards_opened=sum(problem.is_whole[pattern.supply] for pattern in cutting),
        supplies_cut=len(cutting),
        useless_cm=sum(problem.useless_cm(pattern.supply, pattern.filled(problem)) for pattern in cutting),
    )


def missing_of(cutting: Cutting, problem: Problem) -> list[int]:
    """How many of each length a cutting does not give."""
    missing = list(problem.wanted)
    for pattern in cutting:
        for place, count in enumerate(pattern.counts):
            missing[place] -= count
    return missing


def cutting_of(contents: dict[int, list[int]], problem: Problem) -> Cutting:
    """Lengths by supply as patterns."""
    place = {length: number for number, length in enumerate(problem.lengths)}
    patterns = []
    for supply in sorted(contents):
        counts: dict[int, int] = defaultdict(int)
        for length in contents[supply]:
            counts[place[length]] += 1
        if counts:
            patterns.append(
                Pattern(
                    supply=supply,
                    counts=tuple(counts[number] for number in range(len(problem.lengths))),
                )
            )
    return tuple(patterns)
