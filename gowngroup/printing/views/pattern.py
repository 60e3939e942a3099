"""The full-size pattern: tiled over pages, as one large page, and as an SVG."""

from collections.abc import Callable
from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext as _

from gowngroup.batches.planner.snapshots import kit_snapshot
from gowngroup.catalog.models import DesignSize, Purpose
from gowngroup.catalog.planner import GownNeed, gown_need
from gowngroup.people.guards import page, person_of
from gowngroup.people.queries import the_group
from gowngroup.printing import queries, words
from gowngroup.printing.letters import missing_sentence
from gowngroup.printing.planner.pattern import (
    LARGE_MM,
    PAPERS,
    USUAL_MM,
    Pattern,
    empty_words,
    header_mm,
    heading,
    large_page,
    line_key,
    page_size_mm,
    paper_named,
    pattern_of,
    tile_map,
    tiled_pattern,
)
from gowngroup.printing.views.answers import pdf_answer
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import refused
from gowngroup.records.reader import current_reader

TEMPLATE, SHEET_TEMPLATE, SVG_TEMPLATE = (
    "printing/pattern.html",
    "printing/pattern_sheet.html",
    "printing/pattern.svg",
)
Context = dict[str, object]
HARD_SPACE = "\u00a0"
MAP_HEIGHT_MM, LARGE_MAP_HEIGHT_MM, KEY_WIDTH_MM = 122.0, 102.0, 66.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """Whose pattern is asked for, and the question as it was put."""

    design_size: DesignSize
    purpose: str
    kit_code: str

    @property
    def query(self) -> str:
        """The question without the paper."""
        return urlencode({"for": self.purpose} | ({"kit": self.kit_code} if self.kit_code else {}))

    @property
    def back(self) -> str:
        """The page of the size, or of the kit it was asked for from."""
        if self.kit_code:
            return reverse("batches:kit_page", args=[self.kit_code])
        row = self.design_size
        return f"{reverse('catalog:design_size_page', args=[row.revision.design_id, row.size_id])}?for={self.purpose}"


@page("packer", methods=("GET",))
def pattern(request: HttpRequest, pk: int, size_pk: int) -> HttpResponse:
    asked = _asked(request, pk, size_pk)
    return _answered(request, asked, _tiled_context, lambda context: render(request, TEMPLATE, context))


@page("packer", methods=("GET",))
def pattern_pdf(request: HttpRequest, pk: int, size_pk: int) -> HttpResponse:
    def made(context: Context) -> HttpResponse:
        return _pdf(request, TEMPLATE, context, filename=f"pattern-{context['paper']}.pdf")

    return _answered(request, _asked(request, pk, size_pk), _tiled_context, made)


@page("packer", methods=("GET",))
def pattern_sheet_pdf(request: HttpRequest, pk: int, size_pk: int) -> HttpResponse:
    def made(context: Context) -> HttpResponse:
        return _pdf(request, SHEET_TEMPLATE, context, filename="pattern-one-page.pdf")

    return _answered(request, _asked(request, pk, size_pk), _sheet_pdf_context, made)


@page("packer", methods=("GET",))
def pattern_svg(request: HttpRequest, pk: int, size_pk: int) -> HttpResponse:
    return _answered(request, _asked(request, pk, size_pk), _sheet_context, _svg)


def _svg(context: Context) -> HttpResponse:
    response = HttpResponse(render_to_string(SVG_TEMPLATE, context), content_type="image/svg+xml")
    response["Content-Disposition"] = 'attachment; filename="pattern.svg"'
    response["Cache-Control"] = "private, no-store"
    return response


def _answered(
    request: HttpRequest,
    asked: _Asked,
    context_of: Callable[[HttpRequest, _Asked], Context],
    made: Callable[[Context], HttpResponse],
) -> HttpResponse:
    try:
        context = context_of(request, asked)
    except Refusal as refusal:
        return refused(request, refusal, back=asked.back)
    return made(context)


def _pdf(request: HttpRequest, template: str, context: Context, *, filename: str) -> HttpResponse:
    return pdf_answer(request, template, context, filename=filename, page=str(context["page_url"]))


def _asked(request: HttpRequest, pk: int, size_pk: int) -> _Asked:
    row = queries.design_size_to_print(pk, size_pk)
    made_for = row.revision.purposes()
    if not made_for:
        raise Http404
    wanted = request.GET.get("for", Purpose.WORN.value)
    return _Asked(
        design_size=row,
        purpose=wanted if wanted in made_for else made_for[0],
        kit_code=request.GET.get("kit", "").replace("\0", "")[:12],
    )


def _pattern(request: HttpRequest, asked: _Asked) -> Pattern:
    size, reader = asked.design_size.size, current_reader()
    return pattern_of(
        _need(request, asked),
        design_size=asked.design_size,
        purpose=asked.purpose,
        size=f"{words.size_as_length(size.body_length_um)} ({size.band.replace(' ', HARD_SPACE)})",
        type_mm=LARGE_MM if reader.has_large_print else USUAL_MM,
    )


def _need(request: HttpRequest, asked: _Asked) -> GownNeed:
    """The pieces of the kit's own plan where a kit is asked for, else as they are worked out today."""
    row = asked.design_size
    if not asked.kit_code:
        return gown_need(revision=row.revision, size=row.size, purpose=asked.purpose)
    kit = queries.kit_to_print(person_of(request), asked.kit_code)
    if (kit.design_revision_id, kit.size_id, kit.purpose) != (row.revision_id, row.size_id, asked.purpose):
        raise Http404
    snapshot = kit_snapshot(kit)
    if snapshot is None:
        raise Refusal(
            _(
                "The plan this kit was cut from cannot be read, so there is no pattern of it. Please ask the coordinator."
            )
        )
    return snapshot.need


def _tiled_context(request: HttpRequest, asked: _Asked) -> Context:
    reader = current_reader()
    paper = paper_named(request.GET.get("paper") or reader.paper_size)
    tiled = tiled_pattern(_pattern(request, asked), paper, has_large_print=reader.has_large_print)
    return _context(asked) | {
        "pattern": tiled.pattern,
        "tiled": tiled,
        "rows": [(piece, tiled.tiles_of(piece)) for piece in tiled.pattern.pieces],
        "map": tile_map(
            tiled,
            width_mm=paper.text_width_mm - KEY_WIDTH_MM,
            height_mm=LARGE_MAP_HEIGHT_MM if reader.has_large_print else MAP_HEIGHT_MM,
        ),
        "empty": empty_words(tiled),
        "paper": paper.name,
        "other_papers": [other.name for other in PAPERS if other != paper],
        "cautions": words.cautions(),
        "key": line_key(tiled.pattern),
        "heading": heading(tiled.pattern, paper),
    }


def _sheet_context(request: HttpRequest, asked: _Asked, pattern: Pattern | None = None) -> Context:
    drawn = large_page(pattern or _pattern(request, asked))
    heading = f"{drawn.pattern.design}, {drawn.pattern.size} "
    head_mm = header_mm(heading, drawn, drawn.pattern.type_mm * 2)
    width_mm, height_mm = page_size_mm(drawn, head_mm)
    return _context(asked) | {
        "pattern": drawn.pattern,
        "page": drawn,
        "page_width_mm": width_mm,
        "page_height_mm": height_mm,
    }


def _sheet_pdf_context(request: HttpRequest, asked: _Asked) -> Context:
    """Refused where letters would print as empty boxes: a page of true size has no room for a warning."""
    pattern = _pattern(request, asked)
    words_on_it = (str(the_group()), pattern.design, *(piece.name for piece in pattern.pieces))
    if sentence := missing_sentence(" ".join(words_on_it)):
        raise Refusal(sentence)
    return _sheet_context(request, asked, pattern)


def _context(asked: _Asked) -> Context:
    row = asked.design_size
    return {
        "page_url": f"{reverse('printing:pattern', args=[row.revision_id, row.size_id])}?{asked.query}",
        "design_size": row,
        "purpose": asked.purpose,
        "kit_code": asked.kit_code,
        "back": asked.back,
        "query": asked.query,
        "group": the_group(),
        "reader": current_reader(),
    }
