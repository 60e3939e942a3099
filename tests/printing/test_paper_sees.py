"""The questions asked of every sheet have teeth: a sheet with each fault in it is told all of them."""

import io

import pdfplumber
import pytest

from gowngroup.printing.engine import written
from tests.printing.paper.conforming import not_conforming
from tests.printing.paper.fitting import colours, mixed_words, past_the_margins, smallest_pt, unseen_words
from tests.printing.paper.order import out_of_order

# One fault each: red words, clipped words, words past the edge, one over another, tiny, out of order, a silent drawing.
BAD = """<html lang="en"><head><title>x</title><style>
@page { size: 120mm 190mm; margin: 12mm } .red { color: red } .tiny { font-size: 5pt }
.clipped { height: 1mm; overflow: hidden; line-height: 30mm } .past { margin-left: -10mm } .over { margin-top: -9mm }
.last { position: absolute; top: 0 }
</style></head><body><h1>Title</h1><h3>Skipped</h3><p class="last">drawn last</p><p class="red">red</p>
<p class="past">outside</p><p class="clipped">clipped</p><p>under</p><p class="over">mixed</p><p class="tiny">tiny</p>
<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><rect width="9" height="9"/></svg></body></html>"""


@pytest.mark.parametrize("is_bad", [True, False])
def test_every_fault_is_told(is_bad: bool) -> None:
    """Each fault of the bad page is told; a plain page has none."""
    plain = '<html lang="en"><head><title>x</title></head><body><h1>Title</h1><p>plain</p></body></html>'
    html = BAD if is_bad else plain
    content = written(html, "pdf/ua-1")
    with pdfplumber.open(io.BytesIO(content)) as pdf:
        page = pdf.pages[0]
        picture = page.to_image(resolution=150).original
        told = {
            "tags": not_conforming(content),
            "colours": colours(content),
            "margins": past_the_margins(page, 12),
            "clipped": unseen_words(page, picture),
            "mixed": mixed_words(page),
            "order": out_of_order(pdf, html),
            "tiny": smallest_pt(page) < 10.95,
        }
    assert {name for name, faults in told.items() if faults} == (set(told) if is_bad else set())
