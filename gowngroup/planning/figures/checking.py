"""Figures for checking finished gowns: how far a gown may differ from its size."""

from gowngroup.planning.figures.figure import Figure

_COMMON = "common practice, no source"

# Key, label, most millimetres a gown may differ.
_TOLERANCES = (
    ("check_neck_mm", "A finished neck may differ from its size by", 5),
    ("check_chest_mm", "A finished chest may differ from its size by", 10),
    ("check_length_mm", "A finished gown's length may differ from its size by", 10),
    ("check_sleeves_mm", "The two sleeves of a gown may differ by", 5),
)

CHECKING = tuple(
    Figure(
        key=key, label=label, value=value, unit="mm", low=1, high=30, mark="common practice", source=_COMMON
    )
    for key, label, value in _TOLERANCES
)
