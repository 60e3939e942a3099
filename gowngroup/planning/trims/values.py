"""Lengths to cut, what they may be cut from, and a finished cutting."""

from __future__ import annotations

from dataclasses import astuple, dataclass

ROUNDING_MM = 1e-6


class CannotCutTrims(ValueError):
    """A piece or a supply that cannot be planned with; `key` names it."""

    def __init__(self, key: str, fault: str) -> None:
        super().__init__(f"{key}: {fault}")
        self.key = key


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimPiece:
    """One edge's lace or ribbon, cut in one length."""

    key: str
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimSupply:
    """A card or remnant on the shelf; an opened one is used before a whole one."""

    key: str
    length_mm: float
    is_opened: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimCut:
    """A piece cut from a supply, starting `start_mm` from its free end."""

    supply_key: str
    piece_key: str
    start_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimLeftOver:
    """What stays of a supply that was cut, and whether an edge in use could still come from it."""

    supply_key: str
    length_mm: float
    is_useful: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimScore:
    """What a cutting is judged by, the first difference deciding; less is better in each.

    `missing_mm` and `useless_cm` count whole millimetres and, supply by supply, whole centimetres.
    """

    missing_count: int
    missing_mm: int
    cards_opened: int
    supplies_cut: int
    useless_cm: int

    @property
    def order(self) -> tuple[int, ...]:
        """The score as a tuple that sorts as it is judged."""
        return astuple(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimPlan:
    """Cuts in the order made, pieces nothing on the shelf is long enough for, and left-overs.

    No cutting can be better than `bound`; a plan is proven where its own score is just that.
    """

    cuts: tuple[TrimCut, ...]
    unplaced: tuple[TrimPiece, ...]
    left_overs: tuple[TrimLeftOver, ...]
    score: TrimScore | None = None
    bound: TrimScore | None = None

    @property
    def is_proven(self) -> bool:
        """Is it proven that no cutting is better?"""
        return self.score is not None and self.score == self.bound


@dataclass(frozen=True, slots=True, kw_only=True)
class CardNeed:
    """New cards that hold the pieces, the pieces no card is long enough for, and whether fewer are impossible."""

    card_count: int
    too_long: tuple[TrimPiece, ...]
    is_proven: bool = False


def refuse_bad_length(what: str, length_mm: float) -> None:
    """Raise CannotCutTrims, naming what it is of, for a length that is none."""
    if not 0 <= length_mm < float("inf"):
        raise CannotCutTrims(what, f"{length_mm} mm is no length")


def refuse_bad_trims(pieces: tuple[TrimPiece, ...], supplies: tuple[TrimSupply, ...]) -> None:
    """Raise CannotCutTrims for a length that is no length and for a key that names two."""
    for group, word in ((pieces, "piece"), (supplies, "supply")):
        seen: set[str] = set()
        for each in group:
            if not 0 < each.length_mm < float("inf"):
                raise CannotCutTrims(each.key, f"{each.length_mm} mm is no length of a {word}")
            if each.key in seen:
                raise CannotCutTrims(each.key, f"each {word} needs a key of its own")
            seen.add(each.key)
