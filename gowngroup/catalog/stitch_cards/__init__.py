"""Stitch cards: how each stitch of the charts is worked, drawn from the very stitches the planner reckons with."""

from collections.abc import Iterable

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
    "DrawnCard",
    "DrawnStep",
    "StitchCard",
    "card_key",
    "card_of",
    "drawn_card",
    "stitch_cards",
]

STITCHES = tuple(ROWS)
HOW_TO = ("needle", "pleats", "start", "end")
HANDS = {"left": True, "right": False}


def stitch_cards(keys: Iterable[str] = tuple(TITLES)) -> tuple[StitchCard, ...]:
    """The cards of these keys for the reader's hand; KeyError for one there is not."""
    settings, is_left_handed = planner_settings(), current_reader().is_left_handed
    return tuple(card_of(key, settings, is_left_handed=is_left_handed) for key in keys)


def card_of(key: str, settings: PlannerSettings, *, is_left_handed: bool) -> StitchCard:
    """One card in a group's figures, for the right hand or the left."""
    if key in _WITHOUT_HAND:
        return _WITHOUT_HAND[key](settings)
    if key in _WITH_HAND:
        return _WITH_HAND[key](settings, is_left_handed=is_left_handed)
    return stitch_card_of(key, settings, is_left_handed=is_left_handed)


_WITHOUT_HAND = {"needle": needle_card, "pleats": pleats_card}
_WITH_HAND = {"start": start_card, "end": end_card}
