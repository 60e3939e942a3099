"""Stitch cards on the screen: all of them, and one."""

from dataclasses import replace

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from gowngroup.catalog import stitch_cards as cards
from gowngroup.people.guards import EVERYONE, page
from gowngroup.records.reader import current_reader, reading_as

LETTER_MM = 5.0  # large enough for the screen of a telephone


@page(*EVERYONE, methods=("GET",))
def stitch_cards(request: HttpRequest) -> HttpResponse:
    drawn = [cards.drawn_card(card, letter_mm=LETTER_MM) for card in cards.stitch_cards()]
    context = {
        "how_to": [each for each in drawn if each.card.key in cards.HOW_TO],
        "stitches": [each for each in drawn if each.card.key in cards.STITCHES],
    }
    return render(request, "catalog/stitch_cards.html", context)


@page(*EVERYONE, methods=("GET",))
def stitch_card(request: HttpRequest, key: str) -> HttpResponse:
    if key not in cards.TITLES:
        raise Http404
    reader = current_reader()
    hand = cards.HANDS.get(request.GET.get("hand", ""), reader.is_left_handed)
    with reading_as(replace(reader, is_left_handed=hand)):
        (card,) = cards.stitch_cards([key])
    context = {
        "card": card,
        "drawn": cards.drawn_card(card, letter_mm=LETTER_MM),
        "is_left_handed": hand,
        "others": [(other, title) for other, title in cards.TITLES.items() if other != key],
    }
    return render(request, "catalog/stitch_card.html", context)
