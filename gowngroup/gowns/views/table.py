"""At the table: kits taken back one after the other, and the list of a meeting, printed and typed in after."""

from collections.abc import Callable
from datetime import datetime, timedelta
from functools import partial

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.batches.actions import KitMovedOn, MoreThanMade, undo_hand_on
from gowngroup.batches.models import HandOver, Kit, KitReturn
from gowngroup.batches.queries import finish_values, handed_on_since
from gowngroup.gowns import queries
from gowngroup.gowns.actions import BackRow, OutRow, book_back, enter_table_list, undo_take_back
from gowngroup.gowns.forms.table import BackRowForm, OutRowForm, ScanBackForm, rows_to_fill
from gowngroup.people.guards import page, person_of
from gowngroup.people.models import Person
from gowngroup.records.errors import Refusal
from gowngroup.records.fields import ActionForm
from gowngroup.records.pages import attempt, posted_key, refused, status_of

LAST_SHOWN = 8
MEETING = timedelta(hours=12)
OUT_ROW_COUNT = 8
COUNTED = "counted"  # in the address after an undo: she goes on as she had ticked
AT_THE_TABLE = ("coordinator", "inspector", "packer")


class _CountFirst(Refusal):
    """Nobody has said yet that the needles and pins are counted."""


@page(*AT_THE_TABLE)
def table_back(request: HttpRequest) -> HttpResponse:
    by = person_of(request)
    form = ScanBackForm(request.POST or None)
    kit, word = _take_back(form, by) if request.method == "POST" else (None, "")
    is_counted = bool(request.POST.get("is_counted") or request.GET.get(COUNTED))
    context = {
        "form": ScanBackForm(),
        "is_counted": is_counted,
        "query": _query(is_counted=is_counted),
        "errors": [error for errors in form.errors.values() for error in errors],
        "typed": request.POST.get("code", "")[:40],
        "asked": form.cleaned_data.get("code") if form.is_bound else None,
        "kit": kit,
        "word": word,
        "last": _last_shown(),
    }
    return render(request, "gowns/table_back.html", context, status=status_of(form))


def _query(*, is_counted: bool) -> str:
    """The end of an address by which a tick lasts over an undo."""
    return f"?{COUNTED}=yes" if is_counted else ""


def _last() -> QuerySet[KitReturn]:
    """What came back at this meeting, which can be undone."""
    return queries.returns_since(timezone.now() - MEETING)


def _stages_done() -> QuerySet[HandOver]:
    """The stages done at this meeting that can be undone."""
    return handed_on_since(timezone.now() - MEETING)


def _last_shown() -> list[KitReturn | HandOver]:
    """Gowns and stages that came back last, whichever was later first."""
    found: list[KitReturn | HandOver] = [*_last()[:LAST_SHOWN], *_stages_done()[:LAST_SHOWN]]
    return sorted(found, key=_came_back_at, reverse=True)[:LAST_SHOWN]


def _came_back_at(each: KitReturn | HandOver) -> datetime:
    return each.returned_at if isinstance(each, KitReturn) else each.done_at


def _take_back(form: ScanBackForm, by: Person) -> tuple[Kit | None, str]:
    """The kit, if it was booked back, and the big word that says how it went."""
    if not form.is_valid():
        return None, _("Unknown code") if form.has_error("code", "unknown") else _("Not done")
    refusals: list[Refusal] = []
    kit: Kit = form.cleaned_data["code"]
    before = kit.state

    def run() -> Kit:
        try:
            return _book(kit, form, by)
        except Refusal as refusal:
            refusals.append(refusal)
            raise

    done = attempt(form, run)
    if done is not None:
        return done, _("Done")
    if isinstance(refusals[0], _CountFirst):
        return None, _("Count first")
    is_back = before == Kit.State.RETURNED and isinstance(refusals[0], KitMovedOn | MoreThanMade)
    return None, _("Back already") if is_back else _("Not done")


def _book(kit: Kit, form: ScanBackForm, by: Person) -> Kit:
    said = finish_values(kit)
    if kit.state == Kit.State.CLAIMED and not form.cleaned_data["is_counted"]:
        raise _CountFirst(_("Count its needles and pins, tick that you do, and scan it again."))
    return book_back(
        kit=kit,
        gown_count=int(str(said.get("gown_count") or kit.open_count)),
        are_needles_counted=True,
        duration_min=said.get("duration_min"),  # type: ignore[arg-type] # as the model holds it
        remarks=str(said.get("remarks") or ""),
        by=by,
        at=timezone.now(),
        request_key=form.cleaned_data["request_key"],
    )


@page(*AT_THE_TABLE, methods=("POST",))
def table_back_undo(request: HttpRequest, pk: int) -> HttpResponse:
    back = _last().filter(pk=pk).first()
    return _undone(request, partial(undo_take_back, back=back) if back else None)


@page(*AT_THE_TABLE, methods=("POST",))
def table_stage_undo(request: HttpRequest, pk: int) -> HttpResponse:
    hand_over = _stages_done().filter(pk=pk).first()
    return _undone(request, partial(undo_hand_on, hand_over=hand_over) if hand_over else None)


def _undone(request: HttpRequest, undo: Callable[..., Kit] | None) -> HttpResponse:
    """The list after it; pressed twice, or too late, it shows how things stand."""
    back = reverse("gowns:table_back") + _query(is_counted=COUNTED in request.GET)
    if undo is None:
        messages.info(request, _("There is nothing to undo here any more; the list shows how it stands."))
        return redirect(back)
    try:
        undo(by=person_of(request), at=timezone.now(), request_key=posted_key(request))
    except Refusal as refusal:
        return refused(request, refusal, back=back)
    messages.success(request, _("Undone: she has the kit again."))
    return redirect(back)


@page(*AT_THE_TABLE, methods=("GET",))
def table_list(request: HttpRequest) -> HttpResponse:
    context = {
        "kits": queries.kits_on_the_list(),
        "waiting": queries.kits_to_hand_out(),
        "today": timezone.localdate(),
        "blank_rows": range(OUT_ROW_COUNT),
    }
    return render(request, "gowns/table_list.html", context)


@page("coordinator", "packer")
def table_entry(request: HttpRequest) -> HttpResponse:
    sent = request.POST if request.method == "POST" else None
    whole = ActionForm(sent)
    back = [BackRowForm(sent, kit=kit) for kit in queries.kits_on_the_list()]
    out = rows_to_fill(sent, count=OUT_ROW_COUNT)
    if sent is not None:
        is_right = [form.is_valid() for form in (whole, *back, *out)]
        if all(is_right) and _enter(whole, back, out, request):
            messages.success(request, _("Everything on the list has been entered."))
            return redirect("gowns:table_list")
        if not all(is_right):
            whole.add_error(None, _("Nothing has been entered yet: please look at the rows marked below."))
    context = {"form": whole, "back": back, "out": out}
    return render(request, "gowns/table_entry.html", context, status=status_of(whole))


def _enter(whole: ActionForm, back: list[BackRowForm], out: list[OutRowForm], request: HttpRequest) -> bool:
    back_rows: list[BackRow] = [row for row in (form.row() for form in back) if row]
    out_rows: list[OutRow] = [row for row in (form.row() for form in out) if row]

    def run() -> bool:
        enter_table_list(
            back=back_rows,
            out=out_rows,
            by=person_of(request),
            at=timezone.now(),
            request_key=posted_key(request),
        )
        return True

    return bool(attempt(whole, run))
