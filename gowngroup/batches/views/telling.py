"""For those who work on paper: a kit found for somebody who rings, and who is to be rung about one."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.batches import actions, queries
from gowngroup.batches.forms.claims import WishForm
from gowngroup.batches.tasks import tell_waiting_list
from gowngroup.batches.views.claims import CARDS_PER_PAGE, page_of
from gowngroup.people.guards import page, person_of
from gowngroup.people.models import Person
from gowngroup.people.queries import has_role, person_named, the_group
from gowngroup.records.pages import attempt, form_page, posted_key


def _sewer(pk: int) -> Person:
    """Somebody with the group who sews; 404 for any other."""
    person = person_named(pk)
    if not (person.is_active and has_role(person, "volunteer")):
        raise Http404
    return person


@page("coordinator")
def kit_for(request: HttpRequest, pk: int) -> HttpResponse:
    person, group = _sewer(pk), the_group()
    wish = queries.wish_of(person)
    form = WishForm(request.POST or None, wish=wish)
    if request.method == "POST" and form.is_valid():
        noted = attempt(
            form,
            lambda: actions.ask_to_be_told(
                details=form.details(),
                person=person,
                by=person_of(request),
                at=timezone.now(),
                request_key=posted_key(request),
            ),
        )
        if noted is not None:
            tell_waiting_list.enqueue()
            messages.success(request, _("Noted: %(name)s waits for a kit.") % {"name": person})
            return redirect("batches:kit_for", pk)
    is_all = request.GET.get("all") == "yes"
    suiting, waiting = queries.suiting_kits(person), queries.waiting_kits(person)
    held_count = queries.bundle_count(person)
    return form_page(
        request,
        "batches/kit_for.html",
        form,
        person=person,
        wish=wish,
        is_all=is_all,
        page_obj=page_of(request, queries.with_card(waiting if is_all else suiting), CARDS_PER_PAGE),
        other_count=waiting.count() - suiting.count(),
        held_count=held_count,
        can_claim=held_count < group.claim_limit_count,
        is_away=person.is_away(queries.day_of(timezone.now(), group)),
    )


@page("coordinator", methods=("POST",))
def kit_for_end(request: HttpRequest, pk: int) -> HttpResponse:
    person = _sewer(pk)
    actions.stop_being_told(
        person=person, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
    )
    messages.success(request, _("%(name)s will not be told of any more kits.") % {"name": person})
    return redirect("batches:kit_for", pk)


@page("coordinator", methods=("GET",))
def people_to_tell(request: HttpRequest) -> HttpResponse:
    today = queries.day_of(timezone.now(), the_group())
    news = queries.news_by_person(today=today)
    return render(request, "batches/people_to_tell.html", {"news": news.items()})


@page("coordinator", methods=("POST",))
def person_told(request: HttpRequest, pk: int) -> HttpResponse:
    person = person_named(pk)
    typed = request.POST.getlist("letter")
    shown = {int(each) for each in typed if each.isascii() and each.isdigit() and len(each) < 19}
    actions.note_told(
        person=person,
        letter_ids=shown,
        by=person_of(request),
        at=timezone.now(),
        request_key=posted_key(request),
    )
    messages.success(request, _("Noted: %(name)s knows.") % {"name": person})
    return redirect("batches:people_to_tell")
