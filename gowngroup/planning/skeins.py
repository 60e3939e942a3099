"""Cuts of one shade taken from the skeins on the shelf, part-used skeins first."""

from dataclasses import dataclass
from math import inf

from gowngroup.planning.floss import FlossRules, cuts_per_skein, whole_skein_cuts


@dataclass(frozen=True, slots=True, kw_only=True)
class SkeinSupply:
    """A skein of the shade on the shelf."""

    key: str
    length_mm: float
    is_part: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SkeinTake:
    """Cuts to take from one skein, and what then stays on it."""

    key: str
    cuts: int
    length_mm: float
    left_mm: float
    left_cuts: int
    is_left_over_useful: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossAllocation:
    """Where the cuts of a shade come from; `short_cuts` are missing and need `skeins_to_buy` new skeins."""

    takes: tuple[SkeinTake, ...]
    short_cuts: int
    skeins_to_buy: int


def allocate_cuts(cuts: int, supplies: tuple[SkeinSupply, ...], rules: FlossRules) -> FlossAllocation:
    """Take cuts from part-used skeins, the shortest first so that most are used up, then from whole ones.

    Fewest whole skeins are opened that can be (derived: the longest first), the last of them the shortest that
    still gives what is missing. Raises ValueError where two skeins have one key,
    and naming a skein whose length is none.
    """
    if len({supply.key for supply in supplies}) != len(supplies):
        raise ValueError("each skein needs a key of its own")
    for supply in supplies:
        if not 0 <= supply.length_mm < inf:
            raise ValueError(f"skein {supply.key}: {supply.length_mm} mm is no length")
    wanted, takes = cuts, []
    for supply in _in_turn(cuts, supplies, rules):
        if (taken := min(wanted, cuts_per_skein(supply.length_mm, rules))) > 0:
            takes.append(_take(supply, taken, rules))
            wanted -= taken
    return FlossAllocation(
        takes=tuple(takes), short_cuts=wanted, skeins_to_buy=-(-wanted // whole_skein_cuts(rules))
    )


def _in_turn(cuts: int, supplies: tuple[SkeinSupply, ...], rules: FlossRules) -> list[SkeinSupply]:
    """Part-used skeins from the shortest; whole ones from the longest, but the last that is needed."""
    by_length = sorted(supplies, key=lambda skein: (skein.length_mm, skein.key))
    parts = [skein for skein in by_length if skein.is_part]
    whole = sorted((skein for skein in by_length if not skein.is_part), key=lambda skein: -skein.length_mm)
    missing, turn = cuts - sum(cuts_per_skein(part.length_mm, rules) for part in parts), list(parts)
    while whole and missing > 0:
        enough = [skein for skein in whole if cuts_per_skein(skein.length_mm, rules) >= missing]
        chosen = enough[-1] if enough else whole[0]
        whole.remove(chosen)
        turn.append(chosen)
        missing -= cuts_per_skein(chosen.length_mm, rules)
    return turn


def _take(supply: SkeinSupply, cuts: int, rules: FlossRules) -> SkeinTake:
    left_cuts = cuts_per_skein(supply.length_mm, rules) - cuts
    return SkeinTake(
        key=supply.key,
        cuts=cuts,
        length_mm=cuts * rules.cut_mm,
        left_mm=supply.length_mm - cuts * rules.cut_mm,
        left_cuts=left_cuts,
        is_left_over_useful=left_cuts >= rules.least_left_over_cuts,
    )
