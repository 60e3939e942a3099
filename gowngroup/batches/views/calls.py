"""Who calls for help, for a part or for the post, and the answers; who helps."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.batches import actions, queries
from gowngroup.batches.forms.sewing import AnswerForm, HelpersForm
from gowngroup.batches.views.claims import page_of
from gowngroup.people.guards import page, person_of
from gowngroup.records.pages import attempt, form_page, posted_key


@page("volunteer", "packer", methods=("GET",))
def call_list(request: HttpRequest) -> HttpResponse:
    person = person_of(request)
    context = {
        "calls": queries.open_calls(person),
        "page_obj": page_of(request, queries.answered_calls(person)),
    }
    return render(request, "batches/call_list.html", context)


@page("volunteer", "packer")
def call_page(request: HttpRequest, pk: int) -> HttpResponse:
    person = person_of(request)
    call = queries.call_by_id(pk, person)
    form = AnswerForm(request.POST or None, call=call)
    if request.method == "POST" and form.is_valid():
        answered = attempt(
            form,
            lambda: actions.answer_call(
                call=call,
                answer=form.cleaned_data["answer"],
                by=person,
                at=timezone.now(),
                request_key=posted_key(request),
                **form.sent(),
            ),
        )
        if answered is not None:
            messages.success(request, _("Answered. She reads it with her kit."))
            return redirect("batches:call_list")
    lots = queries.lots_for(call) if call.answered_at is None else []
    return form_page(request, "batches/call_page.html", form, call=call, lots=lots)


@page("coordinator")
def helpers(request: HttpRequest) -> HttpResponse:
    form = HelpersForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        actions.name_helpers(
            people=list(form.cleaned_data["people"]),
            by=person_of(request),
            at=timezone.now(),
            request_key=posted_key(request),
        )
        messages.success(request, _("Saved."))
        return redirect("batches:call_list")
    return form_page(request, "batches/helpers.html", form)
