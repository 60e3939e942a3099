"""Labels of worn gowns."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from gowngroup.people.guards import page
from gowngroup.people.queries import the_group
from gowngroup.printing import queries
from gowngroup.printing.forms import LabelForm
from gowngroup.printing.label_sheets import INSIDE_MM, USUAL_SHEET, label_sheet
from gowngroup.printing.planner import label_pages
from gowngroup.printing.views.answers import pdf_answer

ON_A_PAGE = 25


@page("inspector", "packer", methods=("GET",))
def labels(request: HttpRequest) -> HttpResponse:
    return _choosing(request, LabelForm())


@page("inspector", "packer", methods=("GET",))
def label_sheets(request: HttpRequest) -> HttpResponse:
    form = LabelForm(request.GET)
    if not form.is_valid():
        return _choosing(request, form)
    return render(request, "printing/labels.html", _context(request, form))


@page("inspector", "packer", methods=("GET",))
def labels_pdf(request: HttpRequest) -> HttpResponse:
    form = LabelForm(request.GET)
    if not form.is_valid():
        return _choosing(request, form)
    sheets = f"{reverse('printing:label_sheets')}?{request.GET.urlencode()}"
    context = _context(request, form)
    return pdf_answer(request, "printing/labels.html", context, filename="labels.pdf", page=sheets)


@page("inspector", "packer", methods=("GET",))
def label_css(request: HttpRequest, key: str) -> HttpResponse:
    sheet = label_sheet(key) or USUAL_SHEET
    return render(
        request,
        "printing/labels.css",
        {"label_sheet": sheet, "inside_mm": INSIDE_MM},
        content_type="text/css",
    )


def _choosing(request: HttpRequest, form: LabelForm) -> HttpResponse:
    search = request.GET.get("search", "")[:80]
    gowns = Paginator(queries.gowns_for_labels(search=search), ON_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "form": form,
        "page_obj": gowns,
        "search": search,
        "ticked": request.GET.getlist("gown"),
    }
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "printing/labels_choose.html", context, status=status)


def _context(request: HttpRequest, form: LabelForm) -> dict[str, object]:
    sheet = form.cleaned_data["label_sheet"]
    group = the_group()
    pages = label_pages(
        form.cleaned_data["gowns"],
        sheet=sheet,
        start=form.cleaned_data["start"],
        group_line=group.label_line,
    )
    return {
        "pages": pages,
        "label_sheet": sheet,
        "inside_mm": INSIDE_MM,
        "group": group,
        "query": request.GET.urlencode(),
    }
