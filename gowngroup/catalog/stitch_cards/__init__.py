"""Stitch cards: how each stitch of the charts is worked, drawn from the very stitches the planner reckons with."""

from gowngroup.catalog.planner import PlannerSettings, planner_settings
from gowngroup.catalog.stitch_cards.drawn import DrawnCard, DrawnStep, drawn_card
from gowngroup.catalog.stitch_cards.how_to import end_card, needle_card, pleats_card, start_card
from gowngroup.catalog.stitch_cards.rows import ROWS, card_key
from gowngroup.catalog.stitch_cards.stitches import StitchCard, stitch_card_of
from gowngroup.catalog.stitch_cards.titles import TITLES
from gowngroup.records.reader import current_reader

__all__ = [
    "HANDS",
    "HOW_TO",
    "STITCHES",
    "TITLES",
    "WITH_HANDS",
    "DrawnCard",
    "DrawnStep",
    "StitchCard",
    "card_key",
    "drawn_card",
    "stitch_card",
    "stitch_cards",
]

STITCHES = tuple(ROWS)
HOW_TO = ("needle", "pleats", "start", "end")
WITH_HANDS = frozenset({"start", "end", *STITCHES})
HANDS = {"left": True, "right": False}


def stitch_card(key: str, settings: PlannerSettings | None = None) -> StitchCard:
    """One card by its key, for the reader's hand; KeyError where there is none."""
    settings, is_left_handed = settings or planner_settings(), current_reader().is_left_handed
    if key == "needle":
        return needle_card(settings)
    if key == "pleats":
        return pleats_card(settings)
    if key in ("start", "end"):
        make = start_card if key == "start" else end_card
        return make(settings, is_left_handed=is_left_handed)
    return stitch_card_of(key, settings, is_left_handed=is_left_handed)


def stitch_cards() -> tuple[StitchCard, ...]:
    """Every card: what to know first, then the stitches."""
    settings = planner_settings()
    return tuple(stitch_card(key, settings) for key in TITLES)
