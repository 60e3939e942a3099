"""Bias binding cut as one continuous strip from a square of cloth."""

from math import sqrt


def bias_square_side_mm(*, length_mm: float, width_mm: float, yield_share: float = 1.0) -> float:
    """Side in mm of the square that gives a continuous bias strip: √(length · width / yield) (published rule)."""
    return sqrt(length_mm * width_mm / yield_share)


def bias_from_square_mm(*, side_mm: float, width_mm: float, yield_share: float = 1.0) -> float:
    """Length in mm of bias of a width that a square really gives (published rule, yield derived)."""
    return side_mm**2 * yield_share / width_mm
