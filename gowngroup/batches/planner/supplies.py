"""Gowns there already: passed, in check, and on their way from kits and other batches."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from django.db.models import F, Sum

from gowngroup.batches.models import Batch, BatchLine, Kit
from gowngroup.batches.planner.asks import ENDED, Line
from gowngroup.planning.mix import Judged


class GownKind(NamedTuple):
    """What decides which ward may be given a gown."""

    size_id: int
    purpose: str
    closure: str

    @property
    def line(self) -> Line:
        """Size and purpose."""
        return self.size_id, self.purpose


@dataclass(frozen=True, slots=True, kw_only=True)
class GownsThere:
    """Gowns passed and in check, and by size id how many passed of those whose checks have ended."""

    passed: Mapping[GownKind, int] = field(default_factory=dict)
    in_check: Mapping[GownKind, int] = field(default_factory=dict)
    judged: Mapping[int, Judged] = field(default_factory=dict)


def counts_on_the_way(batch: Batch) -> Counter[GownKind]:
    """Gowns still to come back from kits, and gowns of other batches that have no kits yet."""
    kits = Kit.objects.exclude(state__in=ENDED).filter(matched_set__isnull=True)
    others = BatchLine.objects.filter(batch__state__in=(Batch.State.PROPOSED, Batch.State.PLANNED))
    kind = ("size_id", "purpose", "design_revision__closure")
    still = Sum(F("gown_count") - F("returned_count"))
    counts: Counter[GownKind] = Counter()
    for rows in (
        kits.order_by().values_list(*kind).annotate(total=still),
        others.exclude(batch=batch).order_by().values_list(*kind).annotate(total=Sum("gown_count")),
    ):
        for *found, count in rows:
            counts[GownKind(*found)] += count
    return counts
