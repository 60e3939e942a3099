"""Pages of those who sew, and of those who hand kits out."""

from typing import TypeVar

from django.contrib import messages
from django.core.paginator import Page, Paginator
from django.db.models import Model, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import formats, timezone
from django.utils.translation import gettext as _

from gowngroup.batches import actions, queries
from gowngroup.batches.forms.claims import DueForm, HandOutForm, WaitingFilter
from gowngroup.batches.models import Claim, Kit
from gowngroup.batches.planner.drawings import drawings
from gowngroup.people.guards import page, person_of
from gowngroup.people.models import Person
from gowngroup.people.queries import has_role, the_group
from gowngroup.records.codes import clean_code, spaced
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import attempt, posted_key, refused, status_of

PER_PAGE = 25
Row = TypeVar("Row", bound=Model)


def page_of(request: HttpRequest, rows: QuerySet[Row]) -> Page[Row]:
    return Paginator(rows, PER_PAGE).get_page(request.GET.get("page"))


@page("volunteer", methods=("GET",))
def kits_waiting(request: HttpRequest) -> HttpResponse:
    person, group = person_of(request), the_group()
    waiting = queries.waiting_kits(person)
    form = WaitingFilter(request.GET, kits=waiting)
    chosen = form.cleaned_data if form.is_valid() else {}
    found = queries.waiting_kits(person, **{name: chosen.get(name) for name in ("size", "difficulty")})
    held_count = queries.kits_at_home(person).count()
    page_obj = page_of(request, queries.with_card(found))
    context = {
        "page_obj": page_obj,
        "drawings": drawings(page_obj),
        "filter": form,
        "waiting_count": waiting.count(),
        "held_count": held_count,
        "can_claim": held_count < group.claim_limit_count,
        "due_if_taken": queries.due_if_taken(group, timezone.now()),
    }
    return render(request, "batches/kits_waiting.html", context)


@page("volunteer", methods=("GET",))
def my_kits(request: HttpRequest) -> HttpResponse:
    person, group = person_of(request), the_group()
    kits = list(queries.with_card(queries.kits_at_home(person)))
    context = {
        "kits": kits,
        "drawings": drawings(kits),
        "page_obj": page_of(request, queries.finished_claims(person)),
        "today": queries.day_of(timezone.now(), group),
    }
    return render(request, "batches/my_kits.html", context)


@page("volunteer", "packer", "inspector", methods=("GET",))
def kit_page(request: HttpRequest, code: str) -> HttpResponse:
    person, group = person_of(request), the_group()
    kit = queries.kit_to_see(person, code)
    is_staff = has_role(person, *queries.STAFF)
    held_count = queries.kits_at_home(person).count()
    context = {
        "kit": kit,
        "drawings": drawings([kit]),
        "is_hers": kit.holder_id == person.pk,
        "is_staff": is_staff,
        "can_manage": has_role(person, "packer"),
        "can_claim": has_role(person, "volunteer") and held_count < group.claim_limit_count,
        "may_be_hers": person.has_agreed_to_memorial or not kit.is_memorial(),
        "due_if_taken": queries.due_if_taken(group, timezone.now()),
        "lines": queries.lines_of(kit),
        "returns": kit.returns.select_related("person") if is_staff else kit.returns.none(),
        "claims": kit.claims.select_related("person") if is_staff else kit.claims.none(),
    }
    return render(request, "batches/kit_page.html", context)


@page("volunteer", methods=("POST",))
def kit_claim(request: HttpRequest, code: str) -> HttpResponse:
    person = person_of(request)
    kit = queries.kit_to_claim(person, code)
    try:
        claim = actions.claim_kit(kit=kit, by=person, at=timezone.now(), request_key=posted_key(request))
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:kits_waiting"))
    messages.success(request, _("The kit is yours. It is due on %(day)s.") % {"day": _written(claim)})
    return redirect("batches:my_kits")


def _written(claim: Claim) -> str:
    return formats.date_format(claim.due_on, "j F Y")


@page("volunteer", "packer", methods=("POST",))
def kit_give_back(request: HttpRequest, code: str) -> HttpResponse:
    person = person_of(request)
    kit = queries.kit_to_give_back(person, code)
    back = _after_giving_back(kit, person)
    try:
        actions.give_back(kit=kit, by=person, at=timezone.now(), request_key=posted_key(request))
    except Refusal as refusal:
        return refused(request, refusal, back=back)
    messages.success(request, _("Thank you. The kit is waiting for somebody else now."))
    return redirect(back)


def _after_giving_back(kit: Kit, person: Person) -> str:
    if has_role(person, "packer") and kit.holder_id != person.pk:
        return reverse("batches:kit_page", args=[kit.code])
    return reverse("batches:my_kits" if has_role(person, "volunteer") else "batches:kit_list")


@page("packer")
def kit_hand_out(request: HttpRequest) -> HttpResponse:
    form = HandOutForm(request.POST or None, initial={"code": request.GET.get("code", "")[:20]})
    if request.method == "POST" and form.is_valid():
        claim = attempt(form, lambda: _hand_out(request, form))
        if claim is not None:
            told = {"kit": spaced(claim.kit.code), "person": claim.person, "day": _written(claim)}
            messages.success(request, _("Kit %(kit)s goes to %(person)s and is due on %(day)s.") % told)
            return redirect("batches:kit_page", claim.kit.code)
    return render(request, "batches/kit_hand_out.html", {"form": form}, status=status_of(form))


def _hand_out(request: HttpRequest, form: HandOutForm) -> Claim:
    kit = Kit.objects.filter(code=clean_code(form.cleaned_data["code"])).first()
    if kit is None:
        raise Refusal(_("No kit has this code. Please look at the label again."), field="code")
    return actions.claim_for(
        kit=kit,
        person=form.cleaned_data["person"],
        by=person_of(request),
        at=timezone.now(),
        request_key=form.cleaned_data["request_key"],
    )


@page("coordinator", methods=("GET",))
def kits_overdue(request: HttpRequest) -> HttpResponse:
    today = queries.day_of(timezone.now(), the_group())
    page_obj = page_of(request, queries.kits_out(today=today))
    return render(request, "batches/kits_overdue.html", {"page_obj": page_obj, "today": today})


@page("packer")
def kit_due(request: HttpRequest, code: str) -> HttpResponse:
    kit = queries.kit_by_code(code)
    form = DueForm(request.POST or None, initial={"due_on": kit.due_on})
    if request.method == "POST" and form.is_valid():
        moved = attempt(
            form,
            lambda: actions.extend_due(
                kit=kit,
                due_on=form.cleaned_data["due_on"],
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        if moved is not None:
            messages.success(request, _("The new day has been noted."))
            return redirect("batches:kit_page", kit.code)
    return render(request, "batches/kit_due.html", {"form": form, "kit": kit}, status=status_of(form))
