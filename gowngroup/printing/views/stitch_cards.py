"""Stitch cards on paper: all of them, and one."""

from dataclasses import replace

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from gowngroup.catalog import stitch_cards as cards
from gowngroup.people.guards import EVERYONE, page
from gowngroup.people.queries import the_group
from gowngroup.printing import first_page
from gowngroup.printing.views.answers import pdf_answer
from gowngroup.records.reader import current_reader, reading_as

TEMPLATE = "printing/stitch_cards.html"
ALL = "all"  # in place of a card's key
ROOM_MM = 84.0  # two pictures side by side


@page(*EVERYONE, methods=("GET",))
def stitch_card(request: HttpRequest, key: str) -> HttpResponse:
    return render(request, TEMPLATE, _context(request, key))


@page(*EVERYONE, methods=("GET",))
def stitch_card_pdf(request: HttpRequest, key: str) -> HttpResponse:
    context = _context(request, key) | {"group": the_group()}
    hand = "left" if context["is_left_handed"] else "right"
    page = f"{reverse('printing:stitch_card', args=[key])}?hand={hand}"
    return pdf_answer(request, TEMPLATE, context, filename=f"stitch-card-{key}.pdf", page=page)


def _context(request: HttpRequest, key: str) -> dict[str, object]:
    """One card, or all, for the reader's paper and print and the hand asked for; 404 for a card there is not."""
    if key not in (ALL, *cards.TITLES):
        raise Http404
    reader = current_reader()
    is_left_handed = cards.HANDS.get(request.GET.get("hand", ""), reader.is_left_handed)
    letter_mm = round(first_page.type_mm(), 2)
    with reading_as(replace(reader, is_left_handed=is_left_handed)):
        drawn = [
            cards.drawn_card(card, letter_mm=letter_mm, room_mm=ROOM_MM)
            for card in cards.stitch_cards(cards.TITLES if key == ALL else [key])
        ]
    return {
        "cards": drawn,
        "key": key,
        "one": None if key == ALL else drawn[0].card,
        "has_hand": any(each.card.has_hand for each in drawn),
        "is_left_handed": is_left_handed,
        "reader": reader,
    }
