"""The first page after signing in, and whether the site is well."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.contrib import messages
from django.db import DatabaseError, connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.batches.actions import propose_batch
from gowngroup.batches.planner.drawings import drawings
from gowngroup.batches.queries.batches import OPEN_STATES, batch_by_id
from gowngroup.batches.queries.claims import kits_out
from gowngroup.home import queries
from gowngroup.home.sentences import drive_load, drive_step, hand_over_sentence, kit_step, thanks_sentences
from gowngroup.home.tasks import first_steps, kinds_for, tasks_for
from gowngroup.people.guards import EVERYONE, VISITOR, page, person_of
from gowngroup.people.models import Person, Role
from gowngroup.people.queries import roles_of, the_group
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import posted_key, refused

LATE_SHOWN_COUNT = 5
FOR_SEWERS = ("kits_waiting", "kits_that_suit")
TO_BEGIN_WITH = ("group_told", "designs", "wards", "materials", "volunteers")


@page(*EVERYONE, methods=("GET",))
def home(request: HttpRequest) -> HttpResponse:
    person, today = person_of(request), timezone.localdate()
    roles = roles_of(person)
    is_coordinating, is_sewing = Role.COORDINATOR in roles, Role.VOLUNTEER in roles
    kinds = [
        *kinds_for(roles),
        *(TO_BEGIN_WITH if is_coordinating else ()),
        *(FOR_SEWERS if is_sewing else ()),
    ]
    waiting = queries.waiting(kinds, person=person, today=today)
    month = _coordinators_part(today) if is_coordinating else {}
    waiting |= _short(month, waiting)
    is_checking = roles & {Role.COORDINATOR, Role.INSPECTOR}
    context: dict[str, object] = {
        "today": today,
        "tasks": tasks_for(roles, waiting, queries.gowns_by_stage() if is_checking else {}),
        "only_sews": roles <= {Role.VOLUNTEER},
        "first_steps": first_steps(waiting) if is_coordinating else [],
        **month,
        **(_drivers_part(person, today) if Role.DRIVER in roles else {}),
        **(_volunteers_part(person, today, waiting) if is_sewing else {}),
    }
    return render(request, "home/home.html", context)


def _coordinators_part(today: date) -> dict[str, Any]:
    month = today.replace(day=1)
    return {
        "is_coordinating": True,
        "month": month,
        "batches": list(queries.batches_of(month)),
        "rows": queries.month_rows(month=month),
        "late_kits": kits_out(today=today)[:LATE_SHOWN_COUNT],
        "paused_wards": queries.paused_wards(today=today),
    }


def _short(month: Mapping[str, Any], waiting: Mapping[str, queries.Waiting]) -> dict[str, queries.Waiting]:
    """The gowns nobody makes yet, and the batch they can still be put into: the month's, or one being put together."""
    count = sum(row.short for row in month.get("rows", ()))
    is_open = (batch.pk for batch in month.get("batches", ()) if batch.state in OPEN_STATES)
    proposed = waiting["batches_proposed"].first if "batches_proposed" in waiting else None
    return {"gowns_short": queries.Waiting(count=count, first=next(is_open, proposed))}


def _drivers_part(person: Person, today: date) -> dict[str, object]:
    drives = [
        {
            "drop_off": drop_off,
            "load": drive_load(drop_off.gown_count, drop_off.box_count),
            "step": drive_step(drop_off, today=today),
            "is_on_the_way": drop_off.state == drop_off.State.ON_THE_WAY,
        }
        for drop_off in queries.drop_offs_of(person)
    ]
    return {"is_driving": True, "drives": drives}


def _volunteers_part(
    person: Person, today: date, waiting: Mapping[str, queries.Waiting]
) -> dict[str, object]:
    group, kits = the_group(), list(queries.kits_of(person))
    bundles = {kit.matched_set_id or f"kit {kit.pk}" for kit in kits}
    return {
        "is_sewing": True,
        "my_kits": [(kit, kit_step(kit, today=today, place=group.pick_up_place)) for kit in kits],
        "drawings": drawings(kits),
        "can_claim": len(bundles) < group.claim_limit_count,
        "waiting_count": waiting["kits_waiting"].count,
        "suiting_count": waiting["kits_that_suit"].count,
        "handed_on": [
            hand_over_sentence(each) for each in queries.hand_overs_from(person, now=timezone.now())
        ],
        "thanks": thanks_sentences(queries.thanks_to(person)),
    }


@page("coordinator", methods=("POST",))
def batch_propose(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_by_id(pk)
    try:
        propose_batch(
            batch=batch,
            there=queries.gowns_there(month=batch.month),
            by=person_of(request),
            at=timezone.now(),
            request_key=posted_key(request),
        )
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:batch_page", args=[pk]))
    messages.success(request, _("This is the proposal. Every number in it may be changed."))
    return redirect("batches:batch_page", pk)


@page(*VISITOR, methods=("GET",))
def healthz(request: HttpRequest) -> HttpResponse:
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        return HttpResponse(
            "the database does not answer", status=503, content_type="text/plain; charset=utf-8"
        )
    return HttpResponse("ok", content_type="text/plain; charset=utf-8")
