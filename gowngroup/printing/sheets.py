"""A kit sheet on its way to paper: written as it is laid out, summed up, made as a PDF."""

import io
import re
from dataclasses import dataclass
from hashlib import sha256

import pikepdf

from gowngroup.batches.models import Kit
from gowngroup.people.queries import the_group
from gowngroup.printing.pdf import html_of
from gowngroup.printing.planner import kit_sheet
from gowngroup.printing.sheet_reader import kit_reader
from gowngroup.records.reader import Reader, current_reader, reading_as

TEMPLATE = "printing/kit_sheet.html"
# Static files are served under a name with a sum of their own; a style sheet laid out anew changes no data.
HASHED_NAME = re.compile(r"\.[0-9a-f]{12}(?=\.css\b)")


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenSheet:
    """All a kit sheet says to the reader it is written for, and the sum by which it is known again."""

    kit: Kit
    reader: Reader
    html: str
    data_sha256: str


def sheet_context(kit: Kit) -> dict[str, object]:
    """What the template of the kit sheet needs."""
    return {"kit": kit, "sheet": kit_sheet(kit), "group": the_group(), "reader": current_reader()}


def written_sheet(kit: Kit, *, hand: str = "") -> WrittenSheet:
    """The sheet of a kit for whoever sews it, ready to be made as a PDF."""
    with reading_as(kit_reader(kit, hand=hand)):
        html = html_of(TEMPLATE, sheet_context(kit))
        return WrittenSheet(kit=kit, reader=current_reader(), html=html, data_sha256=data_sum(html))


def data_sum(html: str) -> str:
    """A sum over everything a sheet says and how it is written, taken from the very text it is laid out from."""
    return sha256(HASHED_NAME.sub("", html).encode()).hexdigest()


def page_count(content: bytes) -> int:
    """How many pages a PDF has."""
    with pikepdf.open(io.BytesIO(content)) as pdf:
        return len(pdf.pages)
