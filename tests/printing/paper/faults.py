"""Everything that may be wrong with a sheet, asked at once."""

import io
from collections.abc import Iterator
from typing import Any

import pikepdf
from django.conf import settings
from PIL import Image

from tests.printing.kit_sheets import read
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
    read_pdf = read(printed.content)
    found += out_of_order(read_pdf, printed.html)
    pictures = [picture_of(page, DPI[0]) for page in read_pdf.pages]
    for page, picture in zip(read_pdf.pages, pictures, strict=True):
        found += _page_faults(page, picture, margin_mm=margin_mm, least_pt=least_pt, most_ink=most_ink)
    if count := printed.html.count('class="qr"'):
        found += _code_faults(read_pdf, pictures, count)
    return "\n".join(found)


def picture_of(page: Any, dpi: int) -> Image.Image:
    """A page as a printer of this resolution would draw it."""
    picture: Image.Image = page.to_image(resolution=dpi).original
    return picture


def _page_faults(
    page: Any, picture: Image.Image, *, margin_mm: float, least_pt: float, most_ink: float
) -> Iterator[str]:
    yield from past_the_margins(page, margin_mm)
    yield from mixed_words(page)
    yield from unseen_words(page, picture)
    if smallest_pt(page) < least_pt:
        yield f"page {page.page_number}: type of {smallest_pt(page):.2f} pt"
    if ink_share(picture) > most_ink:
        yield f"page {page.page_number}: {ink_share(picture):.0%} of it is black"


def _code_faults(pdf: Any, pictures: list[Image.Image], count: int) -> Iterator[str]:
    """Each code drawn is read from a fresh coarse print and from photocopies of both prints, and opens our own site."""
    coarse, fine = DPI
    read = {at: decoded(picture) for at, picture in enumerate(pictures) if _may_have_codes(pdf.pages[at])}
    # Pictures are dear: pages on which the first look finds no code are not looked at again, but their codes missed.
    with_codes = [at for at in read if read[at]]
    seen = {
        f"fresh at {coarse} dpi": [code for codes in read.values() for code in codes],
        f"copied at {coarse} dpi": _copied([pictures[at] for at in with_codes], coarse),
        f"copied at {fine} dpi": _copied([picture_of(pdf.pages[at], fine) for at in with_codes], fine),
    }
    for name, said in seen.items():
        if len(said) != count or not all(code.startswith(settings.SITE_ADDRESS) for code in said):
            yield f"{name}: {len(said)} of {count} codes read, {said[:2]}"


def _may_have_codes(page: Any) -> bool:
    return bool(page.curves or page.rects)


def _copied(pictures: list[Image.Image], dpi: int) -> list[str]:
    return [code for picture in pictures for code in decoded(photocopied(picture, dpi))]
