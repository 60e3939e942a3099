"""Safety stock: how many gowns of a rare size cover a usual month, whatever it brings."""

from __future__ import annotations

from math import exp, log

from gowngroup.planning.mix.values import CannotPropose, MixRules, PastDemand


def poisson_quantile(mean: float, share: float) -> int:
    """The least count that a Poisson demand of this mean stays at or under with the probability `share`.

    Counts per month; `share` from 0 to under 1. Raises CannotPropose for a mean below 0 or a share outside.
    Source: definition of the Poisson distribution, its terms summed until they reach the share.
    """
    if not (0 <= mean < 1e6 and 0 <= share < 1):
        raise CannotPropose(f"a monthly mean of {mean:g} and a share of {share:g} cannot be meant")
    if mean == 0:
        return 0
    # Logarithms, because exp(-mean) alone vanishes for large means.
    count, log_term = 0, -mean
    below = exp(log_term)
    while below < share:
        count += 1
        log_term += log(mean / count)
        below += exp(log_term)
    return count


def safety_count(demand: PastDemand, *, asked_count: int, rules: MixRules) -> int:
    """Gowns of a rare size to keep beyond what is asked, so that what may still be asked this month is there.

    As many as the Poisson quantile of the month's demand exceeds the `asked_count` already known; none for a size
    asked more often than `rules.rare_most_mean` a month, whose stock turns over by itself. Raises CannotPropose.
    Source: safety stock as a quantile of demand, textbook method; the threshold is our own.
    """
    if demand.monthly_mean > rules.rare_most_mean:
        return 0
    return max(poisson_quantile(demand.monthly_mean, rules.cover_share) - asked_count, 0)
