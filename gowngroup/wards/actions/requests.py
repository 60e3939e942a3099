"""What wards ask for: entering, changing, withdrawing and repeating requests."""

from collections.abc import Sequence
from datetime import date, datetime

from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.catalog.models import Size
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken
from gowngroup.records.written import written_date
from gowngroup.wards.actions.lines import LineEntry, change_lines, put_lines, refuse_bad_lines
from gowngroup.wards.models import Ward, WardRequest
from gowngroup.wards.queries import is_paused, pause_sentence, size_blocks

MONTHS_AHEAD = 12


class NotOnTheList(Refusal):
    """A size is not on the ward's list."""


class WardIsPaused(Refusal):
    """The ward takes no deliveries, or is no longer served."""


class ImpossibleMonth(Refusal):
    """The month has passed or lies too far ahead."""


class AskedTwice(Taken):
    """The ward has an open request for this month already."""


class RequestIsClosed(Taken):
    """The request has been met or withdrawn."""


@action
def enter_request(
    *,
    ward: Ward,
    month: date,
    lines: Sequence[LineEntry],
    is_urgent: bool = False,
    is_standing: bool = False,
    note: str = "",
    by: Person,
    at: datetime,
    request_key: str = "",
) -> WardRequest:
    """Enter what a ward asks for in a month, or needs today."""
    first = month.replace(day=1)
    refuse_bad_lines(lines)
    _refuse_bad_month(first, at)
    ward = Ward.objects.select_for_update().get(
        pk=ward.pk
    )  # one at a time, so that a month is asked for once
    _refuse_ward(ward, first, [line.size for line in lines], at)
    same = WardRequest.objects.filter(ward=ward, month=first, is_urgent=False, state=WardRequest.State.OPEN)
    if not is_urgent and same.exists():
        raise AskedTwice(
            _("%(ward)s has an open request for %(month)s already; change that one instead.")
            % {"ward": ward, "month": written_date(first, "F Y")},
            field="month",
        )
    request = WardRequest.objects.create(
        ward=ward,
        month=first,
        is_urgent=is_urgent,
        is_standing=is_standing and not is_urgent,
        note=note,
        received_at=at,
    )
    put_lines(request, lines)
    record(by=by, at=at, did="enter_request", subject=request)
    return request


@action
def change_request(
    *,
    request: WardRequest,
    lines: Sequence[LineEntry],
    is_standing: bool = False,
    note: str = "",
    by: Person,
    at: datetime,
    request_key: str = "",
) -> WardRequest:
    """Change what a ward asks for; what has been delivered stays met."""
    refuse_bad_lines(lines)
    kept = _open_request(request)
    known = {line.size_id for line in kept.lines.all()}
    _refuse_sizes(kept.ward, [line.size for line in lines if line.size.pk not in known])
    change_lines(kept, lines)
    kept.is_standing, kept.note = is_standing and not kept.is_urgent, note
    kept.save(update_fields=["is_standing", "note"])
    close_if_met(kept)
    record(by=by, at=at, did="change_request", subject=kept)
    return kept


@action
def withdraw_request(*, request: WardRequest, by: Person, at: datetime, request_key: str = "") -> WardRequest:
    """Withdraw a request that is still open; gowns already delivered stay booked."""
    kept = _open_request(request)
    WardRequest.objects.filter(pk=kept.pk).update(state=WardRequest.State.WITHDRAWN, is_standing=False)
    kept.refresh_from_db()
    record(by=by, at=at, did="withdraw_request", subject=kept)
    return kept


@action
def repeat_standing_requests(*, month: date, by: Person, at: datetime) -> list[WardRequest]:
    """Enter the standing requests again for a month, for wards being served that have none in it yet."""
    first = month.replace(day=1)
    made = []
    # Held, so that two who press the button at once do not both enter them.
    for ward in Ward.objects.select_for_update().filter(is_active=True).order_by("pk"):
        before = ward.requests.filter(is_urgent=False, month__lt=first).order_by("-month", "-pk").first()
        has_one = ward.requests.filter(is_urgent=False, month=first).exists()
        if before is None or not before.is_standing or has_one or _is_paused_for(ward, first, at):
            continue
        if request := _repeat(before, first, at):
            record(by=by, at=at, did="repeat_standing_request", subject=request, changes={"of": before.pk})
            made.append(request)
    return made


def close_if_met(request: WardRequest) -> None:
    """Set a request met when every line is, and open again when one is not."""
    is_met = all(line.met_count >= line.gown_count for line in request.lines.all())
    state = WardRequest.State.MET if is_met else WardRequest.State.OPEN
    WardRequest.objects.filter(pk=request.pk).exclude(state=WardRequest.State.WITHDRAWN).update(state=state)
    request.refresh_from_db()


def _repeat(before: WardRequest, first: date, at: datetime) -> WardRequest | None:
    listed = {size.pk for size in before.ward.sizes.all()}
    lines = [
        LineEntry(size=line.size, purpose=line.purpose, gown_count=line.gown_count)
        for line in before.lines.select_related("size")
        if line.set_number is None and line.size_id in listed
    ]
    if not lines:
        return None
    request = WardRequest.objects.create(
        ward=before.ward, month=first, is_standing=True, note=before.note, received_at=at
    )
    put_lines(request, lines)
    return request


def _open_request(request: WardRequest) -> WardRequest:
    kept = (
        WardRequest.objects.select_for_update(of=("self",))
        .select_related("ward__hospital")
        .get(pk=request.pk)
    )
    if kept.state != WardRequest.State.OPEN:
        raise RequestIsClosed(
            _("This request is %(state)s; enter a new one instead.") % {"state": kept.get_state_display()}
        )
    return kept


def _refuse_bad_month(first: date, at: datetime) -> None:
    now = timezone.localdate(at).replace(day=1)
    months_ahead = 12 * (first.year - now.year) + first.month - now.month
    if months_ahead < 0:
        raise ImpossibleMonth(
            _("That month has passed; please choose this month or a later one."), field="month"
        )
    if months_ahead > MONTHS_AHEAD:
        raise ImpossibleMonth(
            _("%(month)s is more than a year ahead; is the year right?")
            % {"month": written_date(first, "F Y")},
            field="month",
        )


def _refuse_ward(ward: Ward, first: date, sizes: Sequence[Size], at: datetime) -> None:
    if not ward.is_active:
        raise WardIsPaused(_("%(ward)s is no longer served.") % {"ward": ward}, field="ward")
    if _is_paused_for(ward, first, at):
        raise WardIsPaused(
            pause_sentence(ward) + " " + _("Choose a later month, or end the pause on the ward’s page."),
            field="ward",
        )
    _refuse_sizes(ward, sizes)


def _is_paused_for(ward: Ward, first: date, at: datetime) -> bool:
    return is_paused(ward, on=max(first, timezone.localdate(at)))


def _refuse_sizes(ward: Ward, sizes: Sequence[Size]) -> None:
    if blocks := size_blocks(ward, sizes):
        raise NotOnTheList(
            blocks[0] + " " + _("Take it off the request, or put it on the ward’s list first.")
        )
