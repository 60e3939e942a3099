"""A batch and the shelf as one order for the planner, with what the plan must remember of them."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, cast

from gowngroup.batches.models import Batch, BatchLine
from gowngroup.batches.planner.asks import (
    Ask,
    AvoidedShades,
    Line,
    open_asks,
    shades_of_set,
    usual_wash_c,
    washes_needed,
)
from gowngroup.batches.planner.kits import batch_kit, kit_minutes
from gowngroup.batches.planner.materials import parts_of
from gowngroup.batches.planner.packages import packages
from gowngroup.batches.planner.shelf import Shelf, the_shelf
from gowngroup.catalog.models import DesignRevision
from gowngroup.catalog.planner import GownNeed, PlannerSettings, gown_need, planner_settings
from gowngroup.people.models import LengthUnit
from gowngroup.people.queries import the_group
from gowngroup.planning.batch_plan import BatchKit, BatchOrder, BatchRules, CuttingWay
from gowngroup.planning.batch_plan.order import Measure
from gowngroup.stock.models import Material


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderKit:
    """A kit of the order and the rows it comes from."""

    kit: BatchKit
    line: BatchLine
    need: GownNeed
    request_line_id: int | None = None

    @property
    def minutes_range(self) -> tuple[int, int]:
        """Minutes the kit takes a quick and a slow worker."""
        usual = kit_minutes(self.need)
        count = self.kit.gown_count
        return round(usual.short_min * count), round(usual.long_min * count)


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedLine:
    """A line that cannot be made, whatever lies on the shelf, and why in sentences."""

    line: BatchLine
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """What a committed plan has not cut yet: lays to set free, kits to plan anew; and the kits that stay as they are."""

    plan_id: int
    plan_number: int
    lay_ids: tuple[int, ...]
    kit_numbers: tuple[int, ...]
    kept_numbers: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """Everything a plan is worked out from; `rest` where it plans anew what an earlier one has not cut."""

    batch: Batch
    lines: tuple[BatchLine, ...]
    asks: tuple[Ask, ...]
    settings: PlannerSettings
    shelf: Shelf
    kits: tuple[OrderKit, ...]
    refused: tuple[RefusedLine, ...]
    sets_left: tuple[str, ...]
    materials: Mapping[str, Material]
    order: BatchOrder
    rest: Rest | None = None


@dataclass(slots=True, kw_only=True)
class Makeable:
    """A line that can be made, with the gowns not yet dealt to a kit."""

    line: BatchLine
    need: GownNeed
    wash_c: int
    materials: Mapping[tuple[str, str], str]
    avoided_shades: tuple[str, ...] = ()
    left: int = field(init=False)

    def __post_init__(self) -> None:
        self.left = self.line.gown_count


Dealt = tuple[tuple[OrderKit, ...], tuple[str, ...]]


def prepared(batch: Batch) -> Prepared:
    """The batch's lines as kits, matched sets first, against the shelf as it is now."""
    asks = tuple(open_asks(batch.month))
    return prepared_as(
        batch, lines_to_make(batch), asks, deal=lambda makeable: _kits(makeable, asks), shelf=the_shelf()
    )


def prepared_as(
    batch: Batch,
    lines: Sequence[BatchLine],
    asks: tuple[Ask, ...],
    *,
    deal: Callable[[Sequence[Makeable]], Dealt],
    shelf: Shelf,
    rest: Rest | None = None,
) -> Prepared:
    """These lines, dealt out to kits in this way, against this shelf."""
    settings = planner_settings()
    makeable, refused = _needs(lines, asks, settings)
    kits, sets_left = deal(makeable)
    return Prepared(
        batch=batch,
        lines=tuple(lines),
        asks=asks,
        settings=settings,
        shelf=shelf,
        kits=kits,
        refused=refused,
        sets_left=sets_left,
        materials=(chosen := _chosen(batch)),
        order=_order(batch, [kit.kit for kit in kits], shelf, settings=settings, materials=chosen.values()),
        rest=rest,
    )


def lines_to_make(batch: Batch) -> Sequence[BatchLine]:
    """The lines that make gowns, in the batch's order."""
    rows = batch.lines.filter(gown_count__gt=0)
    return list(rows.select_related("design_revision__design", "design_revision__chart", "size"))


def _order(
    batch: Batch,
    kits: Iterable[BatchKit],
    shelf: Shelf,
    *,
    settings: PlannerSettings,
    materials: Iterable[Material],
) -> BatchOrder:
    measure: Measure = "imperial" if the_group().length_unit == LengthUnit.INCH else "metric"
    return BatchOrder(
        kits=tuple(kits),
        rules=BatchRules.from_figures(settings.figures, measure=measure),
        lots=shelf.cloth,
        trims=shelf.trims,
        skeins=shelf.skeins,
        spools=shelf.spools,
        notions=shelf.notions,
        packages=tuple(packages(materials, settings.figures)),
        cutting_way=cast(CuttingWay, batch.cutting_way),
    )


def _chosen(batch: Batch) -> dict[str, Material]:
    return {str(choice.material_id): choice.material for choice in batch.choices.select_related("material")}


def _needs(
    lines: Iterable[BatchLine], asks: Sequence[Ask], settings: PlannerSettings
) -> tuple[list[Makeable], tuple[RefusedLine, ...]]:
    """What each line's gown needs; lines that cannot be made are told apart."""
    washes, avoided = washes_needed(asks), AvoidedShades(asks=asks)
    makeable, refused = [], []
    keys: dict[int, dict[tuple[str, str], str]] = {}
    for line in lines:
        revision = line.design_revision
        need = gown_need(revision=revision, size=line.size, purpose=line.purpose, settings=settings)
        if need.faults:
            refused.append(RefusedLine(line=line, sentences=need.faults))
            continue
        if revision.pk not in keys:
            keys[revision.pk] = material_keys(line.batch, revision)
        asked_c = washes.get((line.size_id, line.purpose))
        wash_c = usual_wash_c(line.size) if asked_c is None else asked_c
        makeable.append(
            Makeable(
                line=line,
                need=need,
                wash_c=wash_c,
                materials=keys[revision.pk],
                avoided_shades=avoided.of_line((line.size_id, line.purpose), revision.closure),
            )
        )
    return makeable, tuple(refused)


def material_keys(batch: Batch, revision: DesignRevision) -> dict[tuple[str, str], str]:
    """The chosen material of each part, or what stands for a choice not yet made."""
    rows = batch.choices.filter(design_revision=revision)
    chosen = {(row.kind, row.part): str(row.material_id) for row in rows}
    missing = {
        (part.kind, part.name): part.missing_key for part in parts_of(revision) if part.kind != "cloth"
    }
    return {**missing, **chosen}


def _kits(makeable: Sequence[Makeable], asks: Sequence[Ask]) -> Dealt:
    """Kits numbered from 1: those of matched sets first, then line by line; and the sets left out."""
    drawn: list[dict[str, Any]] = []
    left_out: list[str] = []
    for set_key, members in _sets(asks).items():
        taken = _take_set(makeable, members)
        if taken is None:
            left_out.append(set_key)
            continue
        first = members[0].request_line
        line_id = first.pk if first else None
        drawn += [
            {"source": each, "gown_count": ask.gown_count, "set_key": set_key, "request_line_id": line_id}
            for each, ask in taken
        ]
    drawn += [
        {"source": each, "gown_count": count, "set_key": None, "request_line_id": None}
        for each in makeable
        for count in shares(each)
    ]
    return tuple(order_kit(number, **each) for number, each in enumerate(drawn, start=1)), tuple(left_out)


def _sets(asks: Iterable[Ask]) -> dict[str, list[Ask]]:
    sets: dict[str, list[Ask]] = defaultdict(list)
    for ask in asks:
        if ask.set_key is not None:
            sets[ask.set_key].append(ask)
    return sets


def _take_set(makeable: Sequence[Makeable], members: Sequence[Ask]) -> list[tuple[Makeable, Ask]] | None:
    """Deal the gowns of a set out of the batch's lines, or none of them."""
    before = [each.left for each in makeable]
    taken = []
    for ask in members:
        source = next((each for each in makeable if _suits(each, ask)), None)
        if source is None:
            for each, left in zip(makeable, before, strict=True):
                each.left = left
            return None
        source.left -= ask.gown_count
        taken.append((source, ask))
    return taken


def _suits(source: Makeable, ask: Ask) -> bool:
    line: Line = (source.line.size_id, source.line.purpose)
    is_accepted = source.line.design_revision.closure in ask.ward.closures
    return line == ask.line and is_accepted and source.left >= ask.gown_count


def shares(source: Makeable) -> Iterator[int]:
    """What is left of a line in kits of the size wished, the last one smaller."""
    while source.left > 0:
        count = min(source.left, source.line.gowns_per_kit)
        source.left -= count
        yield count


def order_kit(
    number: int, *, source: Makeable, gown_count: int, set_key: str | None, request_line_id: int | None
) -> OrderKit:
    """A kit of so many gowns of a line, under its number in the plan."""
    of_set = shades_of_set(request_line_id) if set_key else None
    return OrderKit(
        kit=batch_kit(
            key=str(number),
            revision=source.line.design_revision,
            need=source.need,
            gown_count=gown_count,
            wash_c=source.wash_c,
            materials=source.materials,
            set_key=set_key,
            avoided_shades=source.avoided_shades if of_set is None else of_set,
        ),
        line=source.line,
        need=source.need,
        request_line_id=request_line_id,
    )
