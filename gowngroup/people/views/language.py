"""Changing the language by one tap: on this device, and for whoever is signed in everywhere."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone

from gowngroup.people.actions import choose_language
from gowngroup.people.guards import VISITOR, page
from gowngroup.people.models import Language, Person
from gowngroup.people.sessions import safe_next


@page(*VISITOR, methods=("POST",))
def language(request: HttpRequest) -> HttpResponse:
    response, chosen = redirect(safe_next(request)), request.POST.get("language", "")
    if chosen not in Language.values:
        return response
    if isinstance(request.user, Person):
        choose_language(language=chosen, by=request.user, at=timezone.now())
    response.set_cookie(
        settings.LANGUAGE_COOKIE_NAME,
        chosen,
        max_age=settings.LANGUAGE_COOKIE_AGE,
        secure=settings.LANGUAGE_COOKIE_SECURE,
        httponly=settings.LANGUAGE_COOKIE_HTTPONLY,
        samesite="Lax",
    )
    return response
