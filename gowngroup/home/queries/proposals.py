"""What serves a proposal beside new gowns, read across the rooms."""

from datetime import date

from django.db.models import Count, Q, QuerySet

from gowngroup.batches.planner.supplies import GownKind, GownsThere, counts_by_kind
from gowngroup.deliveries.models import DropOffGown
from gowngroup.gowns.models import Gown
from gowngroup.gowns.queries import UNKNOWN_WASH_C
from gowngroup.home.queries.month import IN_CHECK
from gowngroup.planning.mix import Judged

PASSED = (Gown.State.PASSED, Gown.State.LEFT)
ENDED = (*PASSED, Gown.State.SET_ASIDE, Gown.State.PRACTICE)


def gowns_there(*, month: date) -> GownsThere:
    """What serves a proposal for a month beside new gowns: those passed, those in check, and how many usually pass.

    A gown packed for a request still counts, since its request stays open until it is delivered; one packed
    without a request does not. Gowns of matched sets are never given singly.
    """
    singly = Gown.objects.filter(matched_set__isnull=True)
    spoken_for = DropOffGown.objects.filter(is_removed=False, request_line__isnull=True)
    passed = singly.filter(state=Gown.State.PASSED).exclude(pk__in=spoken_for.values("gown_id"))
    return GownsThere(
        passed=_by_kind(passed),
        in_check=_by_kind(singly.filter(state__in=IN_CHECK)),
        judged=_judged(month),
    )


def _by_kind(gowns: QuerySet[Gown]) -> dict[GownKind, int]:
    kind = ("size_id", "purpose", "design_revision__closure", "outer_lot__material_id")
    rows = gowns.order_by().values_list(*kind).annotate(total=Count("pk"))
    return counts_by_kind(rows, unknown_wash_c=UNKNOWN_WASH_C)


def _judged(month: date) -> dict[int, Judged]:
    """Gowns of the last year whose checks have come to an end, by size id."""
    ended = Gown.objects.filter(received_at__date__gte=month.replace(year=month.year - 1), state__in=ENDED)
    rows = (
        ended.order_by()
        .values_list("size_id")
        .annotate(passed=Count("pk", filter=Q(state__in=PASSED)), judged=Count("pk"))
    )
    return {size_id: Judged(passed_count=passed, judged_count=judged) for size_id, passed, judged in rows}
