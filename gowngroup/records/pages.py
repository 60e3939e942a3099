"""How a page runs an action: a refusal goes onto its form, or onto a page of its own."""

from collections.abc import Callable
from typing import TypeVar

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from gowngroup.records.errors import Refusal

R = TypeVar("R")


def posted_key(request: HttpRequest) -> str:
    """The request key a form without a form class was sent with."""
    return request.POST.get("request_key", "").replace("\0", "")[:64]


def attempt(form: BaseForm, run: Callable[[], R]) -> R | None:
    """What an action gives back, or None with its sentence put onto the form."""
    try:
        return run()
    except Refusal as refusal:
        field = refusal.field if refusal.field in form.fields else None
        form.add_error(field, refusal.message)
        form.refusal_status = refusal.status  # type: ignore[attr-defined]
        form.retry_after_s = getattr(refusal, "retry_after_s", None)  # type: ignore[attr-defined]
        return None


def status_of(form: BaseForm) -> int:
    """The status a page with this form answers: 200, 422 when something must be put right, 409 when taken."""
    if not form.is_bound or not form.errors:
        return 200
    return int(getattr(form, "refusal_status", 422))


def form_page(request: HttpRequest, template: str, form: BaseForm, **context: object) -> HttpResponse:
    """A page with a form, answered with the form's status and, where it helps, when to try again."""
    response = render(request, template, {"form": form, **context}, status=status_of(form))
    return _with_retry_after(response, getattr(form, "retry_after_s", None))


def refused(request: HttpRequest, refusal: Refusal, *, back: str) -> HttpResponse:
    """A page that says why not, with the way back."""
    response = render(request, "refused.html", {"refusal": refusal, "back": back}, status=refusal.status)
    return _with_retry_after(response, getattr(refusal, "retry_after_s", None))


def _with_retry_after(response: HttpResponse, seconds: int | None) -> HttpResponse:
    if seconds is not None:
        response["Retry-After"] = str(seconds)
    return response
