"""Words inside drawings are set as words are in running text: right to left, joined, with their kerning."""

import io
from itertools import groupby

import pdfplumber
import pytest

from gowngroup.printing.pdf import pdf_of
from tests.printing.reading import MM

# Piece names as a group may write them; Hebrew and Arabic run from right to left (Unicode Standard Annex 9), and Arabic
# letters join (Unicode Standard, 9.2): how, the engine leaves to HarfBuzz in running text, which is asked beside.
NAMES = ("שרוול שמאל 17", "كم أيسر", "yoke אחורי", "AVAT ffi", "sleeve")
SIZE_MM, LEFT_MM = 6, 14
STYLES = "".join(
    f'<link rel="stylesheet" href="/static/css/print/{name}.css">' for name in ("faces", "sheet")
)
HEAD = f'<html lang="en"><head><title>Words</title>{STYLES}</head>'


@pytest.fixture(scope="module")
def lines() -> list[list[tuple[str, float]]]:
    """Letters and places of each name in points from the left, first in running text and then in a drawing."""
    running = "".join(f'<p style="font-size: {SIZE_MM}mm">{name}</p>' for name in NAMES)
    drawn = "".join(f'<text x="0" y="{10 * at}">{name}</text>' for at, name in enumerate(NAMES, start=1))
    drawing = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="180mm" height="60mm" viewBox="0 0 180 60">'
        f'<g font-family="Source Sans Pro, Rubik" font-size="{SIZE_MM}">{drawn}</g></svg>'
    )
    content = pdf_of(f"<!doctype html>{HEAD}<body><main>{running}{drawing}</main></body></html>")
    with pdfplumber.open(io.BytesIO(content)) as pdf:
        letters = [letter for letter in pdf.pages[0].chars if letter["top"] < 250 * MM]
    found = groupby(letters, key=lambda letter: round(letter["matrix"][5]))
    return [
        [(letter["text"], letter["x0"] - LEFT_MM * MM) for letter in line if letter["text"].strip()]
        for _height, line in found
    ]


@pytest.mark.parametrize("at", range(len(NAMES)), ids=[name.split(maxsplit=1)[0] for name in NAMES])
def test_drawn_as_in_running_text(lines: list[list[tuple[str, float]]], at: int) -> None:
    """Each letter of a name in a drawing has the shape and the place it has in a paragraph."""
    running, drawn = lines[at], lines[at + len(NAMES)]
    assert [text for text, _x in drawn] == [text for text, _x in running]
    assert [x for _text, x in drawn] == pytest.approx([x for _text, x in running], abs=0.3)


def test_hebrew_runs_from_right_to_left(lines: list[list[tuple[str, float]]]) -> None:
    """The first letter of a Hebrew name stands furthest right in a drawing."""
    hebrew = {text: x for text, x in lines[len(NAMES)] if "\u0590" < text < "\u0600"}
    assert hebrew["ש"] == max(hebrew.values())
