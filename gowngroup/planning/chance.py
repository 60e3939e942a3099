"""A small generator of chance numbers: the same seed gives the same numbers on every machine and version."""

from __future__ import annotations

_FACTOR, _TERM, _STATES = 6364136223846793005, 1442695040888963407, 1 << 64


class Chance:
    """Numbers of a linear congruential generator. Source: multiplier and term as Knuth's MMIX uses them."""

    def __init__(self, seed: int) -> None:
        self._state = (seed * _FACTOR + _TERM) % _STATES

    def share(self) -> float:
        """A number from 0 up to but not 1."""
        self._state = (self._state * _FACTOR + _TERM) % _STATES
        return (self._state >> 11) / (1 << 53)

    def below(self, count: int) -> int:
        """A whole number from 0 to one less than the count."""
        return int(self.share() * count)
