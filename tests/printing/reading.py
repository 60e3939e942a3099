"""PDFs read back by programs that did not make them."""

import io
from typing import Any

import pdfplumber
import zxingcpp
from django.test import Client

MM = 72 / 25.4  # points


def opened(client: Client, address: str) -> Any:
    """The PDF at an address, opened by pdfplumber."""
    response = client.get(address)
    assert response.status_code == 200, response.content[:400]
    assert response["Content-Type"] == "application/pdf"
    return pdfplumber.open(io.BytesIO(response.content))


def written(page: Any) -> str:
    """What a page says in the order it is drawn, without spaces."""
    return "".join(char["text"] for char in page.chars).replace(" ", "").replace("\u00a0", "")


def said(pdf: Any) -> str:
    """What the whole PDF says in the order it is drawn, without spaces."""
    return "".join(written(page) for page in pdf.pages)


def decoded(page: Any, dpi: int) -> list[str]:
    """What every QR code of a page says, read from its picture."""
    return [code.text for code in zxingcpp.read_barcodes(page.to_image(resolution=dpi).original)]


def past_the_edge(page: Any, *, left_mm: float = 14, right_mm: float = 14) -> list[str]:
    """Characters and lines that stick out of a page's margins by more than a tenth of a millimetre."""
    low, high, slack = left_mm * MM, float(page.width) - right_mm * MM, 0.1 * MM
    things = [*page.chars, *page.lines, *page.rects, *page.curves]
    return [
        str(thing.get("text", thing["object_type"]))
        for thing in things
        if thing["x0"] < low - slack
        or thing["x1"] > high + slack
        or thing["top"] < 0
        or thing["bottom"] > float(page.height)
    ]
