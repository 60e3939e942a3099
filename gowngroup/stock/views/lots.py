"""Counting, washing, opening and moving one lot."""

from collections.abc import Callable

from django.contrib import messages
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.people.guards import page, person_of
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import attempt, form_page, posted_key, refused
from gowngroup.stock.actions import (
    add_flaw,
    issue_free,
    mark_washed,
    measure_lot,
    move_lot,
    open_package,
    remove_flaw,
    return_amount,
    take_stock,
)
from gowngroup.stock.forms.lots import CountForm, FlawForm, MeasureForm, MoveForm, TakeForm
from gowngroup.stock.models import Lot
from gowngroup.stock.queries import lot_by_code


def _form_of_lot(
    request: HttpRequest,
    lot: Lot,
    form: BaseForm,
    run: Callable[..., object],
    *,
    words: dict[str, str],
    template: str = "stock/lot_form.html",
) -> HttpResponse:
    """Show a form about a lot, or run its action and go back to the lot; `words` word the page."""
    if (
        form.is_valid()
        and attempt(form, lambda: run(lot=lot, by=person_of(request), at=timezone.now(), **form.cleaned_data))
        is not None
    ):
        messages.success(request, words["done"])
        return redirect("stock:lot_page", lot.code)
    return form_page(request, template, form, lot=lot, **words)


def _posted(request: HttpRequest) -> object:
    return request.POST if request.method == "POST" else None


@page("coordinator", "packer")
def lot_count(request: HttpRequest, code: str) -> HttpResponse:
    lot = lot_by_code(code)
    words = {
        "title": _("Count this lot"),
        "lead": _("Say what is really there. The difference is booked with your reason."),
        "button": _("Book what I found"),
        "done": _("What you found is booked."),
    }
    return _form_of_lot(request, lot, CountForm(lot, _posted(request)), take_stock, words=words)


@page("coordinator", "packer")
def lot_measure(request: HttpRequest, code: str) -> HttpResponse:
    lot = lot_by_code(code)
    words = {
        "title": _("Washed and measured"),
        "lead": _(
            "Wash and dry it at the highest temperature a ward uses, press it, square the ends, then measure again. Only then can it be cut."
        ),
        "button": _("It is washed, and this is its size"),
        "done": _("Washed and measured: it can be cut now."),
    }
    return _form_of_lot(request, lot, MeasureForm(lot, _posted(request)), measure_lot, words=words)


@page("coordinator", "packer")
def lot_take(request: HttpRequest, code: str) -> HttpResponse:
    lot = lot_by_code(code)
    words = {
        "title": _("Take some off the shelf"),
        "lead": _(
            "For kits this happens by itself. Use this for a test square, a gift, or cloth that is spoilt."
        ),
        "button": _("Take it off"),
        "done": _("It is off the shelf."),
    }
    return _form_of_lot(request, lot, TakeForm(lot, _posted(request)), issue_free, words=words)


@page("coordinator", "packer")
def lot_put_back(request: HttpRequest, code: str) -> HttpResponse:
    lot = lot_by_code(code)
    words = {
        "title": _("Put left-overs back"),
        "lead": _("What came back from a kit or a trial."),
        "button": _("Put it back"),
        "done": _("It is back on the shelf."),
    }
    return _form_of_lot(request, lot, TakeForm(lot, _posted(request)), return_amount, words=words)


@page("coordinator", "packer")
def lot_move(request: HttpRequest, code: str) -> HttpResponse:
    lot = lot_by_code(code)
    form = MoveForm(_posted(request), initial={"place": lot.place, "donor": lot.donor_id})
    words = {
        "title": _("Where it lies, who gave it"),
        "lead": "",
        "button": _("Keep this"),
        "done": _("Noted."),
    }
    return _form_of_lot(request, lot, form, move_lot, words=words)


@page("coordinator", "packer")
def lot_flaws(request: HttpRequest, code: str) -> HttpResponse:
    lot = lot_by_code(code)
    words = {"done": _("The flaw is marked; no piece will be laid over it.")}
    return _form_of_lot(
        request, lot, FlawForm(lot, _posted(request)), add_flaw, words=words, template="stock/lot_flaws.html"
    )


def _press(request: HttpRequest, lot: Lot, run: Callable[[], Lot], done: str) -> HttpResponse:
    try:
        after = run()
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("stock:lot_page", args=[lot.code]))
    messages.success(request, done)
    return redirect("stock:lot_page", after.code)


@page("coordinator", "packer", methods=("POST",))
def lot_flaw_remove(request: HttpRequest, code: str, from_um: int, to_um: int) -> HttpResponse:
    lot = lot_by_code(code)
    return _press(
        request,
        lot,
        lambda: remove_flaw(
            lot=lot,
            from_um=from_um,
            to_um=to_um,
            by=person_of(request),
            at=timezone.now(),
            request_key=posted_key(request),
        ),
        _("The mark is gone."),
    )


@page("coordinator", "packer", methods=("POST",))
def lot_washed(request: HttpRequest, code: str) -> HttpResponse:
    lot = lot_by_code(code)
    return _press(
        request,
        lot,
        lambda: mark_washed(
            lot=lot, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
        ),
        _("Washed. Measure it again before it is cut."),
    )


@page("coordinator", "packer", methods=("POST",))
def lot_open(request: HttpRequest, code: str) -> HttpResponse:
    lot = lot_by_code(code)
    return _press(
        request,
        lot,
        lambda: open_package(
            lot=lot, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
        ),
        _("One package is open: this is its own lot now."),
    )
