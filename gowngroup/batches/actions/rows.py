"""Which rows of the smocking chart somebody has sewn on a kit she has at home."""

from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.batches.actions.returns import NotHers
from gowngroup.batches.models import Claim, Kit, RowDone
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal


class NoSuchRow(Refusal):
    """The chart has no such row, or the kit no such gown."""


@action
def finish_row(
    *, kit: Kit, row_number: int, gown_number: int = 1, by: Person, at: datetime, request_key: str = ""
) -> RowDone:
    """Remember that a row is sewn on one gown of her kit; said again, it is remembered once."""
    claim = _her_claim(kit, by)
    _check_row(kit, gown_number=gown_number, row_number=row_number)
    row, is_new = RowDone.objects.get_or_create(
        claim=claim, gown_number=gown_number, row_number=row_number, defaults={"done_at": at}
    )
    if is_new:
        record(by=by, at=at, did="finish_row", subject=kit, changes=_names(gown_number, row_number))
    return row


@action
def reopen_row(
    *, kit: Kit, row_number: int, gown_number: int = 1, by: Person, at: datetime, request_key: str = ""
) -> None:
    """Take back that a row is sewn."""
    rows = RowDone.objects.filter(claim=_her_claim(kit, by), gown_number=gown_number, row_number=row_number)
    if rows.delete()[0]:
        record(by=by, at=at, did="reopen_row", subject=kit, changes=_names(gown_number, row_number))


def _her_claim(kit: Kit, by: Person) -> Claim:
    claim = Claim.objects.select_for_update().filter(kit=kit, person=by, ended_at__isnull=True).first()
    if claim is None:
        raise NotHers(_("This kit has been given back or brought in already."))
    return claim


def _check_row(kit: Kit, *, gown_number: int, row_number: int) -> None:
    chart = kit.design_revision.chart
    row_count = chart.rows.count() if chart is not None else 0
    if not (1 <= row_number <= row_count and 1 <= gown_number <= kit.gown_count):
        raise NoSuchRow(_("This kit has no such row. Please go back to its chart and choose a row there."))


def _names(gown_number: int, row_number: int) -> dict[str, object]:
    return {"gown_number": gown_number, "row_number": row_number}
