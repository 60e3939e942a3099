"""Signing in by an emailed code, and signing out."""

import secrets
from urllib.parse import urlencode

from django.conf import settings
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from gowngroup.people.actions import LinkSpent, send_sign_in_code, use_sign_in_code, use_sign_in_link
from gowngroup.people.actions.sign_in import VALID_FOR
from gowngroup.people.forms.sign_in import AddressForm, CodeForm, LetterForm, LinkForm
from gowngroup.people.guards import EVERYONE, VISITOR, page
from gowngroup.people.models import SignInLink
from gowngroup.people.queries import open_link, people_at, used_code
from gowngroup.people.sessions import begin_session, safe_next
from gowngroup.records.pages import attempt, form_page

COOKIE = "__Host-sign-in" if settings.SESSION_COOKIE_SECURE else "sign-in"
CHOICE, IS_REMEMBERED = "sign_in_code", "sign_in_is_remembered"


@page(*VISITOR)
def sign_in(request: HttpRequest) -> HttpResponse:
    if request.user.is_authenticated:
        return redirect(safe_next(request))
    form = AddressForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        browser, email = secrets.token_urlsafe(32), form.cleaned_data["email"]
        if attempt(form, lambda: send_sign_in_code(email=email, browser=browser, at=timezone.now())):
            response = redirect(_onward(request, "people:sign_in_code"))
            _bind(response, browser)
            return response
    return form_page(request, "people/sign_in.html", form, next=safe_next(request))


@page(*VISITOR)
def sign_in_code(request: HttpRequest) -> HttpResponse:
    form = CodeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        browser, typed = request.COOKIES.get(COOKIE, ""), form.cleaned_data["code"]
        code = attempt(form, lambda: use_sign_in_code(browser=browser, typed=typed, at=timezone.now()))
        if code is not None:
            is_remembered = form.cleaned_data["is_remembered"]
            response = _signed_in_or_asked_who(request, code.email, code.code_hash, is_remembered)
            response.delete_cookie(COOKIE)
            return response
    return form_page(
        request,
        "people/sign_in_code.html",
        form,
        next=safe_next(request),
        has_asked_here=COOKIE in request.COOKIES,
    )


@page(*VISITOR)
def sign_in_person(request: HttpRequest) -> HttpResponse:
    code = used_code(request.session.get(CHOICE, ""), since=timezone.now() - VALID_FOR)
    people = people_at(code.email) if code else []
    if not people:
        return redirect("people:sign_in")
    chosen = [person for person in people if str(person.pk) == request.POST.get("person")]
    if chosen:
        where, is_remembered = safe_next(request), bool(request.session.get(IS_REMEMBERED))
        begin_session(request, chosen[0], way="code", is_remembered=is_remembered)
        return redirect(where)
    return render(request, "people/sign_in_person.html", {"people": people, "next": safe_next(request)})


@page(*VISITOR)
def sign_in_link(request: HttpRequest, token: str) -> HttpResponse:
    link = open_link(token, at=timezone.now())
    if link is None:
        return render(request, "people/sign_in_link_old.html", status=404)
    form = LinkForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            person = use_sign_in_link(link=link, at=timezone.now())
        except LinkSpent:  # somebody else was quicker by a moment: as if it never existed
            return render(request, "people/sign_in_link_old.html", status=404)
        is_letter = link.kind == SignInLink.Kind.LETTER
        begin_session(
            request,
            person,
            way="letter" if is_letter else "link",
            is_remembered=form.cleaned_data["is_remembered"],
        )
        return redirect("home:home")
    return form_page(request, "people/sign_in_link.html", form, person=link.person)


@page(*VISITOR)
def sign_in_letter(request: HttpRequest) -> HttpResponse:
    form = LetterForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        return redirect("people:sign_in_link", token=form.cleaned_data["code"])
    return form_page(request, "people/sign_in_letter.html", form)


@page(*VISITOR, methods=("GET",))
def sign_in_help(request: HttpRequest) -> HttpResponse:
    return render(request, "people/sign_in_help.html")


@page(*EVERYONE, methods=("POST",))
def sign_out(request: HttpRequest) -> HttpResponse:
    logout(request)
    return redirect("people:sign_in")


def _signed_in_or_asked_who(
    request: HttpRequest, email: str, code_hash: str, is_remembered: bool
) -> HttpResponse:
    people = people_at(email)
    if len(people) == 1:
        where = safe_next(request)
        begin_session(request, people[0], way="code", is_remembered=is_remembered)
        return redirect(where)
    request.session.cycle_key()
    request.session[CHOICE], request.session[IS_REMEMBERED] = code_hash, is_remembered
    request.session.set_expiry(int(VALID_FOR.total_seconds()))
    return redirect(_onward(request, "people:sign_in_person"))


def _onward(request: HttpRequest, name: str) -> str:
    return f"{reverse(name)}?{urlencode({'next': safe_next(request)})}"


def _bind(response: HttpResponse, browser: str) -> None:
    response.set_cookie(
        COOKIE,
        browser,
        max_age=int(VALID_FOR.total_seconds()),
        secure=bool(settings.SESSION_COOKIE_SECURE),
        httponly=True,
        samesite="Lax",
    )
