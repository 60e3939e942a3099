"""The kit sheet: shown as a page, made as a PDF, kept and served again as it was."""

import logging

from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone

from gowngroup.people.guards import EVERYONE, page, person_of
from gowngroup.people.models import Person
from gowngroup.printing import actions, children, queries
from gowngroup.printing.pdf import pdf_of
from gowngroup.printing.sheet_reader import kit_reader
from gowngroup.printing.sheets import TEMPLATE, WrittenSheet, sheet_context, written_sheet
from gowngroup.printing.views.answers import not_now, pdf_response
from gowngroup.records.errors import NotNow
from gowngroup.records.reader import reading_as

logger = logging.getLogger(__name__)


@page(*EVERYONE, methods=("GET",))
def kit_sheet(request: HttpRequest, code: str) -> HttpResponse:
    kit = queries.kit_to_print(person_of(request), code)
    children.warm_up()
    with reading_as(kit_reader(kit, hand=request.GET.get("hand", ""))):
        return render(request, TEMPLATE, sheet_context(kit))


@page(*EVERYONE, methods=("GET",))
def kit_sheet_pdf(request: HttpRequest, code: str) -> HttpResponse:
    kit = queries.kit_to_print(person_of(request), code)
    sheet = written_sheet(kit, hand=request.GET.get("hand", ""))
    kept = queries.kept_sheet(kit, sheet.data_sha256)
    try:
        content = bytes(kept.content) if kept else pdf_of(sheet.html)
    except NotNow as refusal:
        return not_now(request, refusal, page=reverse("printing:kit_sheet", args=[kit.code]))
    if kept is None or not queries.is_given_out(kept):
        content = _kept(sheet, content, person_of(request))
    return pdf_response(content, filename=f"kit-{kit.code}.pdf")


@page("coordinator", methods=("GET",))
def kit_sheet_kept_pdf(request: HttpRequest, code: str, version: int) -> HttpResponse:
    file = queries.sheet_version(code, version)
    return pdf_response(bytes(file.content), filename=f"kit-{file.kit.code}-version-{file.version}.pdf")


def _kept(sheet: WrittenSheet, content: bytes, person: Person) -> bytes:
    """The sheet as it is kept now; a disk that takes nothing more keeps nobody from her sheet."""
    at = timezone.now()
    try:
        kept = actions.keep_sheet(sheet=sheet, content=content, by=person, at=at)
        if kept is None:
            return content
        actions.note_given_out(files=[kept], by=person, at=at)
    except DatabaseError:
        logger.exception("a kit sheet could not be kept")
        return content
    return bytes(kept.content)
