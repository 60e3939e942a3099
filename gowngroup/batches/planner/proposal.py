"""The month's proposal: from asks, shelf, kits out, hours and cloth to lines of a batch."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, cast

from gowngroup.batches.models import Batch
from gowngroup.batches.planner.asks import Ask, AvoidedShades, Line, open_asks, usual_wash_c, washes_needed
from gowngroup.batches.planner.kits import batch_kit
from gowngroup.batches.planner.proposal_words import ANY_STAGE
from gowngroup.batches.planner.shelf import UM_PER_MM, the_shelf
from gowngroup.batches.planner.supplies import (
    GownKind,
    GownsThere,
    Refused,
    counts_on_the_way,
    refused_gowns,
)
from gowngroup.catalog.models import DesignRevision, Purpose, Size
from gowngroup.catalog.planner import GownNeed, PlannerSettings, gown_need, planner_settings
from gowngroup.catalog.queries import revisions_in_use, sizes
from gowngroup.people.queries import the_group
from gowngroup.planning import mix
from gowngroup.planning.allocation import ClothLot, CuttingSettings, lot_refusal, strip_of
from gowngroup.planning.allocation.suits import good_length_mm
from gowngroup.planning.batch_plan import BatchRules
from gowngroup.planning.batch_plan.cloth import kit_cloth
from gowngroup.planning.lay.values import pieces_area_mm2
from gowngroup.wards.models import Ward
from gowngroup.wards.queries import monthly_means, wards

Told = dict[str, Any]
NO_WEIGHT = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposedLine:
    """A line to put into the batch; `reason` holds codes and numbers, worded when shown."""

    revision: DesignRevision
    size_id: int
    purpose: str
    gown_count: int
    reason: Told


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposed:
    """The lines of a batch, and what the whole comes to: what is met, what binds, what would free it."""

    lines: tuple[ProposedLine, ...]
    told: Told


@dataclass(frozen=True, slots=True, kw_only=True)
class _Option:
    """A design that can be made in a size for a purpose: its cloth, its lots, its minutes."""

    revision: DesignRevision
    line: Line
    cloth_mm2: float
    lot_keys: tuple[str, ...]
    minutes: mix.StageMinutes


@dataclass(frozen=True, slots=True, kw_only=True)
class _Month:
    """What a proposal is worked out from."""

    batch: Batch
    asks: Sequence[Ask]
    there: GownsThere
    settings: PlannerSettings
    cutting: CuttingSettings
    cloth: Sequence[ClothLot]
    means: Mapping[int, float]
    wards: Sequence[Ward]
    out: Mapping[GownKind, int]

    @property
    def sizes(self) -> dict[Line, Size]:
        """What is asked, and what is asked so rarely that some is kept; smallest first."""
        known = {size.pk: size for size in sizes()}
        asked = {ask.line: ask.size for ask in self.asks}
        rare = {(pk, Purpose.WORN.value): known[pk] for pk in self.means if pk in known}
        return dict(sorted({**rare, **asked}.items(), key=lambda item: (item[1].upper_mass_g, item[0][1])))


def proposed_batch(batch: Batch, *, there: GownsThere) -> Proposed:
    """What to make this month and why; no lines where nothing is asked or no design suits.

    Raises mix.CannotPropose.
    """
    month = _month(batch, there)
    if not month.asks:
        return Proposed(lines=(), told={})
    options = list(_options(month))
    found = mix.propose(
        [_ward_ask(ask) for ask in month.asks],
        supplies=list(_supplies(month)),
        choices=[_choice(option, month) for option in options],
        cloth=_rooms(month),
        hours=mix.HoursOffered(
            total_min=batch.hours_offered_min,
            pleat_min=batch.pleat_min,
            smock_min=batch.smock_min,
            make_up_min=batch.make_up_min,
        ),
        demands=[
            mix.PastDemand(size_name=str(pk), monthly_mean=mean) for pk, mean in sorted(month.means.items())
        ],
        rules=mix.MixRules.from_figures(month.settings.figures),
    )
    revisions = {str(option.revision.pk): option.revision for option in options}
    refused = refused_gowns(Counter(there.passed) + Counter(month.out), month.asks)
    lines = tuple(
        _proposed(line, revisions[line.design_key], refused)
        for line in found.lines
        if line.design_key is not None
    )
    return Proposed(lines=lines, told=_told(found, month))


def _month(batch: Batch, there: GownsThere) -> _Month:
    settings = planner_settings()
    served = list(wards())
    listed = {size.pk for ward in served for size in ward.sizes.all()}
    means = monthly_means(before=batch.month)
    return _Month(
        batch=batch,
        asks=open_asks(batch.month),
        there=there,
        settings=settings,
        cutting=BatchRules.from_figures(settings.figures).cutting,
        cloth=the_shelf().cloth,
        means={size_id: mean for size_id, mean in means.items() if size_id in listed},
        wards=served,
        out=counts_on_the_way(batch) + Counter(there.in_check),
    )


def _options(month: _Month) -> Iterator[_Option]:
    """Every design that can be made for what is wanted, worked out once for each size and purpose."""
    wanted = month.sizes
    washes = washes_needed(month.asks)
    avoided = AvoidedShades(asks=month.asks, served=month.wards)
    for revision in revisions_in_use():
        made_in = set(revision.sizes.values_list("size_id", flat=True))
        for line, size in wanted.items():
            if size.pk in made_in and _is_accepted(revision, line, month):
                wash_c = washes[line] if line in washes else usual_wash_c(size)
                words = avoided.of_line(line, revision.closure)
                if option := _option(
                    revision, size, line[1], wash_c=wash_c, avoided_shades=words, month=month
                ):
                    yield option


def _is_accepted(revision: DesignRevision, line: Line, month: _Month) -> bool:
    """Does any ward that asks for it, or takes the size, accept the closure?"""
    asking = [ask.ward for ask in month.asks if ask.line == line]
    taking = [ward for ward in month.wards if any(size.pk == line[0] for size in ward.sizes.all())]
    return any(revision.closure in ward.closures for ward in asking or taking)


def _option(
    revision: DesignRevision,
    size: Size,
    purpose: str,
    *,
    wash_c: int,
    avoided_shades: tuple[str, ...],
    month: _Month,
) -> _Option | None:
    need = gown_need(revision=revision, size=size, purpose=purpose, settings=month.settings)
    if not need.can_be_made:
        return None
    kit = batch_kit(key="1", revision=revision, need=need, wash_c=wash_c, avoided_shades=avoided_shades)
    cloth = kit_cloth(kit, ())
    return _Option(
        revision=revision,
        line=(size.pk, purpose),
        cloth_mm2=pieces_area_mm2(cloth.pieces),
        lot_keys=tuple(lot.key for lot in month.cloth if lot_refusal(cloth, lot, month.cutting) is None),
        minutes=stage_minutes(need),
    )


def stage_minutes(need: GownNeed) -> mix.StageMinutes:
    """Usual minutes of the stages volunteers do; lace, finishing and companions belong to making up, kits come cut."""
    usual = {time.stage: time.usual_min for time in need.stage_times}
    return mix.StageMinutes(
        pleat=usual.get("pleat", 0.0),
        smock=usual.get("smock", 0.0),
        make_up=sum(usual.get(stage, 0.0) for stage in ("make_up", "lace", "finish", "companions")),
    )


def _choice(option: _Option, month: _Month) -> mix.GownChoice:
    size_id, purpose = option.line
    revision = option.revision
    return mix.GownChoice(
        size_name=str(size_id),
        purpose=cast(mix.Purpose, purpose),
        design_key=str(revision.pk),
        minutes=option.minutes,
        cloth_mm2=option.cloth_mm2,
        lot_keys=option.lot_keys,
        cloth_key=_cloth_key(revision),
        ward_keys=_accepting(revision.closure, month.asks),
    )


def _cloth_key(revision: DesignRevision) -> str:
    least, greatest = revision.cloth_mass_min_g_per_m2, revision.cloth_mass_max_g_per_m2
    return f"{least or NO_WEIGHT}|{greatest or NO_WEIGHT}"


def _accepting(closure: str, asks: Iterable[Ask]) -> tuple[str, ...]:
    return tuple(sorted({str(ask.ward.pk) for ask in asks if closure in ask.ward.closures}))


def _ward_ask(ask: Ask) -> mix.WardAsk:
    return mix.WardAsk(
        ward_key=str(ask.ward.pk),
        size_name=str(ask.size.pk),
        purpose=cast(mix.Purpose, ask.purpose),
        gown_count=ask.gown_count,
        matched_set_key=ask.set_key,
    )


def _supplies(month: _Month) -> Iterator[mix.GownSupply]:
    """Gowns there already, those together that the same wards may be given."""
    passed, out = _by_wards(month, month.there.passed), _by_wards(month, month.out)
    shares, overall = _shares_passed(month)
    for (size_id, purpose), ward_keys in sorted({*passed, *out}):
        yield mix.GownSupply(
            size_name=str(size_id),
            purpose=cast(mix.Purpose, purpose),
            shelf_count=passed[(size_id, purpose), ward_keys],
            out_count=out[(size_id, purpose), ward_keys],
            share_passed=shares.get(str(size_id), overall),
            ward_keys=ward_keys,
        )


def _by_wards(month: _Month, counts: Mapping[GownKind, int]) -> Counter[tuple[Line, tuple[str, ...]]]:
    """Gowns by size and purpose and the wards asking for such that may be given them.

    Other wards part none of them from each other: those expected to pass are rounded down once for all that go together.
    """
    asking: dict[Line, dict[int, Ward]] = defaultdict(dict)
    for ask in month.asks:
        if ask.set_key is None:
            asking[ask.line][ask.ward.pk] = ask.ward
    found: Counter[tuple[Line, tuple[str, ...]]] = Counter()
    for kind, count in counts.items():
        may_have = (str(pk) for pk, ward in asking[kind.line].items() if kind.why_not_for(ward) is None)
        found[kind.line, tuple(sorted(may_have))] += count
    return found


def _shares_passed(month: _Month) -> tuple[Mapping[str, float], float]:
    judged = {str(size_id): each for size_id, each in month.there.judged.items()}
    usual_share = the_group().share_passed_percent / 100
    weight_count = month.settings.figures["mix_share_weight_count"]
    shares = mix.shares_passed(judged, usual_share=usual_share, weight_count=weight_count)
    return shares, mix.overall_share(judged, usual_share=usual_share, weight_count=weight_count)


def _rooms(month: _Month) -> tuple[mix.ClothRoom, ...]:
    strips = ((lot.key, strip_of(lot, month.cutting)) for lot in month.cloth)
    return tuple(
        mix.ClothRoom(
            lot_key=key,
            area_mm2=strip.usable_width_mm * good_length_mm(strip) * month.cutting.expected_lay_share,
        )
        for key, strip in strips
    )


def _proposed(
    line: mix.ProposalLine, revision: DesignRevision, refused: Mapping[Line, Sequence[Refused]]
) -> ProposedLine:
    asked, *others = ({"code": each.code, "values": dict(each.values)} for each in line.reasons)
    not_counted = [
        {"code": each.code, "values": {"count": each.gown_count, "wards": list(each.wards)}}
        for each in refused.get((int(line.size_name), line.purpose), ())
    ]
    return ProposedLine(
        revision=revision,
        size_id=int(line.size_name),
        purpose=line.purpose,
        gown_count=line.make_count,
        reason={
            "reasons": [asked, *not_counted, *others],
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


def _told(found: mix.Mix, month: _Month) -> Told:
    return {
        "asked": found.asked_count,
        "met": found.met_count,
        "memorial_short": found.memorial_short_count,
        "worst_ward_id": None if found.worst_ward_key is None else int(found.worst_ward_key),
        "worst_cover": found.worst_cover,
        "is_proven": found.is_proven,
        "freeing": [_freeing(limit, month) for limit in found.limits],
    }


def _freeing(limit: mix.Limit, month: _Month) -> Told:
    """What would free a limit: minutes of each stage, or of any, and cloth of each kind."""
    return {
        "code": limit.code,
        "more_count": limit.more_count,
        "more_min": {stage or ANY_STAGE: round(minutes) for stage, minutes in limit.more_min.items()},
        "more_cloth": [_more_cloth(key, area_mm2, month) for key, area_mm2 in sorted(limit.more_mm2.items())],
    }


def _more_cloth(cloth_key: str, area_mm2: float, month: _Month) -> Told:
    """Cloth of a kind as a length of the width shops usually sell."""
    width_mm = month.settings.figures["shop_cloth_width_mm"]
    least, _, greatest = cloth_key.partition("|")
    return {
        "length_um": round(area_mm2 / (width_mm * month.cutting.expected_lay_share) * UM_PER_MM),
        "width_um": round(width_mm * UM_PER_MM),
        "least_gsm": None if least in ("", NO_WEIGHT) else int(least),
        "greatest_gsm": None if greatest in ("", NO_WEIGHT) else int(greatest),
    }
