"""How many gowns of each size to make this month, in which designs, for whom and why."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from gowngroup.planning.integer_programme import CannotSolve
from gowngroup.planning.mix.levels import Decided, decide
from gowngroup.planning.mix.limits import binding_limits
from gowngroup.planning.mix.problem import problem_of
from gowngroup.planning.mix.telling import Teller
from gowngroup.planning.mix.values import (
    CannotPropose,
    ClothRoom,
    GownChoice,
    GownSupply,
    HoursOffered,
    Mix,
    MixRules,
    PastDemand,
    WardAsk,
)


def propose(
    asks: Sequence[WardAsk],
    *,
    supplies: Sequence[GownSupply],
    choices: Sequence[GownChoice],
    cloth: Sequence[ClothRoom],
    hours: HoursOffered,
    demands: Sequence[PastDemand] = (),
    rules: MixRules | None = None,
) -> Mix:
    """The best batch for a month, proven, its lines in the order first asked.

    Passed gowns, and those out times the share passed, go to wards first; matched sets are always made new, whole,
    from one lot. Memorial gowns (and sets one of whose gowns is memorial) come first and stand outside the fairness
    sums; then the cover (served / asked) of the worst-served ward that anything can be had for, then the total, then
    safety stock of rare sizes, then the fewest designs. Hours of each stage and every lot of cloth are kept to; each
    gown comes whole from one lot. Times in minutes, areas in mm², shares 0 to 1. The order of the input does not
    matter and the same input gives the same answer. Raises CannotPropose.
    Source: lexicographic integer programme; max-min fairness, textbook method; the group's own share passed.
    """
    problem = problem_of(
        asks,
        supplies=supplies,
        choices=choices,
        cloth=cloth,
        hours=hours,
        demands=demands,
        rules=rules or MixRules(),
    )
    try:
        decided = decide(problem)
    except CannotSolve as failure:
        raise CannotPropose(f"the month cannot be worked out: {failure}") from failure
    return Mix(
        lines=Teller(decided, asks, demands).lines(),
        limits=binding_limits(decided),
        asked_count=sum(ask.gown_count for ask in asks),
        met_count=decided.total_count,
        memorial_short_count=problem.asked("memorial").total() - decided.memorial_count,
        worst_cover=None if decided.worst_cover is None else float(decided.worst_cover),
        worst_ward_key=_worst_ward(decided),
        design_count=decided.design_count,
        is_proven=decided.is_proven,
    )


def _worst_ward(decided: Decided) -> str | None:
    """The ward whose cover is the worst, of those the worst was sought among."""
    asked = decided.model.problem.asked("worn")
    covers = {key: Fraction(decided.served[key], asked[key]) for key in decided.ward_keys}
    return min(covers, key=lambda key: (covers[key], key), default=None)
