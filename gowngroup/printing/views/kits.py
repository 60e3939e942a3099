"""The kit sheet."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from gowngroup.batches.models import Kit
from gowngroup.people.guards import EVERYONE, page, person_of
from gowngroup.people.queries import the_group
from gowngroup.printing import queries
from gowngroup.printing.kit_reader import kit_reader
from gowngroup.printing.planner import kit_sheet as sheet_of
from gowngroup.printing.views.answers import pdf_answer
from gowngroup.records.reader import current_reader, reading_as

TEMPLATE = "printing/kit_sheet.html"


@page(*EVERYONE, methods=("GET",))
def kit_sheet(request: HttpRequest, code: str) -> HttpResponse:
    kit = queries.kit_to_print(person_of(request), code)
    with reading_as(kit_reader(kit, hand=request.GET.get("hand", ""))):
        return render(request, TEMPLATE, _context(kit))


@page(*EVERYONE, methods=("GET",))
def kit_sheet_pdf(request: HttpRequest, code: str) -> HttpResponse:
    kit = queries.kit_to_print(person_of(request), code)
    with reading_as(kit_reader(kit, hand=request.GET.get("hand", ""))):
        return pdf_answer(
            request,
            TEMPLATE,
            _context(kit),
            filename=f"kit-{kit.code}.pdf",
            page=reverse("printing:kit_sheet", args=[kit.code]),
        )


def _context(kit: Kit) -> dict[str, object]:
    return {"kit": kit, "sheet": sheet_of(kit), "group": the_group(), "reader": current_reader()}
