"""Drafted gowns of every kind and size, to try lays on and to measure them by."""

from __future__ import annotations

from functools import cache

from gowngroup.planning.drafting import Draft, DraftKind, DraftRules, draft_gown
from gowngroup.planning.figures import default_values
from gowngroup.planning.lay.values import LayPiece
from gowngroup.planning.sizes import DEFAULT_BANDS

# Every kind of gown at every size it is made to wear in, by the lightest baby of the size in grams, well mixed.
TRIAL_DESIGNS: tuple[tuple[DraftKind, float], ...] = (
    ("round-neck", 1500),
    ("yoke", 500),
    ("wrap", 250),
    ("round-neck", 2000),
    ("yoke", 750),
    ("round-neck", 2500),
    ("yoke", 1000),
    ("wrap", 150),
    ("round-neck", 3500),
    ("yoke", 1500),
    ("yoke", 2000),
    ("wrap", 0),
    ("yoke", 2500),
    ("yoke", 3500),
)


def trial_gowns(count: int) -> tuple[tuple[LayPiece, ...], ...]:
    """This many gowns to wear, the trial designs in turn, each with all its pieces; drafted by the default figures."""
    return tuple(_gown(number) for number in range(count))


def _gown(number: int) -> tuple[LayPiece, ...]:
    kit_key = f"K{number:03d}"
    return tuple(
        LayPiece(
            key=f"{kit_key}/{piece.name}/{copy}",
            kit_key=kit_key,
            name=piece.name,
            number=copy,
            outline=outline,
            may_turn=piece.may_turn,
        )
        for piece in _draft(*TRIAL_DESIGNS[number % len(TRIAL_DESIGNS)]).pieces
        for copy, outline in enumerate(piece.cut_shapes, start=1)
    )


@cache
def _draft(kind: DraftKind, lightest_g: float) -> Draft:
    values = default_values()
    size = next(band for band in DEFAULT_BANDS if band.lower_mass_g == lightest_g)
    return draft_gown(
        kind,
        size=size,
        rules=DraftRules.from_figures(values),
        purpose="worn",
        pleater_take_up_mm=values["pleat_take_up_mm"],
        pleater_row_space_mm=values["pleat_row_space_mm"],
    )
