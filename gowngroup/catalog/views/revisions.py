"""The parts of a design that may be changed: its details, sizes, pieces and trims."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.catalog.actions import change_revision, set_design_sizes, set_needs, set_pieces
from gowngroup.catalog.forms.designs import (
    DetailsForm,
    NeedFormSet,
    PieceFormSet,
    SizesForm,
    need_values,
    piece_values,
)
from gowngroup.catalog.models import Design, DesignRevision
from gowngroup.catalog.queries import newest_revision
from gowngroup.catalog.views.formsets import formset_page
from gowngroup.people.guards import page, person_of
from gowngroup.records.fields import ActionForm
from gowngroup.records.pages import attempt, form_page


def _revision(pk: int) -> DesignRevision:
    return newest_revision(get_object_or_404(Design, pk=pk))


@page("coordinator")
def design_change(request: HttpRequest, pk: int) -> HttpResponse:
    revision = _revision(pk)
    form = DetailsForm(request.POST or None, revision=revision)
    if (
        form.is_valid()
        and attempt(
            form,
            lambda: change_revision(
                revision=revision,
                details=form.details(),
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        is not None
    ):
        messages.success(request, _("The design is changed."))
        return redirect("catalog:design_page", pk)
    return form_page(
        request,
        "catalog/design_form.html",
        form,
        title=_("Change the design"),
        revision=revision,
        design=revision.design,
    )


@page("coordinator")
def design_sizes(request: HttpRequest, pk: int) -> HttpResponse:
    revision = _revision(pk)
    form = SizesForm(request.POST or None, revision=revision)
    if (
        form.is_valid()
        and attempt(
            form,
            lambda: set_design_sizes(
                revision=revision,
                entries=form.entries(),
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        is not None
    ):
        messages.success(request, _("The sizes are kept."))
        return redirect("catalog:design_page", pk)
    return form_page(request, "catalog/design_sizes.html", form, revision=revision, design=revision.design)


@page("coordinator")
def design_pieces(request: HttpRequest, pk: int, size_pk: int) -> HttpResponse:
    revision = _revision(pk)
    row = revision.sizes.select_related("size", "revision__design").filter(size=size_pk).first()
    if row is None or revision.design.kind != Design.Kind.RECTANGLES:
        raise Http404
    form = ActionForm(request.POST or None)
    formset = PieceFormSet(request.POST or None, initial=piece_values(row))
    if form.is_valid() and formset.is_valid():
        pieces = [entry for each in formset if (entry := each.entry())]
        saved = attempt(
            form,
            lambda: set_pieces(
                design_size=row, pieces=pieces, by=person_of(request), at=timezone.now(), **form.cleaned_data
            ),
        )
        if saved is not None:
            messages.success(request, _("The pieces are kept."))
            return redirect("catalog:design_size_page", pk, size_pk)
    return formset_page(
        request,
        "catalog/design_pieces.html",
        form=form,
        formset=formset,
        revision=revision,
        design=revision.design,
        size=row.size,
    )


@page("coordinator")
def design_needs(request: HttpRequest, pk: int) -> HttpResponse:
    revision = _revision(pk)
    form = ActionForm(request.POST or None)
    formset = NeedFormSet(
        request.POST or None, initial=need_values(revision), form_kwargs={"revision": revision}
    )
    if form.is_valid() and formset.is_valid():
        needs = [entry for each in formset if (entry := each.entry())]
        saved = attempt(
            form,
            lambda: set_needs(
                revision=revision, needs=needs, by=person_of(request), at=timezone.now(), **form.cleaned_data
            ),
        )
        if saved is not None:
            messages.success(request, _("Lace, ribbon and notions are kept."))
            return redirect("catalog:design_page", pk)
    return formset_page(
        request,
        "catalog/design_needs.html",
        form=form,
        formset=formset,
        revision=revision,
        design=revision.design,
    )
