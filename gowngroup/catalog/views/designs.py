"""Designs: what the group makes, and what one gown of a size takes."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.catalog.actions import add_design, change_design
from gowngroup.catalog.drawing import gown_drawing, pieces_drawing, sample_chart, screen_chart
from gowngroup.catalog.forms.designs import DesignForm, DetailsForm
from gowngroup.catalog.models import Design, DesignRevision, Purpose, Size
from gowngroup.catalog.planner import (
    GownNeed,
    PlannerSettings,
    gown_need,
    need_of_size,
    planner_settings,
    planning_chart,
)
from gowngroup.catalog.queries import designs, newest_revision, newest_revisions
from gowngroup.people.guards import EVERYONE, page, person_of
from gowngroup.people.queries import roles_of
from gowngroup.records.pages import attempt, form_page

DESIGNS_A_PAGE = 12


@page(*EVERYONE, methods=("GET",))
def design_list(request: HttpRequest) -> HttpResponse:
    search, is_put_by = request.GET.get("search", "")[:80], "put_by" in request.GET
    found = designs(search=search, are_active=not is_put_by)
    page_obj = Paginator(found, DESIGNS_A_PAGE).get_page(request.GET.get("page"))
    settings = planner_settings()
    cards = [_card(revision, settings) for revision in newest_revisions(page_obj)]
    context = {"page_obj": page_obj, "cards": cards, "search": search, "is_put_by": is_put_by}
    return render(
        request, "catalog/design_list.html", {**context, "is_empty": not cards and not Size.objects.exists()}
    )


def _card(revision: DesignRevision, settings: PlannerSettings) -> dict[str, object]:
    """A design with its sizes, drawn in the middle one."""
    rows = list(revision.sizes.all())
    middle = rows[len(rows) // 2] if rows else None
    need = need_of_size(middle, _purpose(revision), settings) if middle else None
    return {
        "revision": revision,
        "sizes": [row.size for row in rows],
        "largest": rows[-1].size if rows else None,
        "drawing": gown_drawing(need) if need else None,
    }


def _purpose(revision: DesignRevision) -> str:
    return Purpose.WORN.value if revision.is_for_worn else Purpose.MEMORIAL.value


@page(*EVERYONE, methods=("GET",))
def design_page(request: HttpRequest, pk: int) -> HttpResponse:
    revision = newest_revision(get_object_or_404(Design, pk=pk))
    settings = planner_settings()
    rows = [
        (row.size, gown_need(revision=revision, size=row.size, purpose=_purpose(revision), settings=settings))
        for row in revision.sizes.select_related("size")
    ]
    middle: GownNeed | None = rows[len(rows) // 2][1] if rows else None
    context = {
        "revision": revision,
        "design": revision.design,
        "rows": rows,
        "drawing": gown_drawing(middle) if middle else None,
        "chart_bands": sample_chart(planning_chart(revision.chart)) if revision.chart else (),
        "needs": revision.needs.all(),
        "fault_count": sum(bool(need.faults) for _size, need in rows),
    }
    return render(request, "catalog/design_page.html", context)


@page(*EVERYONE, methods=("GET",))
def design_size_page(request: HttpRequest, pk: int, size_pk: int) -> HttpResponse:
    revision = newest_revision(get_object_or_404(Design, pk=pk))
    row = revision.sizes.select_related("size").filter(size=size_pk).first()
    if row is None:
        raise Http404
    purpose = _asked_purpose(request, revision)
    need = gown_need(revision=revision, size=row.size, purpose=purpose)
    context = {
        "revision": revision,
        "design": revision.design,
        "size": row.size,
        "need": need,
        "purpose": purpose,
        "has_both": revision.is_for_worn
        and revision.is_for_memorial
        and roles_of(request.user) != {"volunteer"},
        "drawing": gown_drawing(need),
        "pieces": pieces_drawing(need.pieces) if need.pieces else None,
        "chart_bands": screen_chart(need.smocking) if need.smocking else (),
    }
    return render(request, "catalog/design_size_page.html", context)


def _asked_purpose(request: HttpRequest, revision: DesignRevision) -> str:
    is_worn = _purpose(revision) == Purpose.WORN
    wants_other = request.GET.get("for") == Purpose.MEMORIAL and revision.is_for_memorial
    return Purpose.WORN.value if is_worn and not wants_other else Purpose.MEMORIAL.value


@page("coordinator")
def design_new(request: HttpRequest) -> HttpResponse:
    form = DetailsForm(request.POST or None)
    if (
        form.is_valid()
        and (
            revision := attempt(
                form,
                lambda: add_design(
                    name=form.cleaned_data["name"],
                    kind=form.cleaned_data["kind"],
                    details=form.details(),
                    by=person_of(request),
                    at=timezone.now(),
                    request_key=form.cleaned_data["request_key"],
                ),
            )
        )
        is not None
    ):
        messages.success(request, _("The design is added. Now say in which sizes it is made."))
        return redirect("catalog:design_sizes", revision.design_id)
    return form_page(request, "catalog/design_form.html", form, title=_("Add a design"))


@page("coordinator")
def design_rename(request: HttpRequest, pk: int) -> HttpResponse:
    design = get_object_or_404(Design, pk=pk)
    form = DesignForm(request.POST or None, initial={"name": design.name, "is_active": design.is_active})
    if (
        form.is_valid()
        and attempt(
            form,
            lambda: change_design(
                design=design, by=person_of(request), at=timezone.now(), **form.cleaned_data
            ),
        )
        is not None
    ):
        messages.success(request, _("The design is changed."))
        return redirect("catalog:design_page", design.pk)
    return form_page(request, "catalog/design_form.html", form, title=_("Rename or put by"), design=design)
