"""How a sheet is answered: as a page, as a PDF, or with a kind word why not now."""

from collections.abc import Mapping

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from gowngroup.printing.pdf import NoPdfLibrary, render_pdf
from gowngroup.records.errors import NotNow


def pdf_answer(
    request: HttpRequest, template: str, context: Mapping[str, object], *, filename: str, page: str
) -> HttpResponse:
    """The sheet as a PDF, or the page that says why not now and leads to the sheet's own page."""
    try:
        content = render_pdf(template, context)
    except NotNow as refusal:
        return not_now(request, refusal, page=page)
    return pdf_response(content, filename=filename)


def pdf_response(content: bytes, *, filename: str) -> HttpResponse:
    """A PDF to be shown, and kept by no cache on its way."""
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{filename}"'
    response["Cache-Control"] = "private, no-store"
    return response


def not_now(request: HttpRequest, refusal: NotNow, *, page: str) -> HttpResponse:
    """The page that says why there is no PDF just now and leads to the sheet's own page."""
    may_try_again = request.method == "GET" and not isinstance(refusal, NoPdfLibrary)
    context = {"refusal": refusal, "page": page, "may_try_again": may_try_again}
    response = render(request, "printing/no_pdf.html", context, status=refusal.status)
    response["Retry-After"] = str(refusal.retry_after_s)
    return response
