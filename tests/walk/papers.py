"""Sheets as the walk finds them: PDFs read back by pdfplumber, codes by zxing-cpp."""

import io
from pathlib import Path

import pdfplumber
import zxingcpp
from PIL import Image

from tests.walk.screen import SHOTS, Screen


def pdf_words(screen: Screen, link: str, name: str) -> str:
    """What the PDF behind a link says, fetched with the reader's own session."""
    href = screen.page.get_by_role("link", name=link).first.get_attribute("href")
    answer = screen.context.request.get(f"{screen.url}{href}")
    assert answer.status == 200
    assert answer.headers["content-type"] == "application/pdf"
    if SHOTS:
        Path(SHOTS, f"{name}.pdf").write_bytes(answer.body())
    with pdfplumber.open(io.BytesIO(answer.body())) as pdf:
        return "\n".join(page.extract_text() for page in pdf.pages)


def code_on_page(screen: Screen, selector: str) -> str:
    """What the QR code shown in a part of the page says, read from its picture."""
    picture = Image.open(io.BytesIO(screen.part(selector).first.screenshot()))
    codes = [code.text for code in zxingcpp.read_barcodes(picture)]
    assert len(codes) == 1, codes
    return codes[0]
