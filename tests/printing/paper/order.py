"""Whether a PDF tells its words in the order of the page it was made from."""

import html as entities
import re
from itertools import pairwise
from typing import Any

import pikepdf

from tests.printing.paper.conforming import kids

UNSAID = re.compile(r"<(head|title|style|script|svg)\b.*?</\1>", re.DOTALL)
UNSEEN = re.compile(r"""<(\w+) class="unseen">.*?</\1>""", re.DOTALL)  # on paper, as the style sheet has it
HEADER_ROWS = re.compile(r"<thead>.*?</thead>", re.DOTALL)
TAG = re.compile(r"<[^>]*>")
MARKERS = re.compile(r"(\d+\.|•)")
Run = tuple[int, int, str]


def squeezed(text: str) -> str:
    """Text without spaces of any kind, since a line may end anywhere."""
    return "".join(text.split()).replace("\u00ad", "")


def words_of(html: str) -> str:
    """What a page says, squeezed: neither its head nor its drawings, which words of their own stand for."""
    return squeezed(entities.unescape(TAG.sub("", UNSEEN.sub("", UNSAID.sub("", html)))))


def runs_of(pdf: Any) -> list[Run]:
    """Page, mark and words of each piece of text of a PDF opened by pdfplumber, in the order they are drawn."""
    runs: list[Run] = []
    for number, page in enumerate(pdf.pages):
        for char in page.chars:
            if char["mcid"] is None or char["tag"] == "Figure":
                continue
            if runs and runs[-1][:2] == (number, char["mcid"]):
                runs[-1] = (*runs[-1][:2], runs[-1][2] + char["text"])
            else:
                runs.append((number, char["mcid"], char["text"]))
    return [(number, mark, squeezed(text)) for number, mark, text in runs if squeezed(text)]


def out_of_order(pdf: Any, html: str) -> list[str]:
    """Where the words of a PDF leave the order of the page; header rows may stand again on a further page."""
    said = words_of(html)
    again = {words_of(row) for row in HEADER_ROWS.findall(html)}
    headers = "".join(sorted(again))
    at, faults = 0, []
    for number, _mark, text in runs_of(pdf):
        if said.startswith(text, at):
            at += len(text)
        elif not MARKERS.fullmatch(text) and text not in headers:
            faults.append(f"page {number + 1}: “{text[:60]}” where “{said[at : at + 40]}” should follow")
            found = said.find(text, at)
            at = found + len(text) if found >= 0 else at
    if at < len(said):
        faults.append(f"never said: “{said[at : at + 60]}”")
    return faults[:5]


def told_otherwise(pdf: pikepdf.Pdf) -> list[str]:
    """Where the tree of tags tells content in another order than it is drawn (ISO 14289-1 7.2, from memory)."""
    pages = {page.objgen: number for number, page in enumerate(pdf.pages)}
    told = list(_marks(pdf.Root.StructTreeRoot, pages, None))
    return [
        f"page {number + 1}: mark {mark} is told after {before}"
        for before, (number, mark) in pairwise(told)
        if (number, mark) < before
    ][:5]


def _marks(element: pikepdf.Object, pages: dict[Any, int], page: int | None) -> Any:
    if isinstance(element, int):
        yield (page, element)
        return
    if "/Pg" in element:
        page = pages[element.Pg.objgen]
    if "/MCID" in element:
        yield (page, int(element.MCID))
        return
    if str(element.get("/S")) not in (
        "/Lbl",
        "/Figure",
    ):  # numbers of lists and drawings are drawn last of all
        for child in kids(element):
            yield from _marks(child, pages, page)
