"""The group's own share of gowns that pass, size by size, smoothed where few have been judged."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from gowngroup.planning.mix.values import CannotPropose


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """Gowns whose checks have come to an end: how many of them passed."""

    passed_count: int
    judged_count: int


def shares_passed(
    judged: Mapping[str, Judged], *, usual_share: float, weight_count: float
) -> dict[str, float]:
    """The expected share passed of each size, 0 to 1.

    Each size is drawn towards the group's overall share as if `weight_count` more gowns with that share had been
    judged, and the overall share likewise towards `usual_share`: the mean of a beta distribution after counting, so a
    size with few gowns stays near the group's figure and one with many has its own. Raises CannotPropose for counts
    or shares that cannot be meant, the size named.
    Source: beta-binomial smoothing, textbook method; the weight is the group's figure `mix_share_weight_count`.
    """
    for size_name, each in judged.items():
        if not 0 <= each.passed_count <= each.judged_count:
            raise CannotPropose(
                f"{size_name}: {each.passed_count} of {each.judged_count} gowns cannot have passed"
            )
    if not (0 <= usual_share <= 1 and weight_count > 0):
        raise CannotPropose("the usual share passed must lie between 0 and 1 and have some weight")
    overall = overall_share(judged, usual_share=usual_share, weight_count=weight_count)
    return {size_name: _smoothed(each, overall, weight_count) for size_name, each in judged.items()}


def overall_share(judged: Mapping[str, Judged], *, usual_share: float, weight_count: float) -> float:
    """The share passed of all sizes together, for sizes of which none has been judged."""
    together = Judged(
        passed_count=sum(each.passed_count for each in judged.values()),
        judged_count=sum(each.judged_count for each in judged.values()),
    )
    return _smoothed(together, usual_share, weight_count)


def _smoothed(judged: Judged, share: float, weight_count: float) -> float:
    return (judged.passed_count + weight_count * share) / (judged.judged_count + weight_count)
