"""Labels of gowns, bags, boxes, kits and lots, and the test page that shows how far a printer is out."""

from typing import Any

from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from gowngroup.people.guards import page
from gowngroup.people.queries import has_role, the_group
from gowngroup.printing.forms import MOST_LABELS, LabelForm, SheetForm
from gowngroup.printing.label_kinds import KINDS, LabelKind, label_kind
from gowngroup.printing.label_sheets import INSIDE_MM, LabelSheet, printed_sheet, sheet_title
from gowngroup.printing.planner.labels import LabelTooSmall, LetterMissing, cross_path, label_pages
from gowngroup.printing.sheet_reader import outside_reader
from gowngroup.printing.views.answers import pdf_answer
from gowngroup.records.reader import reading_as

ON_A_PAGE = 25


@page("inspector", "packer", methods=("GET",))
def labels(request: HttpRequest) -> HttpResponse:
    form = LabelForm(kind=_kind(request), initial=request.GET.dict())
    return _choosing(request, form)


@page("inspector", "packer", methods=("GET",))
def label_sheets(request: HttpRequest) -> HttpResponse:
    form = LabelForm(request.GET, kind=_kind(request))
    context = _context(request, form)
    if context is None:
        return _choosing(request, form)
    with reading_as(outside_reader()):
        return render(request, "printing/labels.html", context)


@page("inspector", "packer", methods=("GET",))
def labels_pdf(request: HttpRequest) -> HttpResponse:
    form = LabelForm(request.GET, kind=_kind(request))
    context = _context(request, form)
    if context is None:
        return _choosing(request, form)
    sheets = f"{reverse('printing:label_sheets')}?{request.GET.urlencode()}"
    with reading_as(outside_reader()):
        return pdf_answer(request, "printing/labels.html", context, filename="labels.pdf", page=sheets)


@page("inspector", "packer", methods=("GET",))
def label_test(request: HttpRequest) -> HttpResponse:
    form = SheetForm(request.GET or None)
    context = {"form": form, "group": the_group(), "query": request.GET.urlencode()}
    if not form.is_valid():
        status = 422 if form.is_bound else 200
        return render(request, "printing/label_test_choose.html", context, status=status)
    return render(request, "printing/label_test.html", context | _test(form))


@page("inspector", "packer", methods=("GET",))
def label_test_pdf(request: HttpRequest) -> HttpResponse:
    form = SheetForm(request.GET)
    context = {"form": form, "group": the_group()}
    if not form.is_valid():
        return render(request, "printing/label_test_choose.html", context, status=422)
    sheet = f"{reverse('printing:label_test')}?{request.GET.urlencode()}"
    return pdf_answer(
        request, "printing/label_test.html", context | _test(form), filename="label-test.pdf", page=sheet
    )


@page("inspector", "packer", methods=("GET",))
def label_css(request: HttpRequest, key: str) -> HttpResponse:
    sheet = printed_sheet(key)
    if sheet is None:
        raise Http404
    return render(request, "printing/labels.css", _geometry(sheet), content_type="text/css")


def _geometry(sheet: LabelSheet) -> dict[str, object]:
    return {"label_sheet": sheet, "inside_mm": INSIDE_MM, "side_mm": INSIDE_MM + sheet.tuck_mm}


def _kind(request: HttpRequest) -> LabelKind:
    kind = label_kind(request.GET.get("kind", ""))
    if not has_role(request.user, *kind.roles):
        raise PermissionDenied
    return kind


def _choosing(request: HttpRequest, form: LabelForm) -> HttpResponse:
    search = request.GET.get("search", "")[:80]
    typed = request.GET.get("drop_off", "")
    drop_off = int(typed) if typed.isdecimal() and len(typed) < 10 else None
    offered = form.kind.offered(search, drop_off)
    rows = Paginator(offered, MOST_LABELS if drop_off else ON_A_PAGE).get_page(request.GET.get("page"))
    choices = [form.kind.choice(row) for row in rows]
    context = {
        "form": form,
        "kind": form.kind,
        "kinds": [kind for kind in KINDS if has_role(request.user, *kind.roles)],
        "page_obj": rows,
        "choices": choices,
        "search": search,
        "drop_off": drop_off,
        "ticked": [choice.key for choice in choices]
        if drop_off and not form.is_bound
        else request.GET.getlist("item"),
    }
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "printing/labels_choose.html", context, status=status)


def _context(request: HttpRequest, form: LabelForm) -> dict[str, Any] | None:
    """What the sheets show; None, with the reason on the form, where they cannot be made."""
    if not form.is_valid():
        return None
    chosen, group = form.cleaned_data, the_group()
    with reading_as(outside_reader()):
        said = form.kind.labels(chosen["rows"], group.label_line, chosen["per_bag"])
    sheet = chosen["label_sheet"]
    try:
        pages = label_pages(said, sheet=sheet, start=chosen["start"], copies=chosen["copies"])
    except (LabelTooSmall, LetterMissing) as refusal:
        form.add_error("sheet" if refusal.field == "sheet" else None, refusal.message)
        return None
    return {
        "kind": form.kind,
        "pages": pages,
        "group": group,
        "query": request.GET.urlencode(),
        **_geometry(sheet),
    }


def _test(form: SheetForm) -> dict[str, object]:
    sheet = form.cleaned_data["label_sheet"]
    return {**_geometry(sheet), "title": sheet_title(sheet), "cross": cross_path(sheet)}
