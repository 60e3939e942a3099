"""The cutting sheet's PDF read back and measured by a program that did not make it."""

import io
import re
from functools import cache
from typing import Any

import pdfplumber
import pytest
from django.template.loader import render_to_string

from gowngroup.printing.pdf import render_pdf
from gowngroup.printing.planner.pattern import PatternPaper
from gowngroup.records.reader import Reader, reading_as
from tests.printing.cutting_lays import A4, LETTER, SELVEDGE_MM, SHOWY, context_of, cut_of, lay_of
from tests.printing.reading import MM, decoded, past_the_edge, said, written

TEMPLATE = "printing/cutting.html"
PIECE_WIDTH, BAR_WIDTH, EDGE_WIDTH = 0.35, 0.45, 0.25
BOTH = pytest.mark.parametrize("paper", [A4, LETTER], ids=["A4", "Letter"])
Box = tuple[float, float, float, float]


@cache
def printed(paper: PatternPaper) -> Any:
    """The sheet of three gowns on showy cloth, made once for each paper."""
    unit = "in" if paper is LETTER else "cm"
    context = context_of(lay_of(cut_of(3, SHOWY)), paper=paper, length_unit=unit)
    with reading_as(Reader(length_unit=unit)):
        return pdfplumber.open(io.BytesIO(render_pdf(TEMPLATE, context)))


def drawings(pdf: Any) -> list[Any]:
    """The pages of the drawing."""
    return [page for page in pdf.pages if page.width > page.height]


def boxes(page: Any, width_mm: float) -> list[Box]:
    """Left, top, right and bottom in mm on paper of what is drawn in a line width."""
    things = [*page.lines, *page.rects, *page.curves]
    return [
        (thing["x0"] / MM, thing["top"] / MM, thing["x1"] / MM, thing["bottom"] / MM)
        for thing in things
        if abs(float(thing["linewidth"]) / MM - width_mm) < 0.01 and (thing["width"] or thing["height"])
    ]


def scale_of(page: Any) -> float:
    """The scale as it is told above the drawing."""
    found = re.search(r"scale 1 : ([\d.]+)", page.extract_text())
    assert found
    return float(found[1])


@BOTH
def test_scale_and_places_are_those_of_the_plan(paper: PatternPaper) -> None:
    """Measured from the left selvedge and scaled up, every piece lies where it is stored, to 0.1 mm on paper."""
    cut = cut_of(3, SHOWY)
    sizes = {piece.key: piece for piece in cut.pieces}
    found: list[tuple[float, ...]] = []
    for page in drawings(printed(paper)):
        scale, left = scale_of(page), min(box[0] for box in boxes(page, EDGE_WIDTH))
        found += [
            ((x0 - left) * scale, (x1 - x0) * scale, (y1 - y0) * scale)
            for x0, y0, x1, y1 in boxes(page, PIECE_WIDTH)
        ]
    assert len(found) == len(cut.lay.placements)
    slack = 0.1 * max(scale_of(page) for page in drawings(printed(paper)))
    for place in cut.lay.placements:
        xs, ys = zip(*sizes[place.piece_key].outline, strict=True)
        wanted = (place.x_mm + SELVEDGE_MM, max(xs) - min(xs), max(ys) - min(ys))
        assert any(all(abs(a - b) <= slack for a, b in zip(wanted, each, strict=True)) for each in found), (
            place
        )


@BOTH
def test_places_along_the_cloth(paper: PatternPaper) -> None:
    """Measured along the cloth from the highest piece of a page, pieces lie as far apart as they are stored."""
    cut = cut_of(3, SHOWY)
    heights = sorted({round(place.y_mm, 3) for place in cut.lay.placements})
    for page in drawings(printed(paper)):
        scale = scale_of(page)
        tops = sorted({round(box[1], 2) for box in boxes(page, PIECE_WIDTH)})
        steps = [(top - tops[0]) * scale for top in tops]
        assert any(
            all(min(abs(start + step - each) for each in heights) <= 0.1 * scale for step in steps)
            for start in heights
        )


@BOTH
def test_scale_bar_is_as_long_as_it_says(paper: PatternPaper) -> None:
    """The bar above the cloth is 10 cm or 4 inches on paper (25.4 mm each, ISO 80000-3), and names the cloth it stands for."""
    unit, unit_mm, count = ("in", 25.4, 4) if paper is LETTER else ("cm", 10.0, 10)
    pdf = printed(paper)
    for page in drawings(pdf):
        left, _top, right, _low = max(boxes(page, BAR_WIDTH), key=lambda box: box[2] - box[0])
        assert right - left == pytest.approx(count * unit_mm, abs=0.1)
        cloth = f"{count * scale_of(page):g}"
        assert f"{cloth}{unit}" in written(page)
        assert f"whichstandsfor{cloth}{unit}:onpaperitmustbe{count}{unit}long" in written(pdf.pages[0])


@BOTH
def test_nothing_leaves_the_page_and_type_is_large_enough(paper: PatternPaper) -> None:
    """No word and no line leaves the margins; type is 11 pt, inside pieces at least 8 pt."""
    pdf = printed(paper)
    for page in pdf.pages:
        is_drawing = page in drawings(pdf)
        side_mm = 10 if is_drawing else 14
        assert past_the_edge(page, left_mm=side_mm, right_mm=side_mm) == []
        smallest = min(char["size"] for char in page.chars if char["text"].strip())
        assert smallest >= (8 if is_drawing else 10.99)


def test_code_opens_the_page_of_the_lay() -> None:
    """The code on the first page is the address of the lay's own page, read from its picture."""
    assert decoded(printed(A4).pages[0], 150)[0].endswith("/kits/lays/7/")


def test_every_piece_is_in_the_lists_once() -> None:
    """Each piece of the lay has one box to tick and one row in the table, on the page and on paper."""
    html = render_to_string(TEMPLATE, {**context_of(lay_of(cut_of(3, SHOWY))), "is_pdf": True})
    ticks, table = html.split('class="table"')
    assert sorted(map(int, re.findall(r'class="box"></span>(\d+)</span>', ticks))) == list(range(1, 31))
    assert [int(number) for number in re.findall(r"<tr><td>(\d+)/\d</td>", table)] == list(range(1, 31))
    assert said(printed(A4)).count("binding") == 6


def test_table_gives_each_place() -> None:
    """A row tells distance from the start and from the outer edge of the selvedge, length × width, grain and way."""
    html = render_to_string(TEMPLATE, {**context_of(lay_of(cut_of(1))), "is_pdf": True})
    row = html.split("<tr><td>2/1</td>")[1].split("</tr>")[0]
    assert re.findall(r"<td[^>]*>([^<]*)</td>", row) == [
        "back",
        "0\u00a0cm",
        "47\u00a0cm",
        "36\u00a0cm × 23\u00a0cm",
        "along",
        "–",
    ]
    assert "<td>bias</td>" in html
    assert "face down" in html.split('class="table"')[1]


@BOTH
def test_words_of_the_table_stay_whole(paper: PatternPaper) -> None:
    """No column of the table is so narrow that its words are broken."""
    words = {word["text"] for page in printed(paper).pages[-3:] for word in page.extract_words()}
    assert {"face", "down", "turned", "along", "bias", "Grain", "Lies", "binding"} <= words
