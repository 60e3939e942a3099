"""Names of people from everywhere: printed right, or a plain word that they would not be."""

from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.urls import reverse
from fontTools.ttLib import TTFont

from gowngroup.deliveries.models import DropOff
from gowngroup.people.models import Group, Person
from gowngroup.printing.letters import FACES, missing_letters, missing_sentence
from gowngroup.printing.pdf import html_of
from tests.factories import WardFactory
from tests.printing.conftest import MAKE_DROP_OFF, MAKE_GOWN, SIGN_IN
from tests.printing.reading import opened

# Common given names and surnames, put together; alphabets as the Unicode Standard names their blocks.
NAMES = (
    "Nguyễn Thị Ánh Tuyết",
    "Łucja Żółć-Gęśla",
    "Γιώργος Παπαδόπουλος",
    "Ѓорѓи Ђурђевић",
    "Þóra Ægisdóttir",
    "שרה כהן",
    "فاطمة الزهراء",
    "شهرزاد پگاه",
)
STRANGE = "林 👩‍🌾 Lin"


@pytest.fixture
def drop_off(make_drop_off: MAKE_DROP_OFF, group: Group) -> DropOff:
    """A drop-off whose ward, hospital and note bear all the names."""
    ward = WardFactory(name=", ".join(NAMES[:4]))
    ward.hospital.name = ", ".join(NAMES[4:])
    ward.hospital.save()
    made: DropOff = make_drop_off(worn=1, ward=ward, note=" | ".join(NAMES))
    return made


def lines(page: Any) -> list[str]:
    """The words of a page from left to right as they stand on paper."""
    return [line["text"] for line in page.extract_text_lines()]


def test_names_print_in_our_own_typefaces(drop_off: DropOff, packer: Person, sign_in: SIGN_IN) -> None:
    """Vietnamese, Polish, Greek, Macedonian, Icelandic, Hebrew, Arabic and Persian are set in our faces alone."""
    pdf = opened(sign_in(packer), reverse("printing:drop_off_driver_pdf", args=[drop_off.pk]))
    faces = {char["fontname"].split("+")[1] for page in pdf.pages for char in page.chars}
    assert {face.removesuffix("-Semi-Bold") for face in faces} == {"Source-Sans-Pro", "Rubik"}


def test_right_to_left_names_read_from_the_right(drop_off: DropOff, packer: Person, sign_in: SIGN_IN) -> None:
    """On paper the first letter of a Hebrew name stands furthest right; left-to-right names stay as typed."""
    pdf = opened(sign_in(packer), reverse("printing:drop_off_driver_pdf", args=[drop_off.pk]))
    shown = "\n".join(lines(pdf.pages[0]))
    assert NAMES[0] in shown
    assert "שרה כהן"[::-1] in shown


def test_every_name_has_its_glyphs() -> None:
    """Each letter of the names is in the cmap of one of our faces (OpenType, table cmap), Hebrew points too."""
    known = {code for face in FACES for code in TTFont(face).getBestCmap()}
    assert {letter for name in NAMES for letter in name if ord(letter) not in known} == set()
    assert missing_letters(" ".join((*NAMES, "שָׁלוֹם", "e\u0301 ⅛ → ✓ “’ \u200d"))) == ()


def test_letters_we_lack_are_named_once() -> None:
    """Chinese letters and pictures are named, each once, at most three; joiners and selectors are no letters."""
    assert missing_letters(f"{STRANGE} 林 ❤\ufe0f") == ("林", "👩", "🌾", "❤")
    assert "cjk unified ideograph-6797, woman, ear of rice, …." in missing_sentence(f"{STRANGE} ❤")
    assert missing_sentence("Lin") == ""


def test_a_sheet_says_what_will_not_print(drop_off: DropOff, packer: Person, sign_in: SIGN_IN) -> None:
    """A sheet with such letters begins with a warning, on the page as on paper; any other sheet does not."""
    client, address = sign_in(packer), reverse("printing:drop_off_driver", args=[drop_off.pk])
    assert "fault" not in client.get(address).content.decode()
    drop_off.note = STRANGE
    drop_off.save()
    page = client.get(address).content.decode()
    assert '<main tabindex="0"><p class="fault">Some characters here are in none of our typefaces' in page


def test_a_label_of_such_letters_is_refused(
    make_gown: MAKE_GOWN, group: Group, inspector: Person, sign_in: SIGN_IN
) -> None:
    """A label has no room for a warning: the sheet is not made, and the page says which label and why."""
    group.label_line = "Lin 林"
    group.save()
    answer = sign_in(inspector).get(
        reverse("printing:labels_pdf") + f"?sheet=a4-3x7&start=1&item={make_gown().code}"
    )
    assert answer.status_code == 422
    assert "G00-001: Some characters here are in none of our typefaces" in answer.content.decode()


def test_whole_faces_are_for_paper(drop_off: DropOff, packer: Person, sign_in: SIGN_IN) -> None:
    """A sheet on a screen has the light faces of all pages, which a PDF never asks for."""
    page = sign_in(packer).get(reverse("printing:drop_off_driver", args=[drop_off.pk])).content.decode()
    paper = html_of("printing/sheet.html", {})
    assert ("css/faces.css" in page, "css/print/faces.css" in page) == (True, False)
    assert ("css/faces.css" in paper, "css/print/faces.css" in paper) == (False, True)


def test_pages_name_the_same_face() -> None:
    """Pages and sheets take Hebrew and Arabic from the same file, fetched only where such letters stand."""
    for sheet in ("css/faces.css", "css/print/faces.css"):
        css = (Path(settings.BASE_DIR) / "static" / sheet).read_text()
        assert "Rubik%5Bwght%5D.ttf" in css
        assert "unicode-range: U+0590-06FF" in css
