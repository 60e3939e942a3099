"""How long a kit sheet takes, for the benchmark command."""

import io
import time
from collections.abc import Callable, Iterator
from typing import Any

import pikepdf

from gowngroup.batches.models import Kit
from gowngroup.people.queries import the_group
from gowngroup.printing.pdf import render_pdf
from gowngroup.printing.planner import kit_sheet
from gowngroup.records.reader import current_reader

WARM_UP, AT_MOST = 1, 6


def sheet_section(say: Callable[[str], Any]) -> None:
    """Kit sheets of this database, one design after the other."""
    say("Kit sheets, warm, one at a time")
    for line in kit_sheet_times():
        say(line)


def kit_sheet_times() -> Iterator[str]:
    """Lines that say, for some kits of this database, how many milliseconds a page of their sheets takes."""
    kits = list(
        Kit.objects.select_related(
            "design_revision__design", "outer_lot__material", "size", "lay__plan"
        ).order_by("pk")
    )
    for kit in kits[:WARM_UP]:
        _sheet(kit)
    for kit in _unlike(kits)[:AT_MOST]:
        started = time.perf_counter()
        content = _sheet(kit)
        spent_ms = (time.perf_counter() - started) * 1000
        with pikepdf.open(io.BytesIO(content)) as pdf:
            page_count = len(pdf.pages)
        yield f"kit sheet, {kit.design_revision.design}: {spent_ms / page_count:.0f} ms a page, {page_count} pages"
    if not kits:
        yield "kit sheet: there are no kits to print yet"


def _unlike(kits: list[Kit]) -> list[Kit]:
    """One kit of each design revision."""
    return list({kit.design_revision_id: kit for kit in reversed(kits)}.values())[::-1]


def _sheet(kit: Kit) -> bytes:
    context = {"kit": kit, "sheet": kit_sheet(kit), "group": the_group(), "reader": current_reader()}
    return render_pdf("printing/kit_sheet.html", context)
