"""The shopping list of a plan."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.batches.planner.shopping import shopping_page
from gowngroup.batches.queries.plans import plan_by_id
from gowngroup.people.guards import page


@page("packer", methods=("GET",))
def shopping_list(request: HttpRequest, pk: int) -> HttpResponse:
    plan = plan_by_id(pk)
    try:
        content = shopping_page(StoredPlan.of(plan))
    except UNREADABLE:
        return render(request, "batches/plan_unreadable.html", {"plan": plan})
    context = {"plan": plan, "batch": plan.batch, "content": content}
    return render(request, "batches/shopping_list.html", context)
