"""The cutting sheet of a lay."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse

from gowngroup.batches.models import Lay
from gowngroup.batches.queries import kits_of_lay, lays_of_committed_plans
from gowngroup.people.guards import page
from gowngroup.people.queries import the_group
from gowngroup.printing.planner.cutting import NoCuttingSheet, cutting_sheet
from gowngroup.printing.planner.pattern import PAPERS
from gowngroup.printing.views.answers import pdf_answer
from gowngroup.records.pages import refused
from gowngroup.records.reader import current_reader

TEMPLATE = "printing/cutting.html"


@page("packer", methods=("GET",))
def cutting(request: HttpRequest, pk: int) -> HttpResponse:
    lay = get_object_or_404(lays_of_committed_plans(), pk=pk)
    try:
        context = _context(lay)
    except NoCuttingSheet as refusal:
        return refused(request, refusal, back=reverse("batches:lay_page", args=[pk]))
    return render(request, TEMPLATE, context)


@page("packer", methods=("GET",))
def cutting_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    lay = get_object_or_404(lays_of_committed_plans(), pk=pk)
    try:
        context = _context(lay)
    except NoCuttingSheet as refusal:
        return refused(request, refusal, back=reverse("batches:lay_page", args=[pk]))
    return pdf_answer(
        request,
        TEMPLATE,
        context,
        filename=f"lay-{pk}.pdf",
        page=reverse("printing:cutting", args=[pk]),
    )


def _context(lay: Lay) -> dict[str, object]:
    reader = current_reader()
    paper = next((paper for paper in PAPERS if paper.name == reader.paper_size), PAPERS[0])
    return {
        "lay": lay,
        "sheet": cutting_sheet(lay, kits_of_lay(lay), paper, has_large_print=reader.has_large_print),
        "paper": paper,
        "group": the_group(),
        "reader": reader,
    }
