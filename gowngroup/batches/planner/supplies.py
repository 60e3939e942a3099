"""Gowns there already: passed, in check, and on their way from kits and other batches."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from django.db.models import F, Sum

from gowngroup.batches.models import Batch, BatchLine, Kit
from gowngroup.batches.planner.asks import ENDED, Ask, Line
from gowngroup.planning.mix import Judged
from gowngroup.planning.shades import avoided_word
from gowngroup.stock.models import Material
from gowngroup.wards.models import Ward

# Of gowns whose cloth is still to be chosen, and will be so that it suits.
STANDS_ANY_WASH_C = 100


class GownKind(NamedTuple):
    """What decides which ward may be given a gown; `cloth` names its outer cloth, shade and all."""

    size_id: int
    purpose: str
    closure: str
    cloth: str = ""
    wash_max_c: int = STANDS_ANY_WASH_C

    @property
    def line(self) -> Line:
        """Size and purpose."""
        return self.size_id, self.purpose

    def why_not_for(self, ward: Ward) -> str | None:
        """The code of what keeps such a gown from a ward that asks for its size and purpose; None where nothing does."""
        if self.closure not in ward.closures:
            return "closure_refused"
        if avoided_word(self.cloth, ward.avoided_shades):
            return "shade_avoided"
        return "wash_refused" if self.wash_max_c < ward.wash_c else None


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
    counts = counts_by_kind(
        kits.order_by().values_list(*kind, "outer_lot__material_id").annotate(total=still), unknown_wash_c=0
    )
    rows = others.exclude(batch=batch).order_by().values_list(*kind).annotate(total=Sum("gown_count"))
    for *found, count in rows:
        counts[GownKind(*found)] += count
    return counts


def counts_by_kind(
    rows: Iterable[tuple[int, str, str, int | None, int]], *, unknown_wash_c: int
) -> Counter[GownKind]:
    """Gowns counted by size id, purpose, closure and material id of their outer cloth, with the cloth's name and wash.

    Where the cloth is not known its shade is taken for welcome, and `unknown_wash_c` for what it stands.
    """
    found = list(rows)
    cloths = Material.objects.in_bulk({row[3] for row in found if row[3] is not None})
    counts: Counter[GownKind] = Counter()
    for size_id, purpose, closure, material_id, count in found:
        cloth = cloths.get(material_id) if material_id is not None else None
        name, wash_max_c = (str(cloth), cloth.wash_max_c) if cloth else ("", unknown_wash_c)
        counts[GownKind(size_id, purpose, closure, name, wash_max_c)] += count
    return counts


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """Gowns there that wards which ask for such gowns may not be given, and the code of what keeps them from it."""

    code: str
    gown_count: int
    wards: tuple[str, ...]


def refused_gowns(counts: Mapping[GownKind, int], asks: Sequence[Ask]) -> dict[Line, list[Refused]]:
    """By size and purpose what is there and not counted for a ward, one for each cause and wards it keeps them from."""
    asking: dict[Line, dict[int, Ward]] = defaultdict(dict)
    for ask in asks:
        if ask.set_key is None:
            asking[ask.line][ask.ward.pk] = ask.ward
    found: dict[tuple[Line, str, tuple[str, ...]], int] = defaultdict(int)
    for kind, count in counts.items():
        kept_from: dict[str, list[str]] = defaultdict(list)
        for ward in asking[kind.line].values():
            if count and (cause := kind.why_not_for(ward)):
                kept_from[cause].append(str(ward))
        for code, names in kept_from.items():
            found[kind.line, code, tuple(sorted(names))] += count
    refused: dict[Line, list[Refused]] = defaultdict(list)
    for (line, code, wards), count in sorted(found.items()):
        refused[line].append(Refused(code=code, gown_count=count, wards=wards))
    return refused
