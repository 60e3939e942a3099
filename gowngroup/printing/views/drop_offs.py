"""The packing list of a drop-off and the driver's sheet."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from gowngroup.deliveries.models import DropOff
from gowngroup.people.guards import page, person_of
from gowngroup.people.queries import the_group
from gowngroup.printing import queries
from gowngroup.printing.planner import NothingPacked, driver_sheet, packing_list
from gowngroup.printing.sheet_reader import outside_reader
from gowngroup.printing.views.answers import pdf_answer
from gowngroup.records.pages import refused
from gowngroup.records.reader import current_reader, reading_as

PACKING_LIST = "packing_list"  # goes to the ward with the boxes
WHO = ("driver", "inspector", "packer")


@page(*WHO, methods=("GET",))
def drop_off_packing(request: HttpRequest, pk: int) -> HttpResponse:
    return _shown(request, pk, PACKING_LIST, _boxes)


@page(*WHO, methods=("GET",))
def drop_off_packing_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    return _shown(request, pk, PACKING_LIST, _boxes, page="printing:drop_off_packing")


@page(*WHO, methods=("GET",))
def drop_off_driver(request: HttpRequest, pk: int) -> HttpResponse:
    return _shown(request, pk, "driver_sheet", _stops)


@page(*WHO, methods=("GET",))
def drop_off_driver_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    return _shown(request, pk, "driver_sheet", _stops, page="printing:drop_off_driver")


def _boxes(drop_off: DropOff) -> dict[str, object]:
    boxes = packing_list(drop_off)
    return {"boxes": boxes, "gown_count": sum(box.gown_count for box in boxes)}


def _stops(drop_off: DropOff) -> dict[str, object]:
    return {"stops": driver_sheet(drop_off)}


def _shown(
    request: HttpRequest,
    pk: int,
    sheet: str,
    facts: Callable[[DropOff], dict[str, object]],
    *,
    page: str = "",
) -> HttpResponse:
    """The sheet as a page or, where `page` names the sheet's page, as a PDF."""
    drop_off = queries.drop_off_to_print(person_of(request), pk)
    try:
        facts(drop_off)
    except NothingPacked as refusal:
        return refused(request, refusal, back=reverse("deliveries:drop_off_page", args=[pk]))
    with reading_as(outside_reader() if sheet == PACKING_LIST else current_reader()):
        shown = {"group": the_group(), "reader": current_reader(), **facts(drop_off)}
        context, template = {"drop_off": drop_off, **shown}, f"printing/{sheet}.html"
        if not page:
            return render(request, template, context)
        filename = f"{sheet.replace('_', '-')}-{pk}.pdf"
        return pdf_answer(request, template, context, filename=filename, page=reverse(page, args=[pk]))
