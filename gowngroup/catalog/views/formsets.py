"""Pages whose form has rows."""

from typing import Any

from django.forms import BaseForm, BaseFormSet
from django.http import HttpRequest, HttpResponse

from gowngroup.records.pages import form_page


def formset_page(
    request: HttpRequest, template: str, *, form: BaseForm, formset: "BaseFormSet[Any]", **context: object
) -> HttpResponse:
    """A page with a form and its rows; 422 where either must be put right."""
    response = form_page(request, template, form, formset=formset, **context)
    if formset.is_bound and not formset.is_valid() and response.status_code == 200:
        response.status_code = 422
    return response
