"""The year looked back on: what happened, the report, and everybody's papers of thanks."""

from typing import TypeVar

from django.db.models import Model, QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from gowngroup.people.guards import page
from gowngroup.people.queries import the_group
from gowngroup.printing.planner.year import acknowledgments as acknowledgments_for
from gowngroup.printing.planner.year import hours_letters as letters_for
from gowngroup.printing.planner.year import year_report as report_of
from gowngroup.printing.sheet_reader import outside_reader
from gowngroup.printing.views.answers import pdf_answer
from gowngroup.printing.year_forms import SentenceForm, YearForm
from gowngroup.printing.year_queries import (
    FIRST_YEAR,
    Span,
    donors_of,
    first_year,
    thanked,
    year_counts,
)
from gowngroup.records.pages import form_page
from gowngroup.records.reader import current_reader, reading_as

M = TypeVar("M", bound=Model)
A_PART = 40  # letters in one PDF, so that none takes longer than a sheet may


def span_of(year: int) -> Span:
    """A year the app can tell of; 404 for any other."""
    if not FIRST_YEAR <= year <= timezone.localdate().year + 1:
        raise Http404
    return Span.of_year(year, current_reader().zone)


def sheet_context() -> dict[str, object]:
    """What every sheet of thanks needs, beside what stands on it."""
    return {"reader": current_reader(), "today": timezone.localdate()}


def sheet_pdf(
    request: HttpRequest, template: str, context: dict[str, object], *, filename: str, page: str
) -> HttpResponse:
    """The sheet as a PDF, which gets the group's name from here since no page frames it."""
    return pdf_answer(request, template, {**context, "group": the_group()}, filename=filename, page=page)


@page("coordinator", methods=("GET",))
def year_start(request: HttpRequest) -> HttpResponse:
    this_year = timezone.localdate().year
    if "year" not in request.GET:
        return redirect("printing:year", this_year)
    form = YearForm(request.GET, this_year=this_year)
    if form.is_valid():
        return redirect("printing:year", form.cleaned_data["year"])
    return form_page(request, "printing/year.html", form)


@page("coordinator", methods=("GET",))
def year(request: HttpRequest, year: int) -> HttpResponse:
    span, this_year = span_of(year), timezone.localdate().year
    first = min(first_year() or this_year, this_year)
    counts, letter_count = year_counts(span), thanked(span).count()
    told = ("lines", "boxed", "returns", "gowns", "movements", "donors")
    context = {
        "form": YearForm(initial={"year": year}, this_year=this_year),
        "sentence_form": SentenceForm(),
        "year": year,
        "years": [each for each in range(this_year, first - 1, -1) if each != year],
        "counts": counts,
        "is_empty": not any(counts[name] for name in told),
        "letter_count": letter_count,
        "letter_parts": _parts(letter_count),
        "donor_parts": _parts(counts["donors"]),
    }
    return render(request, "printing/year.html", context)


@page("coordinator", methods=("GET",))
def year_report(request: HttpRequest, year: int) -> HttpResponse:
    return render(request, "printing/yearly_report.html", _report_context(request, year))


@page("coordinator", methods=("GET",))
def year_report_pdf(request: HttpRequest, year: int) -> HttpResponse:
    context = _report_context(request, year)
    query = "?names=yes" if context["has_names"] else ""
    return sheet_pdf(
        request,
        "printing/yearly_report.html",
        context,
        filename=f"year-{year}{'-with-names' if query else ''}.pdf",
        page=reverse("printing:year_report", args=[year]) + query,
    )


def _report_context(request: HttpRequest, year: int) -> dict[str, object]:
    has_names = request.GET.get("names") == "yes"
    report = report_of(span_of(year), has_names=has_names)
    return {**sheet_context(), "year": year, "has_names": has_names, "report": report}


@page("coordinator", methods=("GET",))
def hours_letters(request: HttpRequest, year: int) -> HttpResponse:
    return render(request, "printing/hours_letter.html", _letters_context(request, year))


@page("coordinator", methods=("GET",))
def hours_letters_pdf(request: HttpRequest, year: int) -> HttpResponse:
    context = _letters_context(request, year)
    if not context["letters"]:
        return render(request, "printing/hours_letter_none.html", {**context, "is_everybody": True})
    query = f"?part={context['part']}"
    return sheet_pdf(
        request,
        "printing/hours_letter.html",
        context,
        filename=f"hours-letters-{year}-{context['part']}.pdf",
        page=reverse("printing:hours_letters", args=[year]) + query,
    )


def _letters_context(request: HttpRequest, year: int) -> dict[str, object]:
    span = span_of(year)
    people, part = _part_of(request, thanked(span))
    return {**sheet_context(), "year": year, "letters": letters_for(span, people), "part": part}


def _parts(count: int) -> range:
    return range(1, -(-count // A_PART) + 1)


def _part_of(request: HttpRequest, rows: QuerySet[M]) -> tuple[list[M], int]:
    """The rows of the part asked for and its number; 404 for a part there is not."""
    typed = request.GET.get("part", "1")
    part = int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 5 else 0
    found = list(rows[(part - 1) * A_PART : part * A_PART]) if part else []
    if not found and part != 1:
        raise Http404
    return found, part


@page("coordinator", methods=("GET",))
def acknowledgments(request: HttpRequest, year: int) -> HttpResponse:
    with reading_as(outside_reader()):
        context = _acknowledgments_context(request, year)
        return render(request, "printing/acknowledgment.html", context)


@page("coordinator", methods=("GET",))
def acknowledgments_pdf(request: HttpRequest, year: int) -> HttpResponse:
    with reading_as(outside_reader()):
        context = _acknowledgments_context(request, year)
        if not context["acknowledgments"]:
            return redirect("printing:acknowledgments", year)
        return sheet_pdf(
            request,
            "printing/acknowledgment.html",
            context,
            filename=f"acknowledgments-{year}-{context['part']}.pdf",
            page=f"{reverse('printing:acknowledgments', args=[year])}?{request.GET.urlencode()}",
        )


def _acknowledgments_context(request: HttpRequest, year: int) -> dict[str, object]:
    span = span_of(year)
    donors, part = _part_of(request, donors_of(span))
    form = SentenceForm(request.GET)
    sentence = form.cleaned_data["sentence"] if form.is_valid() else ""
    found = acknowledgments_for(span, donors)
    return {**sheet_context(), "year": year, "acknowledgments": found, "sentence": sentence, "part": part}
