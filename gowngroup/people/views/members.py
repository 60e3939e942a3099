"""The people of the group, and everybody's own settings."""

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.people.actions import (
    add_person,
    change_my_settings,
    change_person,
    end_sessions,
    leave_group,
    return_to_group,
    see_leave,
    take_back_sign_in_links,
)
from gowngroup.people.forms.members import PersonForm, SearchForm, SettingsForm, details_of, settings_of
from gowngroup.people.guards import EVERYONE, page, person_of
from gowngroup.people.models import SewingStage
from gowngroup.people.queries import (
    has_role,
    join_requests,
    open_links,
    people_found,
    people_who_left,
    person_named,
    unsent_letters,
)
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import attempt, form_page, posted_key, refused

PER_PAGE = 25


@page("coordinator", methods=("GET",))
def person_list(request: HttpRequest) -> HttpResponse:
    form = SearchForm(request.GET)
    wanted = form.cleaned_data if form.is_valid() else {}
    people = Paginator(people_found(**wanted), PER_PAGE).get_page(request.GET.get("page"))
    is_searched = any(wanted.get(name) for name in ("words", "role", "has_left"))
    return render(
        request,
        "people/person_list.html",
        {
            "form": form,
            "quick_form": PersonForm(auto_id="quick_%s"),
            "page_obj": people,
            "is_searched": is_searched,
            "asking_count": join_requests().count(),
            "unsent_count": unsent_letters(at=timezone.now()).count(),
            "today": timezone.localdate(),
        },
    )


@page("coordinator", methods=("GET",))
def person_page(request: HttpRequest, pk: int) -> HttpResponse:
    person = person_named(pk)
    links = open_links(at=timezone.now()).filter(person=person)
    context = {
        "person": person,
        "links": links,
        "sews": person.is_active and has_role(person, "volunteer"),
        "is_away": person.is_away(timezone.localdate()),
        "stages": [label for stage, label in SewingStage.choices if stage in person.stages_liked],
        "kits": person.kits_held.order_by("due_on", "pk"),
    }
    return render(request, "people/person_page.html", context)


@page("coordinator")
def person_add(request: HttpRequest) -> HttpResponse:
    form = PersonForm(request.POST or None, initial={"roles": ["volunteer"], "has_agreed_to_memorial": False})
    if request.method == "POST" and form.is_valid():
        by, key = person_of(request), posted_key(request)
        person = attempt(
            form, lambda: add_person(details=form.details(), by=by, at=timezone.now(), request_key=key)
        )
        if person is not None:
            messages.success(request, _("%(name)s is with the group now.") % {"name": person})
            return redirect("people:person_page", pk=person.pk)
    return form_page(request, "people/person_add.html", form)


@page("coordinator")
def person_change(request: HttpRequest, pk: int) -> HttpResponse:
    person = person_named(pk)
    form = PersonForm(request.POST or None, initial=details_of(person))
    if request.method == "POST" and form.is_valid():
        changed = attempt(
            form,
            lambda: change_person(
                person=person,
                details=form.details(),
                by=person_of(request),
                at=timezone.now(),
                request_key=posted_key(request),
            ),
        )
        if changed is not None:
            _stay_signed_in(request, changed.pk)
            messages.success(request, _("Saved."))
            return redirect("people:person_page", pk=pk)
    return form_page(request, "people/person_change.html", form, person=person)


@page("coordinator", methods=("POST",))
def person_leave(request: HttpRequest, pk: int) -> HttpResponse:
    person, by, key = person_named(pk), person_of(request), posted_key(request)
    try:
        leave_group(person=person, by=by, at=timezone.now(), request_key=key)
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("people:person_page", args=[pk]))
    messages.success(
        request, _("%(name)s has left the group. You can welcome her back here.") % {"name": person}
    )
    return redirect("people:person_page", pk=pk)


@page("coordinator", methods=("POST",))
def person_return(request: HttpRequest, pk: int) -> HttpResponse:
    person, by, key = person_named(pk), person_of(request), posted_key(request)
    try:
        return_to_group(person=person, by=by, at=timezone.now(), request_key=key)
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("people:person_page", args=[pk]))
    messages.success(request, _("%(name)s is with the group again.") % {"name": person})
    return redirect("people:person_page", pk=pk)


@page("coordinator", methods=("GET",))
def left_list(request: HttpRequest) -> HttpResponse:
    page_obj = Paginator(people_who_left(), PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "people/left_list.html", {"page_obj": page_obj})


@page("coordinator", methods=("POST",))
def left_seen(request: HttpRequest, pk: int) -> HttpResponse:
    person, by, key = person_named(pk), person_of(request), posted_key(request)
    see_leave(person=person, by=by, at=timezone.now(), request_key=key)
    messages.success(request, _("Thank you. It is off the list."))
    return redirect("people:left_list" if people_who_left().exists() else "home:home")


@page("coordinator", methods=("POST",))
def person_sign_out(request: HttpRequest, pk: int) -> HttpResponse:
    person = person_named(pk)
    end_sessions(person=person, by=person_of(request), at=timezone.now(), request_key=posted_key(request))
    _stay_signed_in(request, pk)
    messages.success(request, _("%(name)s is signed out on every device.") % {"name": person})
    return redirect("people:person_page", pk=pk)


@page("coordinator", methods=("POST",))
def person_links_end(request: HttpRequest, pk: int) -> HttpResponse:
    person, by, key = person_named(pk), person_of(request), posted_key(request)
    take_back_sign_in_links(person=person, by=by, at=timezone.now(), request_key=key)
    messages.success(request, _("The links no longer work."))
    return redirect("people:person_page", pk=pk)


@page(*EVERYONE)
def my_page(request: HttpRequest) -> HttpResponse:
    person = person_of(request)
    form = SettingsForm(request.POST or None, initial=settings_of(person))
    if request.method == "POST" and form.is_valid():
        saved = attempt(
            form,
            lambda: change_my_settings(
                settings=form.settings(), by=person, at=timezone.now(), request_key=posted_key(request)
            ),
        )
        if saved is not None:
            messages.success(request, _("Saved. Thank you."))
            return redirect("people:my_page")
    return form_page(request, "people/my_page.html", form)


@page(*EVERYONE, methods=("POST",))
def my_sign_out(request: HttpRequest) -> HttpResponse:
    person = person_of(request)
    end_sessions(person=person, by=person, at=timezone.now(), request_key=posted_key(request))
    _stay_signed_in(request, person.pk)
    messages.success(request, _("You are signed out on every other device."))
    return redirect("people:my_page")


def _stay_signed_in(request: HttpRequest, pk: int) -> None:
    """Keep this one browser signed in where the person has just ended her own other sign-ins."""
    if pk == person_of(request).pk:
        update_session_auth_hash(request, person_named(pk))
