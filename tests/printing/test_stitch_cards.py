"""The stitch cards on paper: all at once, one alone, for either hand."""

import io
import re
from typing import Any

import pikepdf
import pytest
from django.urls import reverse
from django.utils.translation import override

from gowngroup.catalog.stitch_cards import TITLES
from gowngroup.people.models import Group, Person
from tests.printing.conftest import SIGN_IN
from tests.printing.paper.here import PrintedHere

pytestmark = pytest.mark.filterwarnings("ignore:unclosed file .*sRGB2014:ResourceWarning")


def test_each_card_has_its_own_page(
    group: Group, volunteer: Person, sign_in: SIGN_IN, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All the cards print on the smaller paper in Spanish, which is longer, each on one page to which its bookmark leads."""
    volunteer.paper_size, volunteer.language = "Letter", "es"
    volunteer.save()
    address = reverse("printing:stitch_card_pdf", args=["all"])
    printed = PrintedHere(monkeypatch).sheet(sign_in(volunteer), address)
    with pikepdf.open(io.BytesIO(printed.content)) as pdf, pdf.open_outline() as outline:
        numbers: dict[Any, int] = {page.objgen: number for number, page in enumerate(pdf.pages)}
        places: list[Any] = [entry.destination for entry in outline.root]
        titles = [entry.title for entry in outline.root]
        found = [(title, numbers[place[0].objgen]) for title, place in zip(titles, places, strict=True)]
    with override("es"):
        assert found == [(str(title), number) for number, title in enumerate(TITLES.values())]
    assert len(numbers) == len(TITLES)


def test_card_is_printed_for_the_hand_asked_for(group: Group, volunteer: Person, sign_in: SIGN_IN) -> None:
    """Whoever sews with her left hand gets it so; the other hand is one link away, and its PDF is of that hand."""
    volunteer.is_left_handed = True
    volunteer.save()
    client, address = sign_in(volunteer), reverse("printing:stitch_card", args=["wave"])
    pages = [client.get(address, asked).content.decode() for asked in ({}, {"hand": "right"})]
    for page, hand, other in zip(pages, ("left", "right"), ("right", "left"), strict=True):
        assert f"Drawn for the {hand} hand" in page
        assert re.findall(r'href="[^"]*\?hand=(\w+)"', page) == [other, hand]


def test_card_there_is_not_is_not_found(group: Group, volunteer: Person, sign_in: SIGN_IN) -> None:
    """An address with a name that no card has answers 404, as a page and as a PDF."""
    client = sign_in(volunteer)
    for name in ("stitch_card", "stitch_card_pdf"):
        assert client.get(reverse(f"printing:{name}", args=["no-such"])).status_code == 404
