"""Everything that may be wrong with a sheet, asked at once."""

import io
from collections.abc import Iterator
from typing import Any

import pdfplumber
import pikepdf
from django.conf import settings

from tests.printing.paper.codes import decoded, photocopied
from tests.printing.paper.conforming import not_conforming
from tests.printing.paper.fitting import (
    colours,
    ink_share,
    mixed_words,
    past_the_margins,
    smallest_pt,
    unseen_words,
)
from tests.printing.paper.here import Printed
from tests.printing.paper.order import out_of_order, told_otherwise

DPI = (150, 300)
USUAL_PT, LARGE_PT, LABEL_PT, IN_PIECES_PT = 10.95, 13.95, 5.95, 7.95
MOST_INK = 0.08
TEXT_MM, KIT_MM, DRAWING_MM, TILE_MM, LABEL_MM = 12.0, 11.0, 8.0, 8.0, 0.0


def faults(
    printed: Printed, *, margin_mm: float, least_pt: float, profile: Any = None, most_ink: float = MOST_INK
) -> str:
    """All that is wrong with a sheet, in words."""
    found = not_conforming(printed.content, profile) if profile else not_conforming(printed.content)
    found += colours(printed.content)
    with pikepdf.open(io.BytesIO(printed.content)) as pdf:
        found += told_otherwise(pdf)
    with pdfplumber.open(io.BytesIO(printed.content)) as pdf:
        found += out_of_order(pdf, printed.html)
        for page in pdf.pages:
            found += _page_faults(page, margin_mm=margin_mm, least_pt=least_pt, most_ink=most_ink)
        found += _code_faults(pdf, printed.html)
    return "\n".join(found)


def _page_faults(page: Any, *, margin_mm: float, least_pt: float, most_ink: float) -> Iterator[str]:
    picture = page.to_image(resolution=DPI[0]).original
    yield from past_the_margins(page, margin_mm)
    yield from mixed_words(page)
    yield from unseen_words(page, picture)
    if smallest_pt(page) < least_pt:
        yield f"page {page.page_number}: type of {smallest_pt(page):.2f} pt"
    if ink_share(picture) > most_ink:
        yield f"page {page.page_number}: {ink_share(picture):.0%} of it is black"


def _code_faults(pdf: Any, html: str) -> Iterator[str]:
    """Each code drawn is read from fresh and photocopied prints of both resolutions, and opens our own site."""
    count = html.count('class="qr"')
    pages = [page for page in pdf.pages if page.curves or page.rects] if count else []
    # Pictures are dear: pages on which the first look finds no code are not looked at again, but their codes missed.
    pages = [page for page in pages if decoded(page.to_image(resolution=DPI[0]).original)]
    for dpi in DPI:
        pictures = [page.to_image(resolution=dpi).original for page in pages]
        for name, seen in (("fresh", pictures), ("copied", [photocopied(each, dpi) for each in pictures])):
            said = [code for picture in seen for code in decoded(picture)]
            if len(said) != count or not all(code.startswith(settings.SITE_ADDRESS) for code in said):
                yield f"{name} at {dpi} dpi: {len(said)} of {count} codes read, {said[:2]}"
