"""Plausible ranges of what is typed into the catalog, in micrometres; outside them the form asks back."""

# Common practice, no source: cloth for gowns is sold up to 152 cm wide.
WIDEST_CLOTH_UM = 1_520_000
MOST_PIECES = 20  # of one name on one gown
PIECE_WIDTH_UM = (10_000, WIDEST_CLOTH_UM)
PIECE_LENGTH_UM = (10_000, 1_500_000)
BODY_LENGTH_UM = (150_000, 700_000)
CHEST_UM = (100_000, 500_000)
SMOCKED_WIDTH_UM = (50_000, 400_000)
FINISHED_MEASURE_UM = (20_000, 1_500_000)
TIE_LENGTH_UM = (10_000, 360_000)  # EN 14682, from memory: no tie on baby clothes is longer
NEED_LENGTH_UM = (20_000, 5_000_000)
END_ALLOWANCE_UM = (0, 50_000)
TRIM_WIDTH_UM = (1_000, 150_000)
SEAM_ALLOWANCE_UM = (0, 30_000)
TAKE_UP_UM = (4_000, 12_000)
ROW_SPACE_UM = (8_000, 12_000)
COUNTED_OVER_UM = (100_000, 2_000_000)
PLEAT_COUNT = (10, 400)
GATHER_PERCENT = (100, 300)
MASS_G = (0, 6_000)
CLOTH_MASS_G_PER_M2 = (30, 400)
HALF_SPACES = (0, 60)
RISE_HALF_SPACES = (0, 12)
MOST_PLEATED_ROWS = 32  # no pleater in use threads more


def is_within(value: int, limits: tuple[int, int]) -> bool:
    """Does a value lie within its plausible range?"""
    low, high = limits
    return low <= value <= high
