"""Smocking charts: the list, a chart drawn from its stitches, and its form."""

from collections.abc import Callable

from django.contrib import messages
from django.core.paginator import Paginator
from django.forms import BaseFormSet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.catalog.actions import RowEntry, add_chart, change_chart
from gowngroup.catalog.drawing import sample_chart, screen_chart
from gowngroup.catalog.forms.charts import ChartForm, PleatsForm, RowForm, RowFormSet, row_values
from gowngroup.catalog.models import Chart
from gowngroup.catalog.planner import chart_as_chosen, planning_chart
from gowngroup.catalog.queries import charts, is_chart_used, sizes_worked_with
from gowngroup.catalog.views.formsets import formset_page
from gowngroup.people.guards import EVERYONE, page, person_of
from gowngroup.records.pages import attempt, status_of


@page(*EVERYONE, methods=("GET",))
def chart_list(request: HttpRequest) -> HttpResponse:
    search = request.GET.get("search", "")[:80]
    page_obj = Paginator(charts(search=search), 25).get_page(request.GET.get("page"))
    drawn = [(chart, sample_chart(planning_chart(chart), pleat_count=26)) for chart in page_obj]
    return render(
        request, "catalog/chart_list.html", {"page_obj": page_obj, "drawn": drawn, "search": search}
    )


@page(*EVERYONE, methods=("GET",))
def chart_page(request: HttpRequest, pk: int) -> HttpResponse:
    chart = get_object_or_404(Chart, pk=pk)
    form = PleatsForm(request.GET or None, sizes=sizes_worked_with(chart))
    over, sentences = chart_as_chosen(chart, design_size=form.design_size, pleat_count=form.pleat_count)
    context = {
        "chart": chart,
        "form": form,
        "over": over,
        "sentences": sentences,
        "chart_bands": screen_chart(over.compiled) if over and over.compiled else (),
        "is_used": is_chart_used(chart),
    }
    return render(request, "catalog/chart_page.html", context, status=status_of(form))


@page("coordinator")
def chart_new(request: HttpRequest) -> HttpResponse:
    form = ChartForm(request.POST or None)
    formset = RowFormSet(request.POST or None, initial=[{"stitch": ""}] if request.method == "GET" else None)

    def run(rows: list[RowEntry]) -> Chart:
        return add_chart(rows=rows, by=person_of(request), at=timezone.now(), **form.cleaned_data)

    return _chart_form(request, form, formset, run, title=_("Add a chart"))


@page("coordinator")
def chart_change(request: HttpRequest, pk: int) -> HttpResponse:
    chart = get_object_or_404(Chart, pk=pk)
    form = ChartForm(request.POST or None, chart=chart)
    formset = RowFormSet(request.POST or None, initial=row_values(chart))

    def run(rows: list[RowEntry]) -> Chart:
        return change_chart(
            chart=chart, rows=rows, by=person_of(request), at=timezone.now(), **form.cleaned_data
        )

    title = _("Change the chart “%(chart)s”") % {"chart": chart}
    return _chart_form(request, form, formset, run, title=title, chart=chart, is_used=is_chart_used(chart))


def _chart_form(
    request: HttpRequest,
    form: ChartForm,
    formset: "BaseFormSet[RowForm]",
    run: Callable[[list[RowEntry]], Chart],
    **context: object,
) -> HttpResponse:
    if form.is_valid() and formset.is_valid():
        rows = [entry for row in formset if (entry := row.entry())]
        if (saved := attempt(form, lambda: run(rows))) is not None:
            messages.success(request, _("The chart is kept as “%(chart)s”.") % {"chart": saved})
            return redirect("catalog:chart_page", saved.pk)
    return formset_page(request, "catalog/chart_form.html", form=form, formset=formset, **context)
