"""Bias binding cut as one continuous strip from a square of cloth."""

from math import inf, sqrt


def bias_square_side_mm(*, length_mm: float, width_mm: float, yield_share: float = 1.0) -> float:
    """Side in mm of the square that gives a continuous bias strip: √(length · width / yield) (published rule).

    Raises ValueError naming the measure that is none.
    """
    _refuse_bad(length=length_mm, width=width_mm, share_it_yields=yield_share)
    return sqrt(length_mm * width_mm / yield_share)


def bias_from_square_mm(*, side_mm: float, width_mm: float, yield_share: float = 1.0) -> float:
    """Length in mm of bias of a width that a square really gives (published rule, yield derived).

    Raises ValueError naming the measure that is none.
    """
    _refuse_bad(side=side_mm, width=width_mm, share_it_yields=yield_share)
    return side_mm**2 * yield_share / width_mm


def _refuse_bad(**measures: float) -> None:
    for name, measure in measures.items():
        if not 0 < measure < inf:
            raise ValueError(f"bias: the {name.replace('_', ' ')} must be above zero, not {measure}")
