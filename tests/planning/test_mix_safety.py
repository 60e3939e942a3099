"""Safety stock and shares passed: the group's own figures, smoothed where few gowns speak."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import betabinom, poisson  # type: ignore[import-untyped]

from gowngroup.planning.figures import default_values
from gowngroup.planning.mix import (
    CannotPropose,
    Judged,
    MixRules,
    PastDemand,
    overall_share,
    poisson_quantile,
    safety_count,
    shares_passed,
)

RULES = MixRules.from_figures(default_values())


@pytest.mark.parametrize(
    ("mean", "count"), [(0, 0), (1, 3), (2, 5), (3, 6), (5, 9), (10, 15), (20, 28), (40, 51)]
)
def test_cover_of_a_monthly_demand(mean: float, count: int) -> None:
    """Stock that covers a month at 95 % is as a table of the Poisson distribution has it."""
    assert poisson_quantile(mean, 0.95) == count


@given(st.floats(0.01, 500), st.floats(0.5, 0.999))
def test_quantile_agrees_with_scipy(mean: float, share: float) -> None:
    """Our quantile is that of scipy.stats.poisson, or its neighbour where the sum meets the share exactly."""
    ours = poisson_quantile(mean, share)
    assert poisson.cdf(ours, mean) >= share - 1e-9
    assert ours == 0 or poisson.cdf(ours - 1, mean) < share + 1e-9


@pytest.mark.parametrize(
    ("mean", "share"), [(-1, 0.95), (1e9, 0.95), (float("nan"), 0.95), (1, 1.0), (1, -0.1)]
)
def test_impossible_means_and_shares_are_refused(mean: float, share: float) -> None:
    """A mean below none, without end or no number, and a share outside 0 to 1, are refused in words."""
    with pytest.raises(CannotPropose, match="cannot be meant"):
        poisson_quantile(mean, share)


@pytest.mark.parametrize(("asked", "kept"), [(0, 3), (2, 1), (3, 0), (9, 0)])
def test_what_is_asked_already_is_not_kept_twice(asked: int, kept: int) -> None:
    """At a mean of 1 a month 3 cover it; of these, those already asked this month need not be kept."""
    demand = PastDemand(size_name="29 cm", monthly_mean=1)
    assert safety_count(demand, asked_count=asked, rules=RULES) == kept


def test_frequent_sizes_keep_no_safety_stock() -> None:
    """A size asked more often than five times a month turns over by itself."""
    assert safety_count(PastDemand(size_name="51 cm", monthly_mean=5.1), asked_count=0, rules=RULES) == 0


def test_share_of_a_size_lies_between_its_own_and_the_group() -> None:
    """Ten gowns of a size weigh as much as the group's share; a size with one gown stays near the group's."""
    judged = {
        "40 cm": Judged(passed_count=5, judged_count=10),
        "29 cm": Judged(passed_count=0, judged_count=1),
        "51 cm": Judged(passed_count=100, judged_count=100),
    }
    overall = overall_share(judged, usual_share=0.9, weight_count=10)
    shares = shares_passed(judged, usual_share=0.9, weight_count=10)
    assert overall == pytest.approx((105 + 9) / 121)
    assert shares["40 cm"] == pytest.approx((0.5 + overall) / 2)
    assert shares["29 cm"] == pytest.approx(overall * 10 / 11)


def test_smoothing_is_the_mean_of_the_beta_distribution() -> None:
    """The share is what scipy's beta-binomial expects of one more gown after those counted."""
    share = overall_share({"40 cm": Judged(passed_count=7, judged_count=9)}, usual_share=0.8, weight_count=10)
    assert share == pytest.approx(betabinom.mean(1, 10 * 0.8 + 7, 10 * 0.2 + 2))


def test_without_checks_the_usual_share_holds() -> None:
    """A new group counts on the share it has set."""
    assert overall_share({}, usual_share=0.9, weight_count=10) == pytest.approx(0.9)


@pytest.mark.parametrize(
    ("judged", "usual_share"),
    [({"40 cm": Judged(passed_count=3, judged_count=2)}, 0.9), ({}, 1.1)],
)
def test_impossible_counts_are_refused(judged: dict[str, Judged], usual_share: float) -> None:
    """More passed than judged, or a share over one, are refused."""
    with pytest.raises(CannotPropose, match="passed"):
        shares_passed(judged, usual_share=usual_share, weight_count=10)
