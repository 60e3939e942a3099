"""Kit sheets printed once for many questions, by an engine that is slow to ask."""

import io
from collections.abc import Callable
from functools import lru_cache
from itertools import takewhile
from typing import Any

import pdfplumber
import pikepdf
from django.test import Client
from django.urls import reverse

from gowngroup.batches.models import Kit

_printed: dict[str, tuple[str, bytes]] = {}


def printed(name: str, client: Client, make: Callable[[], Kit]) -> tuple[str, bytes]:
    """Code of the kit and the PDF of its sheet, made when this name is first asked for in this process."""
    if name not in _printed:
        kit = make()
        response = client.get(reverse("printing:kit_sheet_pdf", args=[kit.code]))
        assert response.status_code == 200, response.content[:400]
        _printed[name] = kit.code, response.content
    return _printed[name]


@lru_cache(maxsize=4)
def read(content: bytes) -> Any:
    """The PDF opened by pdfplumber, which reads each page once for all who ask."""
    return pdfplumber.open(io.BytesIO(content))


def headings(content: bytes) -> list[str]:
    """Structure types of the headings in the order of the tags."""
    with pikepdf.open(io.BytesIO(content)) as pdf:
        return [kind for kind in _kinds(pdf.Root.StructTreeRoot) if kind in ("/H1", "/H2", "/H3")]


def _kinds(node: Any) -> list[str]:
    found = [str(node["/S"])] if "/S" in node else []
    kids = node.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary):
            found += _kinds(kid)
    return found


def overlapping_words(page: Any) -> list[tuple[str, str]]:
    """Pairs of words that lie over one another by more than a third of a letter's height and width."""
    words = page.extract_words(keep_blank_chars=False, x_tolerance=1.0, y_tolerance=0.5)
    words.sort(key=lambda word: word["x0"])
    return [
        (one["text"], other["text"])
        for at, one in enumerate(words)
        for other in takewhile(lambda each, end=one["x1"]: each["x0"] < end - 2.0, words[at + 1 :])  # type: ignore[misc]
        if min(one["x1"], other["x1"]) - other["x0"] > 2.0
        and min(one["bottom"], other["bottom"]) - max(one["top"], other["top"]) > 4.5
    ]
