"""The kits waiting: choosing one, taking it, being told of one, giving it back."""

from typing import TypeVar

from django.contrib import messages
from django.core.paginator import Page, Paginator
from django.db.models import Model, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.batches import actions, queries
from gowngroup.batches.forms.claims import WaitingFilter, WishForm
from gowngroup.batches.models import Claim, Kit, Letter
from gowngroup.batches.planner.drawings import drawings
from gowngroup.batches.tasks import tell_waiting_list
from gowngroup.people.actions.one_wish import stop_memorial
from gowngroup.people.guards import VISITOR, page, person_of
from gowngroup.people.models import Group, Person
from gowngroup.people.queries import has_role, the_group
from gowngroup.records.errors import Refusal, Taken
from gowngroup.records.pages import attempt, form_page, posted_key, refused
from gowngroup.records.written import written_date

PER_PAGE = 25
CARDS_PER_PAGE = 12
ALSO_SHOWN = 3
Row = TypeVar("Row", bound=Model)


def page_of(request: HttpRequest, rows: QuerySet[Row], per_page: int = PER_PAGE) -> Page[Row]:
    return Paginator(rows, per_page).get_page(request.GET.get("page"))


@page("volunteer", methods=("GET",))
def kits_waiting(request: HttpRequest) -> HttpResponse:
    person, group = person_of(request), the_group()
    waiting = queries.waiting_kits(person)
    form = WaitingFilter(request.GET, kits=waiting, person=person, usual_place=group.pick_up_place)
    wanted = form.wanted()
    found = queries.waiting_kits(person, wanted)
    page_obj = page_of(request, queries.with_card(found), CARDS_PER_PAGE)
    context = {
        "page_obj": page_obj,
        "drawings": drawings(page_obj),
        "filter": form,
        "is_narrowed": wanted != queries.Wanted(),
        "waiting_count": waiting.count(),
        "wish": queries.wish_of(person),
        "due_if_taken": queries.due_if_taken(group, timezone.now()),
        **_room_for_more(person, group),
    }
    return render(request, "batches/kits_waiting.html", context)


def _room_for_more(person: Person, group: Group) -> dict[str, object]:
    """How many kits she has at home, how many she may have, and whether another one is allowed."""
    held_count, limit_count = queries.bundle_count(person), group.claim_limit_count
    return {"held_count": held_count, "limit_count": limit_count, "can_claim": held_count < limit_count}


@page("volunteer", methods=("POST",))
def kit_claim(request: HttpRequest, code: str) -> HttpResponse:
    person = person_of(request)
    kit = queries.kit_to_claim(person, code)
    try:
        claim = actions.claim_kit(
            kit=kit,
            is_to_be_posted=request.POST.get("post") == "yes",
            by=person,
            at=timezone.now(),
            request_key=posted_key(request),
        )
    except Refusal as refusal:
        return taken_page(request, kit, refusal.message, status=refusal.status, is_undone=True)
    messages.success(request, _told_hers(kit) % {"day": written(claim)})
    return redirect("batches:my_kits")


def _told_hers(kit: Kit) -> str:
    """That a kit is hers, and by when; nobody is held to a day for a memorial kit."""
    if kit.is_memorial() and kit.matched_set_id:
        return _("The kits are yours. Sew them in your own time.")
    if kit.is_memorial():
        return _("The kit is yours. Sew it in your own time.")
    if kit.matched_set_id:
        return _("The kits are yours. They are due on %(day)s.")
    return _("The kit is yours. It is due on %(day)s.")


def taken_page(
    request: HttpRequest, kit: Kit, message: str, *, status: int = Taken.status, is_undone: bool = False
) -> HttpResponse:
    """Why a kit is not hers, and what else there is for her; nobody is shown memorial kits instead of others."""
    person = person_of(request)
    room = _room_for_more(person, the_group())
    others = (
        queries.suiting_kits(person).filter(purpose=kit.purpose) if room["can_claim"] else Kit.objects.none()
    )
    kits = list(queries.with_card(others)[:ALSO_SHOWN])
    context = {
        "message": message,
        "is_undone": is_undone,
        "kits": kits,
        "drawings": drawings(kits),
        "wish": queries.wish_of(person),
        **room,
    }
    return render(request, "batches/kit_taken.html", context, status=status)


def written(claim: Claim) -> str:
    """The day a claimed kit is due, written out."""
    return written_date(claim.due_on, "j F Y")


@page("volunteer", "packer")
def kit_give_back(request: HttpRequest, code: str) -> HttpResponse:
    person = person_of(request)
    kit = queries.kit_to_give_back(person, code)
    back = _after_giving_back(kit, person)
    if request.method == "GET":
        is_hers = kit.holder_id == person.pk
        if kit.holder_id is None or not (is_hers or has_role(person, "packer")):
            messages.info(request, _("This kit has been given back or brought in already."))
            return redirect(back)
        return render(request, "batches/kit_give_back.html", {"kit": kit, "back": back, "is_hers": is_hers})
    try:
        actions.give_back(kit=kit, by=person, at=timezone.now(), request_key=posted_key(request))
    except Refusal as refusal:
        return refused(request, refusal, back=back)
    tell_waiting_list.enqueue()
    messages.success(request, _("Thank you. The kit is waiting for somebody else now."))
    return redirect(back)


@page("volunteer", methods=("POST",))
def kit_let_go(request: HttpRequest, code: str) -> HttpResponse:
    person = person_of(request)
    kit = queries.kit_to_claim(person, code)
    try:
        actions.let_kept_kit_go(kit=kit, by=person, at=timezone.now(), request_key=posted_key(request))
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:kits_waiting"))
    tell_waiting_list.enqueue()
    messages.success(request, _("Of course. The kit is waiting for somebody else now."))
    return redirect("batches:kits_waiting")


def _after_giving_back(kit: Kit, person: Person) -> str:
    if has_role(person, "packer") and kit.holder_id != person.pk:
        return reverse("batches:kit_page", args=[kit.code])
    return reverse("batches:my_kits" if has_role(person, "volunteer") else "batches:kit_list")


@page("volunteer")
def kit_wish(request: HttpRequest) -> HttpResponse:
    person = person_of(request)
    wish = queries.wish_of(person)
    form = WishForm(request.POST or None, wish=wish)
    if request.method == "POST" and form.is_valid():
        asked = attempt(
            form,
            lambda: actions.ask_to_be_told(
                details=form.details(),
                person=person,
                by=person,
                at=timezone.now(),
                request_key=posted_key(request),
            ),
        )
        if asked is not None:
            tell_waiting_list.enqueue()
            messages.success(request, _told_how(person))
            return redirect("batches:kits_waiting")
    return form_page(request, "batches/kit_wish.html", form, wish=wish)


def _told_how(person: Person) -> str:
    if person.email:
        return _("We will write to you when a kit that suits you is waiting.")
    return _("We will ring you when a kit that suits you is waiting.")


@page("volunteer", methods=("POST",))
def kit_wish_end(request: HttpRequest) -> HttpResponse:
    person = person_of(request)
    actions.stop_being_told(person=person, by=person, at=timezone.now(), request_key=posted_key(request))
    messages.success(request, _("Done. We will not tell you of any more kits waiting."))
    return redirect("batches:kits_waiting")


@page("volunteer", methods=("POST",))
def memorial_stop(request: HttpRequest) -> HttpResponse:
    person = person_of(request)
    stop_memorial(person=person, by=person, at=timezone.now(), request_key=posted_key(request))
    messages.success(
        request, _("Of course. They are not shown to you any more; on your page you can say yes again.")
    )
    return redirect("batches:kits_waiting")


@page(*VISITOR)
def letters_stop(request: HttpRequest, secret: str) -> HttpResponse:
    letter = queries.letter_to_stop(secret)
    is_about_waiting = letter.kind == Letter.Kind.SUITS
    if request.method == "POST":
        actions.stop_letters(letter=letter, at=timezone.now())
    context = {"is_about_waiting": is_about_waiting, "is_done": request.method == "POST"}
    return render(request, "batches/letters_stop.html", context)
