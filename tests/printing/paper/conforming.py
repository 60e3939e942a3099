"""PDF/UA-1 (ISO 14289-1) and PDF/A-3b (ISO 19005-3), asked of an independent validator and of the structure itself."""

import io
from collections.abc import Iterator
from typing import Any

import page as validator
import pikepdf

UA, ARCHIVE = validator.ValidationProfile.PDF_UA_1, validator.ValidationProfile.PDF_A_3B
HEADINGS = [f"/H{level}" for level in range(1, 7)]


def not_conforming(content: bytes, profile: validator.ValidationProfile = UA) -> list[str]:
    """What keeps a PDF from the standard, as the validator says it, and from what we ask beyond it."""
    report = validator.validate_pdf_bytes(content, profile=profile)
    with pikepdf.open(io.BytesIO(content)) as pdf:
        own = [*_document(pdf), *_structure(pdf), *_fonts(pdf), *_identity(pdf, profile)]
    return [f"{each.rule_id}: {each.message}" for each in report.failures] + own


def _document(pdf: pikepdf.Pdf) -> Iterator[str]:
    """ISO 14289-1 7.1 (title, its display, tags), 7.2 (language), 7.16 (security), 7.19 (scripts); from memory."""
    root: Any = pdf.Root
    if not root.get("/MarkInfo", {}).get("/Marked"):
        yield "7.1: not marked as tagged"
    if not root.get("/ViewerPreferences", {}).get("/DisplayDocTitle"):
        yield "7.1: the window does not show the title"
    if not str(root.get("/Lang", "")):
        yield "7.2: no language"
    if pdf.is_encrypted:
        yield "7.16: encrypted"
    if "/OpenAction" in root or "/JavaScript" in root.get("/Names", {}) or "/AA" in root:
        yield "7.19: something runs when it is opened"
    with pdf.open_metadata() as metadata:
        if not metadata.get("dc:title"):
            yield "7.1: no title"


def _structure(pdf: pikepdf.Pdf) -> Iterator[str]:
    """Headings in steps (7.4.2), figures with words (7.3), tables with scoped headers (7.5); from memory."""
    level = 0
    for element in elements(pdf.Root.StructTreeRoot):
        kind = str(element.S)
        if kind in HEADINGS:
            now = HEADINGS.index(kind) + 1
            if now > level + 1:
                yield f"7.4.2: heading {now} after heading {level}"
            level = now
        if kind == "/Figure" and not str(element.get("/Alt", "")).strip():
            yield "7.3: a figure without words for it"
        if kind == "/Table":
            yield from _table(element)


def _table(table: pikepdf.Object) -> Iterator[str]:
    headers = [each for each in elements(table) if str(each.S) == "/TH"]
    if not headers:
        yield "7.5: a table without headers"
    for header in headers:
        if "/ID" not in header and not any("/Scope" in each for each in _attributes(header)):
            yield "7.5: a header that says neither its scope nor, by an ID, its cells"


def _attributes(element: pikepdf.Object) -> list[Any]:
    return _listed(element.get("/A", []))


def _listed(found: Any) -> list[Any]:
    return list(found) if isinstance(found, (pikepdf.Array, list)) else [found]


def elements(parent: pikepdf.Object) -> Iterator[pikepdf.Object]:
    """Every structure element below, in the order a reader hears them (ISO 32000-1 14.7.2)."""
    for child in kids(parent):
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            yield child
            yield from elements(child)


def kids(parent: pikepdf.Object) -> list[Any]:
    """What stands right below a structure element."""
    return _listed(parent.get("/K", []))


def _fonts(pdf: pikepdf.Pdf) -> Iterator[str]:
    """Every face is in the file (7.21.4.1) and says which letters its glyphs are (7.21.7); from memory."""
    fonts: dict[Any, Any] = {}
    for each in pdf.pages:
        found: Any = each.Resources.get("/Font", {})
        fonts |= {font.objgen: font for font in found.values()}
    for font in fonts.values():
        inner = font.DescendantFonts[0] if "/DescendantFonts" in font else font
        if not {"/FontFile2", "/FontFile3"} & set(inner.FontDescriptor.keys()):
            yield f"7.21.4.1: {font.BaseFont} is not in the file"
        if "/ToUnicode" not in font:
            yield f"7.21.7: {font.BaseFont} does not say which letters it shows"


def _identity(pdf: pikepdf.Pdf, profile: validator.ValidationProfile) -> Iterator[str]:
    """The claim itself (ISO 14289-1 clause 5; ISO 19005-3 6.6.4) and the intent for colours (6.2.3); from memory."""
    with pdf.open_metadata() as metadata:
        if profile == UA and metadata.get("pdfuaid:part") != "1":
            yield "5: does not say that it is PDF/UA-1"
        claim = (metadata.get("pdfaid:part"), metadata.get("pdfaid:conformance"))
    if profile == ARCHIVE:
        if claim != ("3", "B"):
            yield "6.6.4: does not say that it is PDF/A-3b"
        if "/OutputIntents" not in pdf.Root:
            yield "6.2.3: no intent for colours"
