"""The delivery receipt."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from gowngroup.people.guards import page, person_of
from gowngroup.people.queries import the_group
from gowngroup.printing import queries
from gowngroup.printing.planner import NoReceiptYet, receipt_pages
from gowngroup.printing.views.answers import pdf_answer
from gowngroup.records.pages import refused
from gowngroup.records.reader import current_reader


@page("driver", "inspector", "packer", methods=("GET",))
def receipt(request: HttpRequest, pk: int) -> HttpResponse:
    try:
        context = _context(request, pk)
    except NoReceiptYet as refusal:
        return refused(request, refusal, back=reverse("home:home"))
    return render(request, "printing/receipt.html", context)


@page("driver", "inspector", "packer", methods=("GET",))
def receipt_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    try:
        context = _context(request, pk)
    except NoReceiptYet as refusal:
        return refused(request, refusal, back=reverse("home:home"))
    return pdf_answer(
        request,
        "printing/receipt.html",
        context,
        filename=f"receipt-{pk}.pdf",
        page=reverse("printing:receipt", args=[pk]),
    )


def _context(request: HttpRequest, pk: int) -> dict[str, object]:
    drop_off = queries.drop_off_to_print(person_of(request), pk)
    return {
        "drop_off": drop_off,
        "pages": receipt_pages(drop_off),
        "group": the_group(),
        "reader": current_reader(),
    }
