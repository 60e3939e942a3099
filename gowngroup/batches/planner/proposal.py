"""The month's proposal: from asks, shelf, kits out, hours and cloth to lines of a batch."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, cast

from gowngroup.batches.models import Batch
from gowngroup.batches.planner.asks import Ask, Line, counts_on_the_way, open_asks, washes_needed
from gowngroup.batches.planner.kits import batch_kit, kit_minutes
from gowngroup.batches.planner.shelf import the_shelf
from gowngroup.catalog.models import DesignRevision, Size
from gowngroup.catalog.planner import PlannerSettings, gown_need, planner_settings
from gowngroup.catalog.queries import revisions_in_use
from gowngroup.people.queries import the_group
from gowngroup.planning.allocation import ClothLot, CuttingSettings, lot_refusal, strip_of
from gowngroup.planning.allocation.suits import good_length_mm
from gowngroup.planning.batch_plan import BatchRules
from gowngroup.planning.batch_plan.cloth import kit_cloth
from gowngroup.planning.lay.values import pieces_area_mm2
from gowngroup.planning.mix import (
    ClothRoom,
    GownChoice,
    GownSupply,
    ProposalLine,
    Purpose,
    WardAsk,
    propose,
)

Counts = Mapping[Line, int]
Reasons = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposedLine:
    """A line to put into the batch; `reason` holds codes and numbers, worded when shown."""

    revision: DesignRevision
    size_id: int
    purpose: str
    gown_count: int
    reason: Reasons


@dataclass(frozen=True, slots=True, kw_only=True)
class _Option:
    """A design that can be made in a size for a purpose: its cloth, its lots, its minutes."""

    revision: DesignRevision
    line: Line
    cloth_mm2: float
    lot_keys: tuple[str, ...]
    minutes: float

    @property
    def size_name(self) -> str:
        """Size and design together, as two wards may need the same size closed differently."""
        return f"{self.line[0]}|{self.revision.pk}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Means:
    """What options are looked at with: figures, the cloth there is, the wards' wash temperatures."""

    settings: PlannerSettings
    cutting: CuttingSettings
    cloth: Sequence[ClothLot]
    washes: Counts


def proposed_lines(batch: Batch, *, passed: Counts, in_check: Counts) -> tuple[ProposedLine, ...]:
    """What to make this month and why; empty where nothing is asked or no design suits."""
    asks = open_asks(batch.month)
    settings = planner_settings()
    means = _Means(
        settings=settings,
        cutting=BatchRules.from_figures(settings.figures).cutting,
        cloth=the_shelf().cloth,
        washes=washes_needed(asks),
    )
    options = _options(asks, means)
    chosen = [(ask, _choose(ask, options[ask.line], asks)) for ask in asks]
    told = propose(
        [_ward_ask(ask, option) for ask, option in chosen if option],
        supplies=_supplies(chosen, passed, counts_on_the_way(batch) + Counter(in_check)),
        choices=_choices(option for _, option in chosen if option),
        cloth=_rooms(means),
        capacity_min=batch.hours_offered_min,
        share_passed=the_group().share_passed_percent / 100,
    )
    revisions = {str(option.revision.pk): option.revision for _, option in chosen if option}
    return tuple(_proposed(line, revisions) for line in told)


def _options(asks: Iterable[Ask], means: _Means) -> dict[Line, list[_Option]]:
    """Every design that can be made for what is asked, worked out once for each size and purpose."""
    sizes = {ask.line: ask.size for ask in asks}
    options: dict[Line, list[_Option]] = defaultdict(list)
    for revision in revisions_in_use():
        made_in = set(revision.sizes.values_list("size_id", flat=True))
        for line, size in sizes.items():
            if size.pk in made_in and (option := _option(revision, size, line[1], means)):
                options[line].append(option)
    return options


def _option(revision: DesignRevision, size: Size, purpose: str, means: _Means) -> _Option | None:
    need = gown_need(revision=revision, size=size, purpose=purpose, settings=means.settings)
    if not need.can_be_made:
        return None
    line = (size.pk, purpose)
    kit = kit_cloth(batch_kit(key="1", revision=revision, need=need, wash_c=means.washes[line]), ())
    return _Option(
        revision=revision,
        line=line,
        cloth_mm2=pieces_area_mm2(kit.pieces),
        lot_keys=tuple(lot.key for lot in means.cloth if lot_refusal(kit, lot, means.cutting) is None),
        minutes=kit_minutes(need).usual_min,
    )


def _choose(ask: Ask, options: Sequence[_Option], asks: Sequence[Ask]) -> _Option | None:
    """Of the designs whose closure the ward accepts: what most asking wards accept, then one with cloth."""
    asking = {other.ward.pk: other.ward for other in asks if other.line == ask.line}

    def service(option: _Option) -> tuple[int, bool, int, int]:
        accepting = sum(option.revision.closure in ward.closures for ward in asking.values())
        return accepting, bool(option.lot_keys), -option.revision.difficulty, -option.revision.pk

    suiting = [option for option in options if option.revision.closure in ask.ward.closures]
    return max(suiting, key=service, default=None)


def _ward_ask(ask: Ask, option: _Option) -> WardAsk:
    return WardAsk(
        ward_key=str(ask.ward.pk),
        size_name=option.size_name,
        purpose=cast(Purpose, ask.purpose),
        gown_count=ask.gown_count,
        matched_set_key=ask.set_key,
    )


def _choices(options: Iterable[_Option]) -> tuple[GownChoice, ...]:
    distinct = {(option.size_name, option.line[1]): option for option in options}
    return tuple(
        GownChoice(
            size_name=size_name,
            purpose=cast(Purpose, purpose),
            design_key=str(option.revision.pk),
            minutes_per_gown=option.minutes,
            cloth_mm2=option.cloth_mm2,
            lot_keys=option.lot_keys,
        )
        for (size_name, purpose), option in distinct.items()
    )


def _supplies(
    chosen: Iterable[tuple[Ask, _Option | None]], passed: Counts, out: Counts
) -> tuple[GownSupply, ...]:
    """Gowns there already, put down to the design first chosen for their size and purpose."""
    first: dict[Line, str] = {}
    for ask, option in chosen:
        if option is not None:
            first.setdefault(ask.line, option.size_name)
    return tuple(
        GownSupply(
            size_name=size_name,
            purpose=cast(Purpose, line[1]),
            shelf_count=passed.get(line, 0),
            out_count=out.get(line, 0),
        )
        for line, size_name in first.items()
    )


def _rooms(means: _Means) -> tuple[ClothRoom, ...]:
    strips = ((lot.key, strip_of(lot, means.cutting)) for lot in means.cloth)
    return tuple(
        ClothRoom(
            lot_key=key,
            area_mm2=strip.usable_width_mm * good_length_mm(strip) * means.cutting.expected_lay_share,
        )
        for key, strip in strips
    )


def _proposed(line: ProposalLine, revisions: Mapping[str, DesignRevision]) -> ProposedLine:
    return ProposedLine(
        revision=revisions[line.design_key or ""],
        size_id=int(line.size_name.split("|")[0]),
        purpose=line.purpose,
        gown_count=line.make_count,
        reason={
            "reasons": [{"code": each.code, "values": dict(each.values)} for each in line.reasons],
            "wards": [
                {
                    "ward_id": int(share.ward_key),
                    "asked": share.asked_count,
                    "covered": share.covered_count,
                    "make": share.make_count,
                }
                for share in line.shares
            ],
        },
    )
