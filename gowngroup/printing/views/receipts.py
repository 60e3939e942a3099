"""The delivery receipt: shown, printed to be signed, and put on file once it is signed."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.deliveries import actions
from gowngroup.deliveries.models import DropOff
from gowngroup.deliveries.queries import newest_receipt_file
from gowngroup.people.guards import page, person_of
from gowngroup.people.queries import the_group
from gowngroup.printing import queries
from gowngroup.printing.drop_off_queries import filed_receipt
from gowngroup.printing.pdf import FOR_THE_FILE, render_pdf
from gowngroup.printing.planner import NoReceiptYet, mark_of, receipt_pages, signed_receipt
from gowngroup.printing.sheet_reader import outside_reader
from gowngroup.printing.views.answers import not_now, pdf_answer, pdf_response
from gowngroup.records.errors import NotNow, Refusal
from gowngroup.records.pages import posted_key, refused
from gowngroup.records.reader import current_reader, reading_as

WHO = ("driver", "inspector", "packer")


@page(*WHO, methods=("GET",))
def receipt(request: HttpRequest, pk: int) -> HttpResponse:
    drop_off = queries.drop_off_to_print(person_of(request), pk)
    try:
        context = _context(drop_off)
    except NoReceiptYet as refusal:
        return refused(request, refusal, back=reverse("home:home"))
    files = drop_off.receipt_files.defer("content")
    with reading_as(outside_reader()):
        return render(request, "printing/receipt.html", {**context, "files": files})


@page(*WHO, methods=("GET",))
def receipt_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    try:
        context = _context(queries.drop_off_to_print(person_of(request), pk))
    except NoReceiptYet as refusal:
        return refused(request, refusal, back=reverse("home:home"))
    with reading_as(outside_reader()):
        return pdf_answer(
            request,
            "printing/receipt.html",
            context,
            filename=f"receipt-{pk}.pdf",
            page=reverse("printing:receipt", args=[pk]),
        )


@page(*WHO, methods=("POST",))
def receipt_print(request: HttpRequest, pk: int) -> HttpResponse:
    drop_off = queries.drop_off_to_print(person_of(request), pk)
    try:
        receipt_pages(drop_off)
        actions.print_receipt(
            drop_off=drop_off, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
        )
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("deliveries:drop_off_page", args=[pk]))
    return redirect("printing:receipt_pdf", pk)


@page(*WHO)
def receipt_file(request: HttpRequest, pk: int) -> HttpResponse:
    drop_off = queries.drop_off_to_print(person_of(request), pk)
    if request.method == "POST":
        return _put_on_file(request, drop_off)
    filed = filed_receipt(drop_off, request.GET.get("version", ""))
    if filed is None and "version" in request.GET:
        raise Http404
    if filed is None:
        messages.info(request, _("This receipt is not on file yet."))
        return redirect("deliveries:drop_off_page", pk)
    return pdf_response(bytes(filed.content), filename=f"receipt-{pk}-on-file-{filed.version}.pdf")


def _put_on_file(request: HttpRequest, drop_off: DropOff) -> HttpResponse:
    """Render outside of any transaction, and only what is not on file yet."""
    try:
        signed = signed_receipt(drop_off, group_name=the_group().name)
        newest = newest_receipt_file(drop_off)
        if newest is None or newest.data_sha256 != signed.data_sha256:
            actions.file_receipt(
                drop_off=drop_off,
                content=_file_content(drop_off),
                data_sha256=signed.data_sha256,
                by=person_of(request),
                at=timezone.now(),
                request_key=posted_key(request),
            )
    except NotNow as refusal:
        return not_now(request, refusal, page=reverse("printing:receipt", args=[drop_off.pk]))
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("deliveries:drop_off_page", args=[drop_off.pk]))
    return redirect("printing:receipt_file", drop_off.pk)


def _file_content(drop_off: DropOff) -> bytes:
    with reading_as(outside_reader()):
        signed = signed_receipt(drop_off, group_name=the_group().name)
        context = {
            "drop_off": drop_off,
            "pages": signed.pages,
            "signed": signed,
            "group": the_group(),
            "reader": current_reader(),
        }
        return render_pdf("printing/receipt_on_file.html", context, variant=FOR_THE_FILE)


def _context(drop_off: DropOff) -> dict[str, object]:
    receipt_pages(drop_off)  # refused in the words of whoever asks
    with reading_as(outside_reader()):
        return {
            "drop_off": drop_off,
            "pages": receipt_pages(drop_off),
            "mark": mark_of(drop_off, at=timezone.now()),
            "group": the_group(),
            "reader": current_reader(),
        }
