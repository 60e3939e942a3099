"""The kits one has at home: what comes next, finished, handed on, help wanted."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.batches import actions, queries
from gowngroup.batches.forms.sewing import FinishForm, HandOnForm, HelpForm, PartForm
from gowngroup.batches.models import Kit
from gowngroup.batches.planner.drawings import drawings
from gowngroup.batches.planner.next_step import handed_on, next_step
from gowngroup.batches.planner.stages import NEXT_STAGE
from gowngroup.batches.planner.waiting_words import not_waiting
from gowngroup.batches.tasks import tell_waiting_list
from gowngroup.batches.views.claims import page_of, taken_page
from gowngroup.people.guards import page, person_of
from gowngroup.people.models import Group, Person
from gowngroup.people.queries import has_role, the_group
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import attempt, form_page, posted_key, refused


@page("volunteer", methods=("GET",))
def my_kits(request: HttpRequest) -> HttpResponse:
    person, group = person_of(request), the_group()
    kits = list(queries.with_card(queries.kits_at_home(person)))
    context = {
        "kits": kits,
        "home": _at_home(kits, person, group),
        "drawings": drawings(kits),
        "page_obj": page_of(request, queries.finished_claims(person)),
    }
    return render(request, "batches/my_kits.html", context)


def _at_home(kits: list[Kit], person: Person, group: Group) -> dict[int, dict[str, Any]]:
    """What a holder's card says of each kit: what comes next, what she has said and asked."""
    today, calls = queries.day_of(timezone.now(), group), queries.calls_about(kits, person)
    finishes, rows_done = queries.finishes_of(kits), queries.rows_done_counts(kits)
    found = {}
    for kit in kits:
        hers, finish = [call for call in calls if call.kit_id == kit.pk], finishes.get(kit.pk)
        sentence = next_step(
            kit,
            is_finished=finish is not None,
            open_calls=[call for call in hers if call.answered_at is None],
            today=today,
            place=group.pick_up_place,
        )
        found[kit.pk] = {
            "next": sentence,
            "finish": finish,
            "calls": hers,
            "is_handed_on": kit.stage in NEXT_STAGE,
            "rows_done": rows_done.get(kit.pk, 0),
        }
    return found


@page("volunteer", "packer", "inspector", methods=("GET",))
def kit_page(request: HttpRequest, code: str) -> HttpResponse:
    person, group = person_of(request), the_group()
    try:
        kit = queries.kit_to_see(person, code)
    except Http404:
        late = queries.kit_no_longer_waiting(person, code) if has_role(person, "volunteer") else None
        if late is None:
            raise
        return taken_page(request, late, not_waiting(late, queries.waiting_kits(person).count()))
    is_staff, is_hers = has_role(person, *queries.STAFF), kit.holder_id == person.pk
    context = {
        "kit": kit,
        "drawings": drawings([kit]),
        "is_hers": is_hers,
        "is_staff": is_staff,
        "can_manage": has_role(person, "packer"),
        "can_print": is_hers or has_role(person, "packer"),
        **_room(person, group),
        "may_be_hers": queries.kits_to_take(person).filter(pk=kit.pk).exists(),
        "due_if_taken": queries.due_if_taken(group, timezone.now()),
        "lines": queries.lines_of(kit),
        "returns": kit.returns.select_related("person") if is_staff else kit.returns.none(),
        "claims": kit.claims.select_related("person") if is_staff else kit.claims.none(),
        "hand_overs": queries.hand_overs_of(kit) if is_staff else kit.hand_overs.none(),
        "calls": queries.calls_of(kit) if is_staff else [],
        "may_answer": set(queries.calls_for(person).filter(kit=kit).values_list("pk", flat=True))
        if is_staff
        else (),
        "home": _at_home([kit], person, group)[kit.pk] if is_hers else None,
        "is_handed_on": kit.stage in NEXT_STAGE,
    }
    return render(request, "batches/kit_page.html", context)


def _room(person: Person, group: Group) -> dict[str, object]:
    """How many kits she has at home, and whether she may take another one."""
    held_count, is_sewer = queries.bundle_count(person), has_role(person, "volunteer")
    is_full = held_count >= group.claim_limit_count
    return {
        "held_count": held_count,
        "is_full": is_sewer and is_full,
        "can_claim": is_sewer and not is_full,
    }


def _back_to(kit: Kit, person: Person, *, was_hers: bool = False) -> HttpResponse:
    """Her own kits, or the kit's page for who speaks for somebody else."""
    if was_hers or kit.holder_id == person.pk:
        return redirect("batches:my_kits")
    return redirect("batches:kit_page", kit.code)


def _thank(request: HttpRequest, kit: Kit, words: str) -> None:
    """Thank her whose kit it is; whoever has written it down for her reads that it is noted."""
    is_hers = kit.holder_id == person_of(request).pk
    messages.success(request, words if is_hers else _("Noted for %(name)s.") % {"name": kit.holder})


@page("volunteer", "packer", "inspector")
def kit_finish(request: HttpRequest, code: str) -> HttpResponse:
    person = person_of(request)
    kit = queries.kit_to_speak_of(person, code)
    if kit.stage in NEXT_STAGE:
        return redirect("batches:kit_hand_on", kit.code)
    is_hers, initial = kit.holder_id == person.pk, queries.finish_values(kit)
    form = FinishForm(request.POST or None, kit=kit, is_hers=is_hers, initial=initial)
    if request.method == "POST" and form.is_valid():
        said = attempt(
            form,
            lambda: actions.say_finished(kit=kit, by=person, at=timezone.now(), **form.cleaned_data),
        )
        if said is not None:
            _thank(request, kit, _("Thank you! Bring it in when it suits you."))
            return _back_to(kit, person)
    return form_page(request, "batches/kit_finish.html", form, kit=kit, is_hers=is_hers)


@page("volunteer", "packer", "inspector")
def kit_hand_on(request: HttpRequest, code: str) -> HttpResponse:
    person = person_of(request)
    kit = queries.kit_to_speak_of(person, code)
    if request.method == "GET" and kit.stage not in NEXT_STAGE:
        return redirect("batches:kit_finish", kit.code)
    is_hers = kit.holder_id == person.pk
    form = HandOnForm(request.POST or None, is_hers=is_hers)
    if request.method == "POST" and form.is_valid():
        done = attempt(
            form, lambda: actions.hand_on(kit=kit, by=person, at=timezone.now(), **form.cleaned_data)
        )
        if done is not None:
            tell_waiting_list.enqueue()
            messages.success(request, handed_on(form.name_for(person), group=the_group()))
            return _back_to(kit, person, was_hers=is_hers)
    return form_page(request, "batches/kit_hand_on.html", form, kit=kit, is_hers=is_hers)


@page("volunteer", "packer", "inspector")
def kit_help(request: HttpRequest, code: str) -> HttpResponse:
    person = person_of(request)
    kit = queries.kit_to_speak_of(person, code)
    is_hers = kit.holder_id == person.pk
    form = HelpForm(request.POST or None, is_hers=is_hers)
    if request.method == "POST" and form.is_valid():
        asked = attempt(
            form, lambda: actions.ask_for_help(kit=kit, by=person, at=timezone.now(), **form.cleaned_data)
        )
        if asked is not None:
            _thank(request, kit, _("Thank you for asking. Somebody will be in touch."))
            return _back_to(kit, person)
    return form_page(request, "batches/kit_help.html", form, kit=kit, is_hers=is_hers)


@page("volunteer", "packer", "inspector")
def kit_part(request: HttpRequest, code: str) -> HttpResponse:
    person = person_of(request)
    kit = queries.kit_to_speak_of(person, code)
    is_hers = kit.holder_id == person.pk
    form = PartForm(request.POST or None, kit=kit, is_hers=is_hers)
    if request.method == "POST" and form.is_valid():
        asked = attempt(
            form, lambda: actions.report_part(kit=kit, by=person, at=timezone.now(), **form.cleaned_data)
        )
        if asked is not None:
            _thank(request, kit, _("Thank you for telling us. We will see what the shelf has."))
            return _back_to(kit, person)
    return form_page(request, "batches/kit_part.html", form, kit=kit, is_hers=is_hers)


@page("volunteer", "packer", "inspector", methods=("POST",))
def kit_post(request: HttpRequest, code: str) -> HttpResponse:
    person = person_of(request)
    kit = queries.kit_to_speak_of(person, code)
    try:
        actions.ask_to_post(kit=kit, by=person, at=timezone.now(), request_key=posted_key(request))
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:kit_page", args=[kit.code]))
    _thank(request, kit, _("We will post it to you."))
    return _back_to(kit, person)
