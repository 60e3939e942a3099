"""Pages of those who cut and pack."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches import actions, queries
from gowngroup.batches.forms.kits import CutLayForm, EndKitForm, KitFilter
from gowngroup.batches.models import Kit, KitLine
from gowngroup.batches.planner.missing import BEING_PACKED, arrived
from gowngroup.batches.tasks import tell_waiting_list
from gowngroup.batches.views.claims import PER_PAGE, page_of
from gowngroup.people.guards import page, person_of
from gowngroup.records.codes import spaced
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import attempt, posted_key, refused, status_of
from gowngroup.records.paging import LongPaginator


@page("packer", "inspector", methods=("GET",))
def kit_list(request: HttpRequest) -> HttpResponse:
    form = KitFilter(request.GET)
    chosen = form.cleaned_data if form.is_valid() else {}
    found = queries.kits(search=chosen.get("search", ""), state=chosen.get("state", ""))
    page_obj = LongPaginator(found, PER_PAGE).get_page(request.GET.get("page"))
    context = {"page_obj": page_obj, "filter": form, "has_chosen": any(chosen.values())}
    return render(request, "batches/kit_list.html", context)


@page("packer", methods=("GET",))
def lay_list(request: HttpRequest) -> HttpResponse:
    return render(request, "batches/lay_list.html", {"page_obj": page_of(request, queries.lays_to_cut())})


@page("packer")
def lay_page(request: HttpRequest, pk: int) -> HttpResponse:
    lay = get_object_or_404(queries.lays_of_committed_plans(), pk=pk)
    form = CutLayForm(request.POST or None, lay=lay)
    if request.method == "POST" and form.is_valid():
        cut = attempt(
            form,
            lambda: actions.cut_lay(
                lay=lay,
                cut_length_um=form.cleaned_data["cut_length"],
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        if cut is not None:
            messages.success(request, _("The cloth has been booked off; the kits can be packed."))
            return redirect("batches:kits_to_pack")
    context = {"lay": lay, "form": form, "kits": queries.kits_of_lay(lay), "plan": lay.plan}
    return render(request, "batches/lay_page.html", context, status=status_of(form))


@page("packer", methods=("GET",))
def kits_to_pack(request: HttpRequest) -> HttpResponse:
    context = {
        "page_obj": page_of(request, queries.kits_to_pack()),
        "packed_count": queries.packed_kits().count(),
        "packed": queries.packed_kits()[:10],
        "arrived": arrived(),
    }
    return render(request, "batches/kits_to_pack.html", context)


@page("packer", methods=("GET",))
def kit_packing(request: HttpRequest, code: str) -> HttpResponse:
    kit = queries.kit_by_code(code)
    lines = list(queries.lines_of(kit))
    found = [each for each in arrived() if each.line.kit_id == kit.pk]
    context = {
        "kit": kit,
        "lines": lines,
        "open_count": sum(line.ticked_at is None for line in lines),
        "can_tick": kit.state in BEING_PACKED,
        "can_pack": kit.state == Kit.State.CUT,
        "can_offer": kit.state == Kit.State.PACKED,
        "arrived": found,
        "has_unbooked": kit.state in BEING_PACKED
        and not found
        and any(line.lot_id is None and line.kind != "sheet" for line in lines),
    }
    return render(request, "batches/kit_packing.html", context)


@page("packer", methods=("POST",))
def kits_put_by(request: HttpRequest) -> HttpResponse:
    by, key = person_of(request), posted_key(request)
    try:
        codes = actions.put_by_arrived(by=by, at=timezone.now(), request_key=key)
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:kits_to_pack"))
    told = ngettext("Put by for kit %(kits)s.", "Put by for kits %(kits)s.", len(codes))
    messages.success(request, told % {"kits": ", ".join(spaced(code) for code in codes)})
    return redirect("batches:kits_to_pack")


@page("packer", methods=("POST",))
def kit_line_tick(request: HttpRequest, pk: int) -> HttpResponse:
    line = get_object_or_404(KitLine.objects.select_related("kit"), pk=pk)
    act = actions.untick_line if request.POST.get("is_ticked") == "yes" else actions.tick_line
    back = reverse("batches:kit_packing", args=[line.kit.code])
    try:
        act(line=line, by=person_of(request), at=timezone.now(), request_key=posted_key(request))
    except Refusal as refusal:
        return refused(request, refusal, back=back)
    return redirect(back)


@page("packer", methods=("POST",))
def kit_pack(request: HttpRequest, code: str) -> HttpResponse:
    kit = queries.kit_by_code(code)
    try:
        actions.pack_kit(kit=kit, by=person_of(request), at=timezone.now(), request_key=posted_key(request))
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:kit_packing", args=[kit.code]))
    messages.success(request, _("The kit is packed."))
    return redirect("batches:kits_to_pack")


@page("packer", methods=("POST",))
def kit_offer(request: HttpRequest, code: str) -> HttpResponse:
    kit = queries.kit_by_code(code)
    try:
        actions.offer_kit(kit=kit, by=person_of(request), at=timezone.now(), request_key=posted_key(request))
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:kit_packing", args=[kit.code]))
    tell_waiting_list.enqueue()
    messages.success(request, _("The kit is waiting for somebody to sew it."))
    return redirect("batches:kits_to_pack")


@page("packer", methods=("POST",))
def kits_offer(request: HttpRequest) -> HttpResponse:
    actions.offer_packed_kits(by=person_of(request), at=timezone.now(), request_key=posted_key(request))
    tell_waiting_list.enqueue()
    messages.success(request, _("Every packed kit is now waiting for somebody to sew it."))
    return redirect("batches:kits_to_pack")


@page("packer")
def kit_end(request: HttpRequest, code: str) -> HttpResponse:
    kit = queries.kit_by_code(code)
    form = EndKitForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        act = actions.lose_kit if form.cleaned_data["end"] == "lost" else actions.write_off_kit
        ended = attempt(
            form,
            lambda: act(
                kit=kit,
                reason=form.cleaned_data["reason"],
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        if ended is not None:
            messages.success(request, _("That has been noted."))
            return redirect("batches:kit_page", kit.code)
    return render(request, "batches/kit_end.html", {"form": form, "kit": kit}, status=status_of(form))
