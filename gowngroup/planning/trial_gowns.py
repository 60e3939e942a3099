"""Drafted gowns of every size with armholes, to try lays on and to measure them by."""

from __future__ import annotations

from functools import cache

from gowngroup.planning.batch_plan.order import kit_pieces
from gowngroup.planning.drafting import Draft, DraftRules, Purpose, draft_round_neck
from gowngroup.planning.figures import default_values
from gowngroup.planning.lay.values import LayPiece
from gowngroup.planning.sizes import DEFAULT_BANDS, SizeBand


def trial_gowns(count: int) -> tuple[tuple[LayPiece, ...], ...]:
    """This many round-necked gowns, the sizes from 500 g upward in turn, each with all its pieces.

    Drafted by the default figures: to wear from the size round necks to wear start at, memorial below it.
    """
    sizes = [band for band in DEFAULT_BANDS if band.has_armholes]
    return tuple(_gown(f"K{number:03d}", sizes[number % len(sizes)]) for number in range(count))


def _gown(kit_key: str, size: SizeBand) -> tuple[LayPiece, ...]:
    return tuple(
        LayPiece(
            key=f"{kit_key}/{piece.name}/{number}",
            kit_key=kit_key,
            name=piece.name,
            number=number,
            outline=outline,
            may_turn=piece.may_turn,
        )
        for piece in kit_pieces(_draft(size).pieces)
        for number, outline in enumerate(piece.outlines, start=1)
    )


@cache
def _draft(size: SizeBand) -> Draft:
    values = default_values()
    rules = DraftRules.from_figures(values)
    purpose: Purpose = "worn" if size.lower_mass_g >= rules.worn_from_mass_g else "memorial"
    return draft_round_neck(
        size=size,
        rules=rules,
        purpose=purpose,
        pleater_take_up_mm=values["pleat_take_up_mm"],
        pleater_row_space_mm=values["pleat_row_space_mm"],
    )
