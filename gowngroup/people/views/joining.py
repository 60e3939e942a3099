"""Asking to join, and the coordinator's answer."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.people.actions import ask_to_join, say_no, welcome
from gowngroup.people.forms.members import PersonForm
from gowngroup.people.forms.sign_in import JoinForm
from gowngroup.people.guards import VISITOR, page, person_of
from gowngroup.people.queries import join_request_named, join_requests, people_reached_by, the_group
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import attempt, form_page, posted_key, refused


@page(*VISITOR)
def join(request: HttpRequest) -> HttpResponse:
    if not the_group().has_join_form:
        raise Http404
    form = JoinForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        attempt(form, lambda: ask_to_join(details=form.details(), at=timezone.now()))
        if not form.errors:  # whether it is new, asked already or of somebody with us: the same answer
            return redirect("people:join_thanks")
    return form_page(request, "people/join.html", form)


@page(*VISITOR, methods=("GET",))
def join_thanks(request: HttpRequest) -> HttpResponse:
    return render(request, "people/join_thanks.html")


@page("coordinator", methods=("GET",))
def join_list(request: HttpRequest) -> HttpResponse:
    return render(request, "people/join_list.html", {"join_requests": join_requests()})


@page("coordinator")
def join_answer(request: HttpRequest, pk: int) -> HttpResponse:
    asked = join_request_named(pk)
    form = PersonForm(
        request.POST or None,
        initial={
            "name": asked.name,
            "email": asked.email,
            "telephone": asked.telephone,
            "roles": ["volunteer"],
            "has_agreed_to_memorial": False,
        },
    )
    if request.method == "POST" and form.is_valid():
        by, key = person_of(request), posted_key(request)
        person = attempt(
            form,
            lambda: welcome(
                join_request=asked, details=form.details(), by=by, at=timezone.now(), request_key=key
            ),
        )
        if person is not None:
            messages.success(request, _("%(name)s is with the group now.") % {"name": person})
            return redirect("people:person_page", pk=person.pk)
    known = people_reached_by(email=asked.email, telephone=asked.telephone)
    return form_page(request, "people/join_answer.html", form, asked=asked, known=known)


@page("coordinator", methods=("POST",))
def join_decline(request: HttpRequest, pk: int) -> HttpResponse:
    asked, by, key = join_request_named(pk), person_of(request), posted_key(request)
    try:
        say_no(join_request=asked, by=by, at=timezone.now(), request_key=key)
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("people:join_list"))
    messages.success(request, _("Removed. Nothing of the request is kept, and no letter has been sent."))
    return redirect("people:join_list")
