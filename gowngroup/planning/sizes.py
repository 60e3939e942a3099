"""How big a newborn of a given weight is, and the size bands gowns are cut for."""

from collections.abc import Mapping
from dataclasses import dataclass

MM_PER_CM = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeBand:
    """A size: cut for the upper edge of a weight band; `chest_mm` is unknown for the smallest wraps."""

    name: str
    lower_mass_g: float
    upper_mass_g: float
    body_length_mm: float
    chest_mm: float | None
    head_mm: float
    has_armholes: bool


def body_length_mm(*, mass_g: float, values: Mapping[str, float]) -> float:
    """Crown-heel length in mm of a baby of `mass_g`; `values` are figures by key (own fit, derived)."""
    return _fit_mm(
        mass_g=mass_g, factor_cm=values["body_length_at_1_g_cm"], exponent=values["body_length_exponent"]
    )


def head_girth_mm(*, mass_g: float, values: Mapping[str, float]) -> float:
    """Head girth in mm of a baby of `mass_g`; `values` are figures by key (own fit, derived)."""
    return _fit_mm(
        mass_g=mass_g, factor_cm=values["body_head_at_1_g_cm"], exponent=values["body_head_exponent"]
    )


def chest_girth_mm(*, mass_g: float, values: Mapping[str, float]) -> float:
    """Chest girth in mm, estimated from the head girth (derived; within 15 mm below 2,000 g)."""
    return head_girth_mm(mass_g=mass_g, values=values) - values["body_chest_below_head_mm"]


def _fit_mm(*, mass_g: float, factor_cm: float, exponent: float) -> float:
    if not 0 < mass_g < float("inf"):
        raise ValueError("mass_g must be above zero")
    return float(factor_cm * mass_g**exponent * MM_PER_CM)


def _band(mass_g: tuple[int, int], length_cm: float, chest_cm: float | None, head_cm: float) -> SizeBand:
    lower_g, upper_g = mass_g
    return SizeBand(
        name=f"{lower_g} to {upper_g} g" if lower_g else f"to {upper_g} g",
        lower_mass_g=lower_g,
        upper_mass_g=upper_g,
        body_length_mm=length_cm * MM_PER_CM,
        chest_mm=None if chest_cm is None else chest_cm * MM_PER_CM,
        head_mm=head_cm * MM_PER_CM,
        has_armholes=lower_g >= 500,
    )


# Derived from the fits and rounded; lengths below 500 g are extrapolated ("ask the ward").
DEFAULT_BANDS: tuple[SizeBand, ...] = (
    _band((0, 150), 20.5, None, 14.8),
    _band((150, 250), 23.7, None, 17.0),
    _band((250, 500), 29.0, 19.0, 21.0),
    _band((500, 750), 33.0, 21.0, 23.0),
    _band((750, 1000), 35.5, 23.0, 25.0),
    _band((1000, 1500), 40.0, 26.0, 28.0),
    _band((1500, 2000), 43.0, 28.0, 30.0),
    _band((2000, 2500), 46.0, 30.0, 32.0),
    _band((2500, 3500), 51.0, 33.0, 35.0),
    _band((3500, 4500), 54.6, 35.5, 37.5),
)
