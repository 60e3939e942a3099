"""How much floss the kits really took, and putting it to use."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.batches.actions import use_learned_floss
from gowngroup.batches.planner.floss_use import floss_use
from gowngroup.people.guards import page, person_of
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import posted_key, refused
from gowngroup.records.written import written_number


@page("coordinator", methods=("GET",))
def floss_use_page(request: HttpRequest) -> HttpResponse:
    return render(request, "batches/floss_use.html", {"use": floss_use()})


@page("coordinator", methods=("POST",))
def floss_use_set(request: HttpRequest) -> HttpResponse:
    try:
        change = use_learned_floss(
            shown=request.POST.get("value", "")[:10],
            by=person_of(request),
            at=timezone.now(),
            request_key=posted_key(request),
        )
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:floss_use"))
    messages.success(
        request,
        _("New plans reckon with %(value)s; plans already made keep theirs.")
        % {"value": written_number(f"{change.value:.2f}")},
    )
    return redirect("batches:floss_use")
