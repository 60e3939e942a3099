"""How the group's labels are printed."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.people.actions import set_label_printing
from gowngroup.people.guards import page, person_of
from gowngroup.people.label_forms import LabelPrintingForm, label_printing_of
from gowngroup.people.queries import label_printing
from gowngroup.records.pages import attempt, form_page, posted_key


@page("coordinator")
def label_settings(request: HttpRequest) -> HttpResponse:
    form = LabelPrintingForm(request.POST or None, initial=label_printing_of(label_printing()))
    if request.method == "POST" and form.is_valid():
        by, key = person_of(request), posted_key(request)
        saved = attempt(
            form,
            lambda: set_label_printing(details=form.details(), by=by, at=timezone.now(), request_key=key),
        )
        if saved is not None:
            messages.success(request, _("Saved. Print a test page to see whether it fits."))
            return redirect("people:label_settings")
    return form_page(request, "people/label_settings.html", form)
