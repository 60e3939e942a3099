"""Which sums lengths can make, and which lengths make a sum (subset sums as the bits of one number)."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from gowngroup.planning.chance import Chance

Ints = npt.NDArray[np.int64]


def sums_reached(lengths: Sequence[int], room: int) -> list[int]:
    """Which sums up to a room are reached without a piece, with the first, the first two …: the bits of each number."""
    mask = (1 << (room + 1)) - 1
    reached = [1]
    for length in lengths:
        reached.append(reached[-1] | (reached[-1] << length) & mask)
    return reached


def taken_for(
    lengths: Sequence[int], reached: Sequence[int], filled: int, chance: Chance | None = None
) -> tuple[list[int], list[int]]:
    """The pieces of a sum that is reached, and the rest: the last ones by preference, or any where chance decides."""
    taken, rest = [], []
    for number in range(len(lengths), 0, -1):
        length = lengths[number - 1]
        can_be_taken = filled >= length and reached[number - 1] >> (filled - length) & 1
        must_be_taken = not reached[number - 1] >> filled & 1
        if must_be_taken or (can_be_taken and (chance is None or chance.share() < 0.5)):
            taken.append(length)
            filled -= length
        else:
            rest.append(length)
    return taken, rest


def sums_between(reached: int, least: int, greatest: int) -> Ints:
    """The sums within these limits whose bits are set."""
    count = greatest - least + 1
    window = reached >> least & (1 << count) - 1
    octets = np.frombuffer(window.to_bytes(-(-count // 8), "little"), dtype=np.uint8)
    return np.flatnonzero(np.unpackbits(octets, bitorder="little")).astype(np.int64) + least


def fullest(lengths: Sequence[int], room: int) -> list[int]:
    """The pieces that fill a room best, long ones by preference."""
    ordered = sorted(lengths)
    reached = sums_reached(ordered, room)
    return taken_for(ordered, reached, reached[-1].bit_length() - 1)[0]
