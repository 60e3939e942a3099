"""Whether all that is printed lies on the paper, unclipped, unmixed, large enough and black."""

import io
from collections.abc import Iterator
from typing import Any

import numpy as np
import pikepdf
from PIL import Image

from tests.printing.reading import MM

SLACK_MM = 0.15
REACH_MM = 6.0  # what usual office printers leave white, and then some (common practice, no source)
COLOUR_OPERATORS = ("rg", "RG", "k", "K", "g", "G", "sc", "SC", "scn", "SCN")
CORE = 0.5  # the share of a word's box that its letters surely fill, around its middle
DARK = 160


def past_the_margins(page: Any, margin_mm: float) -> list[str]:
    """Words, lines, shapes and pictures nearer to the edge of the paper than this; of what only adorns, than printers reach."""
    return [
        f"page {page.page_number}: {thing.get('text') or thing['object_type']} at {thing['x0'] / MM:.1f}, {thing['top'] / MM:.1f} mm"
        for thing in (*page.chars, *page.lines, *page.rects, *page.curves, *page.images)
        if _is_past(thing, page, margin_mm if thing["mcid"] is not None else min(margin_mm, REACH_MM))
    ][:5]


def _is_past(thing: Any, page: Any, margin_mm: float) -> bool:
    low = (margin_mm - SLACK_MM) * MM
    return bool(
        thing["x0"] < low
        or thing["top"] < low
        or thing["x1"] > float(page.width) - low
        or thing["bottom"] > float(page.height) - low
    )


def mixed_words(page: Any) -> list[str]:
    """Words printed into one another, told by the middles of their boxes."""
    upright = page.filter(lambda thing: thing["object_type"] != "char" or not any(thing["matrix"][1:3]))
    words = upright.extract_words(use_text_flow=True, keep_blank_chars=False, x_tolerance=1.5)
    boxes = sorted((_core(word), word["text"]) for word in words)
    faults = []
    for index, ((x0, y0, x1, y1), text) in enumerate(boxes):
        for (other_x0, other_y0, _x1, other_y1), other in boxes[index + 1 :]:
            if other_x0 >= x1:
                break
            if min(y1, other_y1) > max(y0, other_y0) and min(x1, _x1) - max(x0, other_x0) > 0.3 * MM:
                faults.append(f"page {page.page_number}: “{text}” and “{other}”")
    return faults[:5]


def _core(word: Any) -> tuple[float, float, float, float]:
    across, down = (word["x1"] - word["x0"]) * 0.02, (word["bottom"] - word["top"]) * (1 - CORE) / 2
    return (word["x0"] + across, word["top"] + down, word["x1"] - across, word["bottom"] - down)


def unseen_words(page: Any, picture: Image.Image) -> list[str]:
    """Letters without ink where they should stand: clipped, covered or white; told from the picture of a page."""
    ink = np.asarray(picture.convert("L")) < DARK
    scale = picture.width / float(page.width)
    faults = []
    for char in page.chars:
        if not char["text"].strip() or char["text"] in "\u200d\u2060":
            continue
        left, right = int(char["x0"] * scale), int(char["x1"] * scale) + 1
        top, bottom = int(char["top"] * scale), int(char["bottom"] * scale) + 1
        if not ink[max(top, 0) : bottom, max(left, 0) : right].any():
            faults.append(
                f"page {page.page_number}: “{char['text']}” at {char['x0'] / MM:.1f}, {char['top'] / MM:.1f} mm"
            )
    return faults[:5]


def smallest_pt(page: Any) -> float:
    """The smallest type of a page in points, upright or turned."""
    return min((char["size"] for char in page.chars if char["text"].strip()), default=99.0)


def ink_share(picture: Image.Image) -> float:
    """How much of a page is black."""
    return float((np.asarray(picture.convert("L")) < 128).mean())


def colours(content: bytes) -> list[str]:
    """Whatever is painted in anything but black, white and grey; shadings and pictures too (ISO 32000-1 8.6)."""
    with pikepdf.open(io.BytesIO(content)) as pdf:
        streams = [*pdf.pages, *(each for each in pdf.objects if _is_form(each))]
        return sorted({fault for stream in streams for fault in _coloured(stream)})[:5]


def _is_form(each: pikepdf.Object) -> bool:
    return isinstance(each, pikepdf.Stream) and each.get("/Subtype") == "/Form"


def _coloured(stream: Any) -> Iterator[str]:
    parsed: Any = pikepdf.parse_content_stream(stream)
    for operands, operator in parsed:
        name = str(operator)
        if name == "sh" or (name == "Do" and _is_picture(stream, operands[0])):
            yield name
        if name in COLOUR_OPERATORS and not _is_grey(name, operands):
            yield f"{list(operands)} {name}"


def _is_picture(stream: Any, name: pikepdf.Object) -> bool:
    return bool(stream.Resources.XObject[str(name)].get("/Subtype") == "/Image")


def _is_grey(operator: str, operands: Any) -> bool:
    values = [float(each) for each in operands if not isinstance(each, pikepdf.Name)]
    if operator.lower() == "k":
        return values[:3] == [0.0, 0.0, 0.0]
    return len(set(values)) == 1
