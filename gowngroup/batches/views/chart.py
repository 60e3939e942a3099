"""The smocking chart of a kit on the screen, whole and row by row."""

from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from gowngroup.batches import actions, queries
from gowngroup.batches.models import Kit
from gowngroup.batches.planner.chart_rows import ChartGuide, chart_guide
from gowngroup.catalog.drawing import row_chart
from gowngroup.people.guards import page, person_of
from gowngroup.people.queries import reader_for
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import posted_key, refused
from gowngroup.records.reader import current_reader

HANDS = {"left": True, "right": False}


@page("volunteer", "packer", "inspector", methods=("GET",))
def kit_chart(request: HttpRequest, code: str) -> HttpResponse:
    kit = queries.kit_to_follow(person_of(request), code)
    context = _shown(request, kit)
    guide: ChartGuide | None = context["guide"]  # type: ignore[assignment]
    if guide is None:
        return render(request, "batches/kit_chart_none.html", context, status=404)
    done: list[int] = context["done"]  # type: ignore[assignment]
    left = [row for row in guide.rows if row.number not in done]
    context |= {
        "drawing": row_chart(guide.compiled),
        "next_row": left[0] if left else None,
        "has_wrong_side": any(row.is_back_smocking for row in guide.rows),
    }
    return render(request, "batches/kit_chart.html", context)


@page("volunteer", "packer", "inspector", methods=("GET",))
def kit_chart_row(request: HttpRequest, code: str, number: int) -> HttpResponse:
    kit = queries.kit_to_follow(person_of(request), code)
    context = _shown(request, kit)
    guide: ChartGuide | None = context["guide"]  # type: ignore[assignment]
    row = guide.row(number) if guide is not None else None
    if guide is None or row is None:
        raise Http404
    done: list[int] = context["done"]  # type: ignore[assignment]
    context |= {
        "row": row,
        "before": guide.row(number - 1),
        "after": guide.row(number + 1),
        "is_done": number in done,
        "last_done": guide.row(done[-1]) if done else None,
        "drawing": row_chart(guide.compiled, number=number, done=done),
    }
    return render(request, "batches/kit_chart_row.html", context)


def _shown(request: HttpRequest, kit: Kit) -> dict[str, object]:
    """The chart for whoever sews it, what she has sewn of it, and what its links carry along."""
    reader = reader_for(kit.holder) if kit.holder is not None else current_reader()
    hand = request.GET.get("hand", "")
    is_left_handed = HANDS.get(hand, reader.is_left_handed)
    gown_number = _gown_number(request.GET.get("gown", ""), kit)
    return {
        "kit": kit,
        "guide": chart_guide(kit, is_left_handed=is_left_handed),
        "done": queries.rows_done(kit, gown_number=gown_number),
        "is_hers": kit.holder_id == person_of(request).pk,
        "gown_number": gown_number,
        "gown_numbers": range(1, kit.gown_count + 1),
        "hand": hand if hand in HANDS else "",
        "other_hand": "right" if is_left_handed else "left",
        "query": _query(gown_number, hand),
    }


def _gown_number(typed: str, kit: Kit) -> int:
    """Which of the kit's gowns; the first where what was typed is none of them."""
    known = {str(number): number for number in range(1, kit.gown_count + 1)}
    return known.get(typed, 1)


def _query(gown_number: int, hand: str) -> str:
    said = {"gown": gown_number if gown_number > 1 else "", "hand": hand if hand in HANDS else ""}
    query = urlencode({name: value for name, value in said.items() if value})
    return f"?{query}" if query else ""


@page("volunteer", methods=("POST",))
def kit_row_done(request: HttpRequest, code: str, number: int) -> HttpResponse:
    person = person_of(request)
    kit = queries.kit_to_follow(person, code)
    gown_number = _gown_number(request.POST.get("gown", ""), kit)
    is_done = request.POST.get("is_done") != "no"
    act = actions.finish_row if is_done else actions.reopen_row
    try:
        act(
            kit=kit,
            row_number=number,
            gown_number=gown_number,
            by=person,
            at=timezone.now(),
            request_key=posted_key(request),
        )
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:kit_chart", args=[kit.code]))
    query = _query(gown_number, request.POST.get("hand", ""))
    if not is_done:
        return redirect(reverse("batches:kit_chart_row", args=[kit.code, number]) + query)
    return redirect(_onward(kit, number, gown_number=gown_number) + query)


def _onward(kit: Kit, number: int, *, gown_number: int) -> str:
    """The page of the next row that is not sewn, or the whole chart once all are."""
    done = queries.rows_done(kit, gown_number=gown_number)
    chart = kit.design_revision.chart
    row_count = chart.rows.count() if chart is not None else 0
    left = [each for each in range(1, row_count + 1) if each not in done]
    if not left:
        return reverse("batches:kit_chart", args=[kit.code])
    following = next((each for each in left if each > number), left[0])
    return reverse("batches:kit_chart_row", args=[kit.code, following])
