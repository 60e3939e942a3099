"""Sheets of labels: where they lie on paper, from which label on, how often, and what sewn-in ones say."""

import math
from typing import Any
from urllib.parse import urlencode

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from gowngroup.gowns.models import Gown
from gowngroup.people.models import Group, LabelPrinting, Person
from gowngroup.printing.label_sheets import INSIDE_MM, LABEL_SHEETS, LabelSheet, sheet_title
from gowngroup.printing.planner.label_fit import LabelText
from gowngroup.printing.planner.label_words import LabelWords
from gowngroup.printing.planner.labels import label_pages
from tests.factories import SizeFactory
from tests.planning.test_label_sheets import PUBLISHED
from tests.printing.conftest import MAKE_GOWN, SIGN_IN
from tests.printing.reading import MM, decoded, opened, said, written

SHEET = LABEL_SHEETS[0]
SMALLEST = LABEL_SHEETS[-1]


def address(gowns: list[Gown], *, name: str = "printing:labels_pdf", **more: object) -> str:
    query = {"sheet": SHEET.key, "start": 1, "item": [gown.code for gown in gowns]} | more
    return f"{reverse(name)}?{urlencode(query, doseq=True)}"


def frames(client: Client, sheet: str) -> list[tuple[float, float, float, float]]:
    """The frames of a test page in mm, row by row, as pdfplumber reads them."""
    page = opened(client, f"{reverse('printing:label_test_pdf')}?sheet={sheet}").pages[0]
    found = {
        tuple(round(shape[side] / MM, 3) for side in ("x0", "top", "x1", "bottom"))
        for shape in (*page.rects, *page.curves)
        if 25 < (shape["x1"] - shape["x0"]) / MM < 200
    }
    return sorted(found, key=lambda box: (round(box[1]), box[0]))


def expected(key: str) -> list[tuple[float, float, float, float]]:
    """Where the published figures say that labels lie, in mm, row by row."""
    columns, rows, width, height, pitch_x, pitch_y, left, top = PUBLISHED[key]
    corners = [
        (left + column * pitch_x, top + row * pitch_y) for row in range(rows) for column in range(columns)
    ]
    return [(x, y, x + width, y + height) for x, y in corners]


@pytest.mark.parametrize("key", PUBLISHED)
def test_every_label_within_a_tenth_of_a_millimetre(
    key: str, inspector: Person, sign_in: SIGN_IN, group: Group
) -> None:
    """On A4 and Letter each frame lies within 0.1 mm of LibreOffice's labels.xml, read by pdfplumber."""
    found = frames(sign_in(inspector), key)
    assert len(found) == len(expected(key))
    for box, wanted in zip(found, expected(key), strict=True):
        assert box == pytest.approx(wanted, abs=0.1)


def test_offset_moves_every_frame(inspector: Person, sign_in: SIGN_IN, group: Group) -> None:
    """A printer said to be out gets all labels moved by just as much, to the right and down."""
    LabelPrinting.objects.create(pk=1, offset_right_um=1_500, offset_down_um=-2_000)
    for box, (x0, top, x1, bottom) in zip(
        frames(sign_in(inspector), "letter-3x10"), expected("letter-3x10"), strict=True
    ):
        assert box == pytest.approx((x0 + 1.5, top - 2, x1 + 1.5, bottom - 2), abs=0.1)


@pytest.mark.parametrize("name", ["label_test", "label_test_pdf", "labels_pdf"])
def test_offset_that_pushes_a_label_off_is_refused(
    name: str, make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN
) -> None:
    """Where the offset leaves a label no room, the sheet is not printed and the edge is named."""
    LabelPrinting.objects.create(pk=1, offset_right_um=5_000)
    page = address([make_gown()], name=f"printing:{name}", sheet="letter-2x5")
    answer = sign_in(inspector).get(page)
    assert answer.status_code == 422
    assert "stick out of the right edge of the paper by 1.02 mm" in answer.content.decode()


def test_own_sheet_is_printed_on(make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN) -> None:
    """The group's own sheet stands first and its labels lie where the group measured them."""
    measured = {"label_width_um": 80_000, "label_height_um": 50_000, "left_um": 20_000, "top_um": 30_000}
    LabelPrinting.objects.create(pk=1, sheet_name="round ones", **measured)
    client = sign_in(inspector)
    assert (
        "round ones (A4, 1 × 1 labels of 80 × 50 mm)"
        in client.get(reverse("printing:labels")).content.decode()
    )
    assert frames(client, "own") == [pytest.approx((20, 30, 100, 80), abs=0.1)]
    page = opened(client, address([make_gown()], sheet="own")).pages[0]
    assert min(char["x0"] for char in page.chars) / MM == pytest.approx(20 + INSIDE_MM, abs=0.1)


@pytest.mark.parametrize("sheet", [SHEET, LABEL_SHEETS[5]], ids=lambda sheet: sheet.key)
def test_labels_start_at_their_places(
    sheet: LabelSheet, make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN
) -> None:
    """On a full sheet, A4 or Letter, words start 2 mm inside each label's left edge and the code ends 2 mm inside its right."""
    gown = make_gown()
    page = opened(sign_in(inspector), address([gown], sheet=sheet.key, copies=sheet.label_count)).pages[0]
    quiet_mm = 4 * _module_mm(page)
    ends_mm = {round(shape["x1"] / MM, 3) for shape in _codes(page)}
    starts_mm = {round(char["x0"] / MM, 3) for char in page.chars}
    for place in sheet.places:
        right = place.left_mm + sheet.label_width_mm - INSIDE_MM - quiet_mm
        assert any(math.isclose(end, right, abs_tol=0.1) for end in ends_mm), place
        left = place.left_mm + INSIDE_MM
        assert any(math.isclose(start, left, abs_tol=0.1) for start in starts_mm), place


def _codes(page: Any) -> list[Any]:
    """Runs of dark modules, each one stroke."""
    return list(page.lines)


def _module_mm(page: Any) -> float:
    """How thick the strokes of a code are: one module."""
    return float(_codes(page)[0]["linewidth"]) / MM


@pytest.mark.parametrize("sheet", [SHEET, LABEL_SHEETS[3], SMALLEST], ids=lambda sheet: sheet.key)
def test_words_stay_two_millimetres_inside(
    sheet: LabelSheet, make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN, group: Group
) -> None:
    """A tag line of usual length and the widest letters stay inside the free margin of their label."""
    group.label_line = "WWWWWW MMM" if sheet != SHEET else "W" * 60
    group.save()
    size = SizeFactory(upper_mass_g=9000, lower_mass_g=8000, body_length_um=1_000_000)
    page = opened(sign_in(inspector), address([make_gown(size=size)], start=5, sheet=sheet.key)).pages[0]
    place = sheet.place(5)
    assert written(page).count("W") == group.label_line.count("W")
    for char in page.chars:
        assert char["x0"] / MM >= place.left_mm + INSIDE_MM - 0.1
        assert char["x1"] / MM <= place.left_mm + sheet.label_width_mm - INSIDE_MM + 0.1
        assert char["top"] / MM >= place.top_mm + INSIDE_MM - 0.3
        assert char["bottom"] / MM <= place.top_mm + sheet.label_height_mm - INSIDE_MM + 0.3


def test_words_that_do_not_fit_are_refused(
    make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN, group: Group
) -> None:
    """A line too long for the smallest labels is not cut off: another sheet is asked for."""
    group.label_line = "W" * 60
    group.save()
    answer = sign_in(inspector).get(address([make_gown()], sheet=SMALLEST.key))
    assert answer.status_code == 422
    assert "The words of G00-001 do not fit on labels this small" in answer.content.decode()


def test_start_on_a_part_used_sheet(make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN) -> None:
    """Three labels from the twentieth on take the last two of one sheet and the first of the next."""
    gowns = [make_gown() for _number in range(3)]
    pdf = opened(sign_in(inspector), address(gowns, start=20))
    assert len(pdf.pages) == 2
    assert min(char["x0"] for char in pdf.pages[0].chars) / MM == pytest.approx(73.24 + INSIDE_MM, abs=0.1)
    assert min(char["x0"] for char in pdf.pages[1].chars) / MM == pytest.approx(7.20 + INSIDE_MM, abs=0.1)


@pytest.mark.parametrize(("start", "copies"), [(1, 1), (2, 1), (21, 2), (3, 5)])
def test_pages_hold_each_label_as_often_as_asked(start: int, copies: int) -> None:
    """Whatever the start, each thing has so many labels side by side and no place is used twice on a sheet."""
    things = [LabelWords(name=str(number), texts=(LabelText(text="one"),)) for number in range(25)]
    pages = label_pages(things, sheet=SHEET, start=start, copies=copies)
    printed = [label.words.name for page in pages for label in page.labels]
    assert printed == [thing.name for thing in things for _copy in range(copies)]
    assert all(len({label.position for label in page.labels}) == len(page.labels) for page in pages)
    assert pages[0].labels[0].position == start


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


@pytest.mark.parametrize("sheet", LABEL_SHEETS, ids=lambda sheet: sheet.key)
def test_code_of_a_label_opens_its_gown(
    sheet: LabelSheet, make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN
) -> None:
    """An independent decoder (ISO/IEC 18004) reads the gown's address at 150 dpi; labels of 12.7 mm have no room for it.

    Two sheets are read at 300 dpi, too; worn photocopies of both are read in test_label_kinds and test_every_sheet.
    """
    gowns = [make_gown() for _number in range(2)]
    page = opened(sign_in(inspector), address(gowns, sheet=sheet.key)).pages[0]
    wanted = [f"{settings.SITE_ADDRESS}{reverse('gowns:gown_page', args=[gown.code])}" for gown in gowns]
    for dpi in (150, 300) if sheet in (SHEET, LABEL_SHEETS[3]) else (150,):
        assert sorted(decoded(page, dpi)) == ([] if sheet == SMALLEST else wanted)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_tape_is_cut_out_and_tucked_under(
    paper: str, make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN
) -> None:
    """On a sheet to cut out, words and code keep clear of what is tucked under at both ends."""
    page = opened(sign_in(inspector), address([make_gown()], sheet=f"tape-{paper}")).pages[0]
    left = {"a4": 12.0, "letter": 14.95}[paper]
    assert min(char["x0"] for char in page.chars) / MM == pytest.approx(left + 8, abs=0.1)
    assert max(char["x1"] for char in page.chars) / MM < left + 62 - 8
    assert len(decoded(page, 150)) == 1


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
        ({"codes": "GXXXXX"}, "nothing with the code GXXXXX"),
        ({"codes": "", "item": []}, "Tick at least one, or type its code"),
        ({"start": 22}, "This sheet has 21 labels"),
        ({"start": 0}, "Please type 1 or more."),
        ({"copies": 0}, "Please type 1 or more."),
        ({"copies": 51}, "Please type 50 or less."),
        ({"sheet": "a5"}, "not one of the available choices"),
        ({"start": ""}, "Please fill this in"),
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
    assert ("checked" in text) is ("item" not in query)


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
    assert client.get(reverse("printing:label_css", args=["a5"])).status_code == 404


def test_way_back_keeps_what_was_chosen(make_gown: MAKE_GOWN, inspector: Person, sign_in: SIGN_IN) -> None:
    """From the labels back to their page, sheet, start, copies and ticks are as they were."""
    client, gown = sign_in(inspector), make_gown()
    text = client.get(address([gown], name="printing:labels", sheet="a4-2x7", start=3)).content.decode()
    assert '<option value="a4-2x7" selected>' in text
    assert 'name="start" value="3"' in text
    assert " checked" in text


def test_test_page_is_a_page_too(inspector: Person, sign_in: SIGN_IN, group: Group) -> None:
    """The test page first asks for the sheet, then shows its frames, each with its own words."""
    client = sign_in(inspector)
    choosing = client.get(reverse("printing:label_test")).content.decode()
    assert sheet_title(SHEET) in choosing
    shown = client.get(f"{reverse('printing:label_test')}?sheet={SHEET.key}").content.decode()
    assert "Frame of label 21 with a cross in its middle" in shown


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
    assert "Show everything" in client.get(reverse("printing:labels") + "?search=zzz").content.decode()
