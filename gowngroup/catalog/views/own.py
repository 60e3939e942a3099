"""What the group sets itself in one size of a design: measures of a draft, pieces of its own."""

from dataclasses import asdict

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.catalog.actions import OutlineEntry, set_outlines, set_overrides
from gowngroup.catalog.drawing import gown_drawing, pieces_drawing
from gowngroup.catalog.forms.outlines import OutlineFormSet, outline_values
from gowngroup.catalog.forms.overrides import OverridesForm
from gowngroup.catalog.models import Design, DesignSize, OutlinePiece
from gowngroup.catalog.planner import (
    GownNeed,
    GownPiece,
    closing_sentences,
    need_of_size,
    outline_sentence,
    planner_settings,
)
from gowngroup.catalog.planner.overrides import own_measures, with_overrides
from gowngroup.catalog.planner.own_pieces import outline_pieces
from gowngroup.catalog.queries import newest_revision
from gowngroup.catalog.views.formsets import formset_page
from gowngroup.people.guards import page, person_of
from gowngroup.records.fields import ActionForm
from gowngroup.records.pages import attempt, form_page


def _design_size(pk: int, size_pk: int) -> DesignSize:
    """The newest state of a design in a size; a size it is not made in has no page."""
    revision = newest_revision(get_object_or_404(Design, pk=pk))
    row = (
        revision.sizes.select_related("size", "revision__design", "revision__chart")
        .filter(size=size_pk)
        .first()
    )
    if row is None:
        raise Http404
    return row


@page("coordinator")
def design_measures(request: HttpRequest, pk: int, size_pk: int) -> HttpResponse:
    row, settings = _design_size(pk, size_pk), planner_settings()
    if not row.revision.design.is_drafted():
        raise Http404
    form = OverridesForm(request.POST or None, measures=own_measures(row, settings))
    is_typed = form.is_valid()
    typed = {} if "reset" in request.POST else form.overrides() if is_typed else row.overrides
    if is_typed and "look" not in request.POST and _keep(request, form, row, typed):
        messages.success(request, _("The measures are kept."))
        return redirect("catalog:design_measures", pk, size_pk)
    tried = with_overrides(row, typed)
    return form_page(
        request,
        "catalog/design_measures.html",
        form,
        is_tried=is_typed,
        sentences=closing_sentences(tried, settings),
        **_drawn(need_of_size(tried, row.revision.purposes()[0], settings)),
        **_about(row),
    )


def _keep(request: HttpRequest, form: OverridesForm, row: DesignSize, typed: dict[str, float]) -> bool:
    kept = attempt(
        form,
        lambda: set_overrides(
            design_size=row,
            overrides=typed,
            by=person_of(request),
            at=timezone.now(),
            request_key=form.cleaned_data["request_key"],
        ),
    )
    return kept is not None


def _about(row: DesignSize) -> dict[str, object]:
    return {"row": row, "revision": row.revision, "design": row.revision.design, "size": row.size}


def _drawn(need: GownNeed) -> dict[str, object]:
    return {
        "need": need,
        "drawing": gown_drawing(need),
        "pieces": pieces_drawing(need.pieces) if need.pieces else None,
    }


@page("coordinator")
def design_outlines(request: HttpRequest, pk: int, size_pk: int) -> HttpResponse:
    row = _design_size(pk, size_pk)
    if row.revision.design.kind != Design.Kind.OUTLINES:
        raise Http404
    form = ActionForm(request.POST or None)
    formset = OutlineFormSet(request.POST or None, initial=outline_values(row))
    is_typed = form.is_valid() and formset.is_valid()
    typed = [entry for each in formset if (entry := each.entry())] if is_typed else []
    if is_typed and "look" not in request.POST and _keep_outlines(request, form, row, typed):
        messages.success(request, _("The pieces are kept."))
        return redirect("catalog:design_outlines", pk, size_pk)
    rows = _tried_outlines(form, row, typed) if is_typed else list(row.outlines.all())
    return formset_page(
        request,
        "catalog/design_outlines.html",
        form=form,
        formset=formset,
        is_tried=is_typed,
        **_drawn_pieces(outline_pieces(rows)),
        **_about(row),
    )


def _keep_outlines(
    request: HttpRequest, form: ActionForm, row: DesignSize, typed: list[OutlineEntry]
) -> bool:
    kept = attempt(
        form,
        lambda: set_outlines(
            design_size=row,
            outlines=typed,
            by=person_of(request),
            at=timezone.now(),
            request_key=form.cleaned_data["request_key"],
        ),
    )
    return kept is not None


def _tried_outlines(form: ActionForm, row: DesignSize, typed: list[OutlineEntry]) -> list[OutlinePiece]:
    """Those of the typed pieces that can be drawn; the others are told of, once."""
    drawn = []
    for entry in typed:
        piece = OutlinePiece(design_size=row, **asdict(entry))
        if sentence := outline_sentence(piece):
            if not form.errors:
                form.add_error(None, sentence)
        else:
            drawn.append(piece)
    return drawn


def _drawn_pieces(pieces: tuple[GownPiece, ...]) -> dict[str, object]:
    return {"need_pieces": pieces, "pieces": pieces_drawing(pieces) if pieces else None}
