"""What is kept about a person: fetched in one file, stopped, forgotten; by herself or for her."""

from django.contrib import messages
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.people.actions import erase_person, leave_group
from gowngroup.people.export import export
from gowngroup.people.forms.members import ForgetForm
from gowngroup.people.guards import EVERYONE, page, person_of
from gowngroup.people.models import Person
from gowngroup.people.queries import has_role, person_named
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import attempt, form_page, posted_key, refused


@page(*EVERYONE, methods=("GET",))
def my_data(request: HttpRequest) -> HttpResponse:
    return _zip_of(person_of(request))


@page("coordinator", methods=("GET",))
def person_data(request: HttpRequest, pk: int) -> HttpResponse:
    return _zip_of(person_named(pk))


def _zip_of(person: Person) -> HttpResponse:
    response = HttpResponse(export(person, at=timezone.now()), content_type="application/zip")
    response["Content-Disposition"] = f'attachment; filename="data-{person.pk}.zip"'
    response["Cache-Control"] = "private, no-store"
    return response


@page(*EVERYONE)
def my_leave(request: HttpRequest) -> HttpResponse:
    person = person_of(request)
    if request.method != "POST":
        return render(request, "people/my_leave.html", {"is_sewer": has_role(person, "volunteer")})
    try:
        leave_group(person=person, by=person, at=timezone.now(), request_key=posted_key(request))
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("people:my_leave"))
    logout(request)
    messages.success(request, _("You have left the group. Thank you for everything you have sewn."))
    return redirect("people:sign_in")


@page(*EVERYONE)
def my_forget(request: HttpRequest) -> HttpResponse:
    form = ForgetForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        person, key = person_of(request), posted_key(request)
        if attempt(form, lambda: erase_person(person=person, by=person, at=timezone.now(), request_key=key)):
            logout(request)
            messages.success(request, _("You have been forgotten. Thank you for everything you have sewn."))
            return redirect("people:sign_in")
    return form_page(request, "people/my_forget.html", form)


@page("coordinator")
def person_forget(request: HttpRequest, pk: int) -> HttpResponse:
    person, form = person_named(pk), ForgetForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        by, key = person_of(request), posted_key(request)
        if attempt(form, lambda: erase_person(person=person, by=by, at=timezone.now(), request_key=key)):
            messages.success(request, _("Forgotten. What she sewed stays counted, without a name."))
            return redirect("people:person_list")
    return form_page(request, "people/person_forget.html", form, person=person)
