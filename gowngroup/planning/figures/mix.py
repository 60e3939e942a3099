"""Figures for proposing a month's mix of sizes."""

from gowngroup.planning.figures.figure import Figure

MIX: tuple[Figure, ...] = (
    Figure(
        key="mix_cover_share",
        label="How surely safety stock covers what a month may bring",
        value=0.95,
        unit="share",
        low=0.5,
        high=0.999,
        mark="common practice",
        source="common practice, no source: 95 %, as a quantile of the Poisson distribution",
    ),
    Figure(
        key="mix_rare_most_mean",
        label="A size counts as rare up to so many gowns asked a month",
        value=5.0,
        unit="gowns a month",
        low=0.0,
        high=50.0,
        mark="derived",
        source="our own choice: at a mean of 5 a month the quantile (9) is 80 % above the mean, far over a flat fifth",
    ),
    Figure(
        key="mix_share_weight_count",
        label="The group's share passed weighs as much as so many gowns of a size",
        value=10.0,
        unit="gowns",
        low=1.0,
        high=200.0,
        mark="derived",
        source="our own choice: with ten gowns of a size checked, its own share and the group's count alike",
    ),
)
