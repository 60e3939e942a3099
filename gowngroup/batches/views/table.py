"""At the table: handing kits out one after the other, giving more time, how kits go out, the list to print."""

from datetime import timedelta

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.batches import actions, queries
from gowngroup.batches.forms.claims import ArrangeForm, DueForm, HandOutForm
from gowngroup.batches.models import Claim
from gowngroup.batches.planner.waiting_words import handed_out_since, too_late_to_undo
from gowngroup.batches.tasks import tell_waiting_list
from gowngroup.batches.views.claims import page_of
from gowngroup.people.guards import page, person_of
from gowngroup.people.models import Person
from gowngroup.people.queries import the_group
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import attempt, posted_key, refused, status_of

LAST_SHOWN = 8
MEETING = timedelta(hours=12)


@page("packer")
def kit_hand_out(request: HttpRequest) -> HttpResponse:
    by = person_of(request)
    chosen = {name: request.GET.get(name, "")[:20] for name in ("code", "person")}
    form, claim, word = HandOutForm(request.POST or None, initial=chosen), None, ""
    if request.method == "POST":
        claim, word = _hand_out(form, by)
    context = {
        "form": HandOutForm(initial={"person": request.POST.get("person", "")}) if form.is_bound else form,
        "errors": [error for errors in form.errors.values() for error in errors],
        "typed": request.POST.get("code", "")[:40],
        "asked": form.cleaned_data.get("code") if form.is_bound else None,
        "claim": claim,
        "word": word,
        "last": _last(by)[:LAST_SHOWN],
    }
    return render(request, "batches/kit_hand_out.html", context, status=status_of(form))


def _last(by: Person) -> QuerySet[Claim]:
    """What was handed out at this meeting, which can be undone."""
    since = timezone.now() - MEETING
    return queries.handed_out_by(by).filter(claimed_at__gte=since, ended_at__isnull=True)


def _hand_out(form: HandOutForm, by: Person) -> tuple[Claim | None, str]:
    """The claim, if it was one, and the big word that says how it went."""
    if not form.is_valid():
        return None, _("Unknown code") if form.has_error("code", "unknown") else _("Not done")
    refusals: list[Refusal] = []

    def run() -> Claim:
        try:
            return actions.claim_for(
                kit=form.cleaned_data["code"],
                person=form.cleaned_data["person"],
                by=by,
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            )
        except Refusal as refusal:
            refusals.append(refusal)
            raise

    claim = attempt(form, run)
    return claim, _("Done") if claim else _big_word(refusals[0])


def _big_word(refusal: Refusal) -> str:
    words: dict[type[Refusal], str] = {
        actions.AlreadyClaimed: _("Already taken"),
        actions.KeptForSomebody: _("Kept for somebody"),
        actions.ClaimLimitReached: _("Enough at home"),
        actions.NotWaiting: _("Not waiting"),
        actions.NotOffered: _("Not offered yet"),
    }
    return words.get(type(refusal), _("Not done"))


@page("packer", methods=("POST",))
def kit_hand_out_undo(request: HttpRequest, pk: int) -> HttpResponse:
    by = person_of(request)
    claim = get_object_or_404(queries.handed_out_by(by), pk=pk)
    back = f"{reverse('batches:kit_hand_out')}?person={claim.person_id}"
    if claim.ended_at is not None:
        messages.info(request, handed_out_since(claim.kit))
        return redirect(back)
    if claim.claimed_at < timezone.now() - MEETING:
        messages.info(request, too_late_to_undo(claim.kit))
        return redirect("batches:kit_page", claim.kit.code)
    try:
        actions.undo_claim(claim=claim, by=by, at=timezone.now(), request_key=posted_key(request))
    except Refusal as refusal:
        return refused(request, refusal, back=back)
    messages.success(request, _("Undone: the kit is waiting again."))
    return redirect(back)


@page("coordinator", methods=("GET",))
def kits_overdue(request: HttpRequest) -> HttpResponse:
    today = queries.day_of(timezone.now(), the_group())
    page_obj = page_of(request, queries.kits_out(today=today))
    return render(request, "batches/kits_overdue.html", {"page_obj": page_obj, "today": today})


@page("packer")
def kit_due(request: HttpRequest, code: str) -> HttpResponse:
    kit = queries.kit_by_code(code)
    form = DueForm(request.POST or None, initial={"due_on": kit.due_on})
    if request.method == "POST" and form.is_valid():
        moved = attempt(
            form,
            lambda: actions.extend_due(
                kit=kit,
                due_on=form.cleaned_data["due_on"],
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        if moved is not None:
            messages.success(request, _("The new day has been noted."))
            return redirect("batches:kit_page", kit.code)
    return render(request, "batches/kit_due.html", {"form": form, "kit": kit}, status=status_of(form))


@page("packer")
def kit_arrange(request: HttpRequest, code: str) -> HttpResponse:
    kit = queries.kit_by_code(code)
    now = actions.arrangement_of(kit)
    form = ArrangeForm(request.POST or None, initial={name: getattr(now, name) for name in now.__slots__})
    if request.method == "POST" and form.is_valid():
        arranged = attempt(
            form,
            lambda: actions.arrange_kit(
                kit=kit,
                arrangement=form.arrangement(),
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        if arranged is not None:
            tell_waiting_list.enqueue()
            messages.success(request, _("Saved."))
            return redirect("batches:kit_page", kit.code)
    return render(request, "batches/kit_arrange.html", {"form": form, "kit": kit}, status=status_of(form))
