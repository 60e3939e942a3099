"""The stitch cards on paper: all at once, one alone, for either hand."""

import re

import pytest
from django.urls import reverse

from gowngroup.catalog.stitch_cards import TITLES
from gowngroup.people.models import Group, Person
from tests.printing.conftest import SIGN_IN
from tests.printing.paper.here import PrintedHere
from tests.printing.reading import opened

pytestmark = pytest.mark.filterwarnings("ignore:unclosed file .*sRGB2014:ResourceWarning")


def test_each_card_has_its_own_page(
    group: Group, volunteer: Person, sign_in: SIGN_IN, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All the cards print on the smaller paper, each on one page that begins with its name."""
    PrintedHere(monkeypatch)
    volunteer.paper_size = "Letter"
    volunteer.save()
    pdf = opened(sign_in(volunteer), reverse("printing:stitch_cards_pdf"))
    heads = [page.extract_text()[:120] for page in pdf.pages]
    assert len(heads) == len(TITLES)
    assert all(str(title) in head for title, head in zip(TITLES.values(), heads, strict=True))


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
