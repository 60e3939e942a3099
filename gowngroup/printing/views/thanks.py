"""One person's letter of thanks, and one donor's acknowledgment."""

from datetime import timedelta
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.people.guards import EVERYONE, page, person_of
from gowngroup.people.models import Role
from gowngroup.people.queries import has_role, person_named
from gowngroup.printing.planner.year import HoursLetter, acknowledgments
from gowngroup.printing.planner.year import hours_letter as letter_of
from gowngroup.printing.sheet_reader import outside_reader, person_reader
from gowngroup.printing.views.year import sheet_context, sheet_pdf, span_of
from gowngroup.printing.year_forms import PeriodForm
from gowngroup.printing.year_queries import Span, days_given
from gowngroup.records.pages import form_page
from gowngroup.records.reader import current_reader, reading_as
from gowngroup.records.written import written_date
from gowngroup.stock.models import Donor
from gowngroup.stock.queries import donor_by_id

MOST_DAYS = 12


@page(*EVERYONE, methods=("GET",))
def hours_letter(request: HttpRequest, pk: int, year: int) -> HttpResponse:
    letter = _letter(request, pk, year)
    template = "printing/hours_letter_none.html" if letter.is_empty else "printing/hours_letter.html"
    with reading_as(person_reader(letter.person)):
        return render(request, template, _letter_context(letter))


@page(*EVERYONE, methods=("GET",))
def hours_letter_pdf(request: HttpRequest, pk: int, year: int) -> HttpResponse:
    letter = _letter(request, pk, year)
    with reading_as(person_reader(letter.person)):
        context = _letter_context(letter)
        if letter.is_empty:
            return render(request, "printing/hours_letter_none.html", context)
        return sheet_pdf(
            request,
            "printing/hours_letter.html",
            context,
            filename=f"hours-letter-{year}-{pk}.pdf",
            page=reverse("printing:hours_letter", args=[pk, year]),
        )


def _letter(request: HttpRequest, pk: int, year: int) -> HoursLetter:
    """Her own letter, or for the coordinator anybody's; everybody else's answers 404."""
    asking = person_of(request)
    if pk != asking.pk and not has_role(asking, Role.COORDINATOR):
        raise Http404
    person = person_named(pk)
    if person.erased_at is not None:
        raise Http404
    return letter_of(person, span_of(year))


def _letter_context(letter: HoursLetter) -> dict[str, object]:
    year, this_year = letter.span.year, timezone.localdate().year
    return {
        **sheet_context(),
        "year": year,
        "person": letter.person,
        "letters": [letter],
        "is_one": True,
        "years": [each for each in (year - 1, year + 1) if letter.person.joined_on.year <= each <= this_year],
    }


@page("coordinator", "packer", methods=("GET",))
def acknowledgment(request: HttpRequest, pk: int) -> HttpResponse:
    donor, form = _donor_to_thank(pk), PeriodForm(request.GET or None)
    context = _acknowledgment_context(donor, form)
    if context is None:
        return _choose(request, donor, form)
    with reading_as(outside_reader()):
        return render(request, "printing/acknowledgment.html", {**context, "query": urlencode(form.data)})


@page("coordinator", "packer", methods=("GET",))
def acknowledgment_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    donor = _donor_to_thank(pk)
    form = PeriodForm(request.GET or _everything(donor))
    context = _acknowledgment_context(donor, form)
    if context is None:
        return _choose(request, donor, form)
    with reading_as(outside_reader()):
        return sheet_pdf(
            request,
            "printing/acknowledgment.html",
            context,
            filename=f"acknowledgment-{pk}.pdf",
            page=f"{reverse('printing:acknowledgment', args=[pk])}?{urlencode(form.data)}",
        )


def _everything(donor: Donor) -> dict[str, object] | None:
    """From the first to the last day on which a donor gave something."""
    days = days_given(donor)
    return {"first": days[-1], "last": days[0]} if days else None


def _donor_to_thank(pk: int) -> Donor:
    donor = donor_by_id(pk)
    if donor.erased_at is not None:
        raise Http404
    return donor


def _acknowledgment_context(donor: Donor, form: PeriodForm) -> dict[str, object] | None:
    """What the sheet needs, or None with the form saying what to put right."""
    if not form.is_valid():
        return None
    first, last = form.cleaned_data["first"], form.cleaned_data["last"]
    span = Span(first=first, after=last + timedelta(days=1), zone=current_reader().zone)
    with reading_as(outside_reader()):
        found, sheet = acknowledgments(span, [donor]), sheet_context()
    if not found:
        form.add_error(
            None,
            _(
                "Nothing is in the books that %(donor)s gave from %(first)s to %(last)s. Please choose other days."
            )
            % {"donor": donor, "first": written_date(first, "j F Y"), "last": written_date(last, "j F Y")},
        )
        return None
    context = {"donor": donor, "acknowledgments": found, "sentence": form.cleaned_data["sentence"]}
    return {**sheet, **context}


def _choose(request: HttpRequest, donor: Donor, form: PeriodForm) -> HttpResponse:
    today = timezone.localdate()
    if not form.is_bound:
        form.initial = {"first": today.replace(month=1, day=1), "last": today}
    days = days_given(donor)
    return form_page(
        request,
        "printing/acknowledgment_choose.html",
        form,
        donor=donor,
        days=days[:MOST_DAYS],
        day_count=len(days),
    )
