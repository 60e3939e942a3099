"""Labels of worn gowns: where they lie, what they say, who gets none."""

import math
from typing import Any
from urllib.parse import urlencode

import pytest
from django.conf import settings
from django.urls import reverse

from gowngroup.gowns.models import Gown
from gowngroup.people.models import Group, Person
from gowngroup.printing.label_sheets import INSIDE_MM, LABEL_SHEETS, LabelSheet, label_sheet
from gowngroup.printing.planner import label_pages
from gowngroup.printing.qr import qr_code
from tests.factories import SizeFactory
from tests.printing.conftest import MAKE_GOWN, SIGN_IN
from tests.printing.reading import MM, decoded, opened, said, written

SHEET = LABEL_SHEETS[0]


def address(gowns: list[Gown], *, name: str = "printing:labels_pdf", **more: object) -> str:
    query = {"sheet": SHEET.key, "start": 1, "gown": [gown.code for gown in gowns]} | more
    return f"{reverse(name)}?{urlencode(query, doseq=True)}"


def test_geometry_of_the_sheet() -> None:
    """The 21-label sheet is laid out as in LibreOffice's labels.xml and ISO 216's A4, to the hundredth."""
    sheet = label_sheet("a4-3x7")
    assert sheet is not None
    assert (sheet.paper_width_mm, sheet.paper_height_mm) == (210.0, 297.0)
    assert (sheet.label_width_mm, sheet.label_height_mm) == (63.50, 38.10)
    assert (sheet.pitch_x_mm, sheet.pitch_y_mm, sheet.left_mm, sheet.top_mm) == (66.04, 38.10, 7.20, 15.15)
    assert (sheet.column_count, sheet.row_count, sheet.label_count) == (3, 7, 21)


@pytest.mark.parametrize("sheet", LABEL_SHEETS, ids=lambda sheet: sheet.key)
def test_labels_lie_on_the_paper_and_apart(sheet: LabelSheet) -> None:
    """No label of any sheet sticks out of its paper or covers the next one."""
    last = sheet.places[-1]
    assert last.left_mm + sheet.label_width_mm <= sheet.paper_width_mm
    assert last.top_mm + sheet.label_height_mm <= sheet.paper_height_mm
    assert sheet.pitch_x_mm >= sheet.label_width_mm
    assert sheet.pitch_y_mm >= sheet.label_height_mm


def test_every_label_within_a_tenth_of_a_millimetre(
    make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN
) -> None:
    """On a full sheet each label's words start 2 mm inside its left edge and its code ends 2 mm inside its right."""
    gowns = [make_gown() for _number in range(SHEET.label_count)]
    page = opened(sign_in(inspector), address(gowns)).pages[0]
    assert (round(page.width / MM, 1), round(page.height / MM, 1)) == (210.0, 297.0)
    codes = sorted(page.rects or page.curves, key=lambda shape: (round(shape["top"]), shape["x0"]))
    qr = qr_code(f"{settings.SITE_ADDRESS}{reverse('gowns:gown_page', args=[gowns[0].code])}")
    quiet_mm = 4 * qr.module_mm
    for place in SHEET.places:
        right = place.left_mm + SHEET.label_width_mm - INSIDE_MM - quiet_mm
        top = place.top_mm + INSIDE_MM + quiet_mm
        assert any(
            math.isclose(shape["x1"] / MM, right, abs_tol=0.1)
            and math.isclose(shape["top"] / MM, top, abs_tol=0.1)
            for shape in codes
        ), place
        assert any(
            math.isclose(char["x0"] / MM, place.left_mm + INSIDE_MM, abs_tol=0.1) for char in page.chars
        )


def test_words_stay_two_millimetres_inside(
    make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN, group: Group
) -> None:
    """The longest tag line and the widest letters stay inside the free margin of their label."""
    group.label_line = "W" * 60
    group.save()
    size = SizeFactory(upper_mass_g=9000, lower_mass_g=8000, body_length_um=1_000_000)
    gown = make_gown(size=size)
    page = opened(sign_in(inspector), address([gown], start=5)).pages[0]
    place = SHEET.place(5)
    assert written(page).count("W") == 60
    for char in page.chars:
        assert char["x0"] / MM >= place.left_mm + INSIDE_MM - 0.1
        assert char["x1"] / MM <= place.left_mm + SHEET.label_width_mm - INSIDE_MM + 0.1
        assert char["top"] / MM >= place.top_mm + INSIDE_MM - 0.1
        assert char["bottom"] / MM <= place.top_mm + SHEET.label_height_mm - INSIDE_MM + 0.1


def test_start_on_a_part_used_sheet(make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN) -> None:
    """Three labels from the twentieth on take the last two of one sheet and the first of the next."""
    gowns = [make_gown() for _number in range(3)]
    pdf = opened(sign_in(inspector), address(gowns, start=20))
    assert len(pdf.pages) == 2
    assert min(char["x0"] for char in pdf.pages[0].chars) / MM == pytest.approx(73.24 + INSIDE_MM, abs=0.1)
    assert min(char["x0"] for char in pdf.pages[1].chars) / MM == pytest.approx(7.20 + INSIDE_MM, abs=0.1)


def test_pages_hold_each_gown_once(make_gown: MAKE_GOWN) -> None:
    """Whatever the start, every gown has exactly one label and no place is used twice on a sheet."""
    gowns = [make_gown() for _number in range(25)]
    for start in (1, 2, 21):
        pages = label_pages(gowns, sheet=SHEET, start=start, group_line="")
        assert [label.gown for page in pages for label in page.labels] == gowns
        assert all(len({label.position for label in page.labels}) == len(page.labels) for page in pages)


def test_label_says_what_it_must(
    make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN, group: Group
) -> None:
    """A label tells the size as a length, wash, fibre, the group's line and the code; never a weight."""
    group.label_line = "Sewn by the Test circle"
    group.save()
    gown = make_gown()
    text = said(opened(sign_in(inspector), address([gown])))
    for words in ("forababyupto46cm", "washat60°C", "cotton", "SewnbytheTestcircle", "G00-001"):
        assert words in text
    assert "2500" not in text


@pytest.mark.parametrize("dpi", [150, 300])
def test_code_of_a_label_opens_its_gown(
    make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN, dpi: int
) -> None:
    """An independent decoder (ISO/IEC 18004) reads the gown's own address from each label's picture."""
    gowns = [make_gown() for _number in range(2)]
    page = opened(sign_in(inspector), address(gowns)).pages[0]
    assert sorted(decoded(page, dpi)) == [
        f"{settings.SITE_ADDRESS}{reverse('gowns:gown_page', args=[gown.code])}" for gown in gowns
    ]


def test_memorial_gown_gets_no_label(make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN) -> None:
    """A memorial gown is neither offered nor printed: its bag carries the label."""
    gown = make_gown(purpose="memorial")
    client = sign_in(inspector)
    response = client.get(address([gown]))
    assert response.status_code == 422
    assert f"{gown.code} carries no label" in response.content.decode()
    assert gown.code not in client.get(reverse("printing:labels")).content.decode()


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ({"codes": "GXXXXX"}, "There is no gown GXXXXX"),
        ({"codes": "", "gown": []}, "Tick at least one gown"),
        ({"start": 22}, "This sheet has 21 labels"),
        ({"start": 0}, "greater than or equal to 1"),
        ({"sheet": "a5"}, "not one of the available choices"),
        ({"start": ""}, "This field is required"),
    ],
)
def test_bad_choice_is_told_and_kept(
    make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN, query: dict[str, Any], words: str
) -> None:
    """A wrong code, start or sheet gets a sentence, and what was ticked and typed is kept."""
    gown = make_gown()
    name = "printing:label_sheets"
    response = sign_in(inspector).get(address([gown], name=name, **query))
    text = response.content.decode()
    assert response.status_code == 422
    assert words in text
    assert ("checked" in text) is ("gown" not in query)


def test_typed_codes_count_once(make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN) -> None:
    """Codes typed with dashes, commas and small letters are understood, and one also ticked counts once."""
    first, second = make_gown(), make_gown()
    codes = f"{first.code[:3].lower()}-{first.code[3:]}, {second.code}"
    text = said(opened(sign_in(inspector), address([first], codes=codes)))
    assert text.count("G00-001") == 1
    assert text.count("G00-002") == 1


def test_page_shows_the_same_labels(make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN) -> None:
    """The labels are also a page with a style sheet of their own, made from the same geometry."""
    client = sign_in(inspector)
    page = client.get(address([make_gown()], start=7, name="printing:label_sheets"))
    css = client.get(reverse("printing:label_css", args=[SHEET.key]))
    assert "at-7" in page.content.decode()
    assert "style=" not in page.content.decode()
    assert ".at-7 { left: 7.2mm; top: 91.35mm }" in css.content.decode()
    assert css["Content-Type"].startswith("text/css")


@pytest.mark.parametrize("name", ["labels", "label_sheets", "labels_pdf"])
def test_who_may_print_labels(
    name: str, volunteer: Person, driver: Person, packer: Person, sign_in: SIGN_IN
) -> None:
    """Labels are for those who check and pack."""
    page = reverse(f"printing:{name}")
    assert sign_in(volunteer).get(page).status_code == 403
    assert sign_in(driver).get(page).status_code == 403
    assert sign_in(packer).get(page).status_code in (200, 422)


def test_empty_list_says_what_to_do(inspector: Person, sign_in: SIGN_IN) -> None:
    """Without gowns the page says when they appear; without finds it leads back to all of them."""
    client = sign_in(inspector)
    assert "come back from a kit" in client.get(reverse("printing:labels")).content.decode()
    assert "All gowns" in client.get(reverse("printing:labels") + "?search=zzz").content.decode()
