"""The first page after signing in, and whether the site is well."""

from collections.abc import Callable, Mapping
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
from gowngroup.batches.queries.batches import batch_by_id
from gowngroup.batches.queries.calls import open_calls
from gowngroup.batches.queries.claims import kits_at_home, kits_out, waiting_kits, with_card
from gowngroup.home import queries
from gowngroup.home.tasks import tasks_for, tasks_of_calls
from gowngroup.people.guards import EVERYONE, VISITOR, page, person_of
from gowngroup.people.models import Person, Role
from gowngroup.people.queries import roles_of
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import posted_key, refused

LATE_SHOWN_COUNT = 5


Part = Callable[[Person, date], dict[str, object]]


@page(*EVERYONE, methods=("GET",))
def home(request: HttpRequest) -> HttpResponse:
    person, today = person_of(request), timezone.localdate()
    roles = roles_of(person)
    context: dict[str, object] = {
        "today": today,
        "month": today.replace(day=1),
        "only_sews": roles <= {Role.VOLUNTEER},
    }
    for role, part in PARTS:
        if roles & role:
            context |= part(person, today)
    context |= _calls_part(person, context)
    return render(request, "home/home.html", context)


def _work_part(person: Person, today: date) -> dict[str, object]:
    return {"has_work": True, "tasks": tasks_for(roles_of(person), queries.work(today=today))}


def _calls_part(person: Person, context: Mapping[str, Any]) -> dict[str, object]:
    """Who calls for help comes before everything else, also for somebody who only sews and was named to help."""
    asked = tasks_of_calls(open_calls(person).count())
    if not asked:
        return {}
    return {"has_work": True, "only_sews": False, "tasks": [*asked, *context.get("tasks", ())]}


def _drivers_part(person: Person, today: date) -> dict[str, object]:
    return {"is_driving": True, "drop_offs": queries.drop_offs_of(person)}


def _coordinators_part(person: Person, today: date) -> dict[str, object]:
    month = today.replace(day=1)
    return {
        "is_coordinating": True,
        "batches": queries.batches_of(month),
        "rows": queries.month_rows(month=month),
        "late_kits": kits_out(today=today)[:LATE_SHOWN_COUNT],
        "paused_wards": queries.paused_wards(today=today),
    }


def _volunteers_part(person: Person, today: date) -> dict[str, object]:
    return {
        "is_sewing": True,
        "my_kits": with_card(kits_at_home(person)),
        "waiting_count": waiting_kits(person).count(),
    }


PARTS: tuple[tuple[frozenset[str], Part], ...] = (
    (frozenset({"coordinator", "packer", "inspector"}), _work_part),
    (frozenset({"driver"}), _drivers_part),
    (frozenset({"coordinator"}), _coordinators_part),
    (frozenset({"volunteer"}), _volunteers_part),
)


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
        return HttpResponse("the database does not answer", status=503, content_type="text/plain")
    return HttpResponse("ok", content_type="text/plain")
