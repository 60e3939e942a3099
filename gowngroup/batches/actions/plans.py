"""Committing a plan: what it takes is held on the shelf, and its lays and kits are made."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _

from gowngroup.batches.actions.jobs import jobs_of, settle_state
from gowngroup.batches.actions.kits import ClothNotMeasured
from gowngroup.batches.actions.replanning import (
    RestChanged,
    give_up_homeless,
    hold_rest,
    require_rest,
    set_rest_free,
)
from gowngroup.batches.models import Batch, Kit, KitLine, Lay, MatchedSet, Plan, Reservation
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.order import Rest
from gowngroup.batches.planner.packing import taken_from_shelf
from gowngroup.batches.planner.shelf import UM_PER_MM, is_package, lot_id_of
from gowngroup.batches.planner.words import cloth_text, item_text
from gowngroup.batches.queries.batches import OPEN_STATES
from gowngroup.catalog.actions import mark_revision_used
from gowngroup.catalog.models import DesignRevision, MaterialKind
from gowngroup.people.models import Person
from gowngroup.people.queries import group_reader
from gowngroup.planning.allocation import LotCut
from gowngroup.records.actions import action, new_code, record
from gowngroup.records.codes import spaced
from gowngroup.records.errors import Refusal, Short, Taken
from gowngroup.records.models import Job
from gowngroup.records.reader import reading_as
from gowngroup.stock.actions import open_package, reserve_amount
from gowngroup.stock.models import Lot


class AlreadyCommitted(Taken):
    """The batch is under way already."""


class PlanOutOfDate(Taken):
    """The batch has been changed since the plan was made."""


class EmptyPlan(Refusal):
    """The plan makes no kit at all."""


class ClothChanged(Taken):
    """A lot has been measured again, or its flaws marked, since the plan was made."""


class PlanInUse(Taken):
    """A committed plan is kept."""


class StillImproving(Taken):
    """Better plans are still looked for, so that this one may be replaced at any moment."""


@action
def commit_plan(*, plan: Plan, by: Person, at: datetime, request_key: str = "") -> Plan:
    """Hold everything a plan takes, and make its lays and kits; all of it or nothing.

    Lots are held in the order of their numbers, so that two plans committed at once never block each other.
    """
    replaced = _taken_batch(plan)
    end_search(plan, at=at)
    # A better one may have been stored since the page was shown.
    plan.refresh_from_db()
    stored = StoredPlan.of(plan)
    if not stored.fits(plan.batch):
        raise PlanOutOfDate(
            _("The batch has been changed since this plan was made; plan again, then commit that plan.")
        )
    if not stored.plan.cuts:
        raise EmptyPlan(
            _("This plan makes no gowns. See why below, put that right, and plan the batch again.")
        )
    kits = _kits_to_keep(replaced, stored, by=by, at=at)
    Plan.objects.filter(pk=plan.pk).update(committed_at=at)
    plan.refresh_from_db(fields=["committed_at"])
    lots = _held_supplies(plan, stored, by=by, at=at)
    lays = _lays(plan, stored)
    _hold_cloth(plan, stored, lays, by=by, at=at)
    _freeze(stored, by=by, at=at)
    with reading_as(group_reader()):
        kit_count = _make_kits(plan, stored, lays=lays, lots=lots, kept=kits, by=by, at=at)
        give_up_homeless(kits, plan, by=by, at=at)
    record(by=by, at=at, did="commit_plan", subject=plan, changes={"kit_count": kit_count})
    return plan


def _taken_batch(plan: Plan) -> Plan | None:
    """Hold the batch; gives the plan whose rest this one takes the place of."""
    if plan.replaces_id is not None:
        replaced = hold_rest(plan.batch, _rest_of(plan))
        require_rest(replaced)
        return replaced
    taken = Batch.objects.filter(pk=plan.batch_id, state__in=OPEN_STATES).update(state=Batch.State.COMMITTED)
    plan.batch.refresh_from_db()
    if not taken:
        raise AlreadyCommitted(_("This batch is under way already; a plan is committed once only."))
    return None


def _rest_of(plan: Plan) -> Rest:
    rest = StoredPlan.of(plan).rest
    if rest is None:
        raise RestChanged(
            _("This plan does not say what it takes the place of; plan what is not cut yet once more.")
        )
    return rest


def _kits_to_keep(replaced: Plan | None, stored: StoredPlan, *, by: Person, at: datetime) -> dict[str, Kit]:
    """Kits that are made anew under their own code, by number; none where nothing is replaced."""
    if replaced is None or stored.rest is None:
        return {}
    lot_ids = {lot_id_of(key) for key in (*taken_from_shelf(stored.packing), *_cut_lots(stored))}
    return set_rest_free(replaced, stored.rest, lot_ids, by=by, at=at)


def _cut_lots(stored: StoredPlan) -> list[str]:
    return [cut.lot_key for cut in stored.plan.cuts]


def end_search(plan: Plan, *, at: datetime) -> None:
    """End the search for better plans than this one where its worker is gone; refuse while it goes on."""
    job = jobs_of(plan.batch).filter(result_id=plan.pk).select_for_update().first()
    if job is None:
        return
    if not job.is_interrupted(at):
        raise StillImproving(
            _(
                "Better plans than this one are still being looked for. Stop that and keep this plan, or wait for it."
            )
        )
    Job.objects.filter(pk=job.pk).update(state=Job.State.DONE, finished_at=at)


def _held_supplies(plan: Plan, stored: StoredPlan, *, by: Person, at: datetime) -> dict[str, Lot]:
    """The lot each supply is now held in; unopened packages are opened first."""
    amounts = taken_from_shelf(stored.packing)
    held: dict[str, Lot] = {}
    for key in sorted(amounts, key=_in_order):
        lot = Lot.objects.select_related("material").get(pk=lot_id_of(key))
        if is_package(key):
            lot = _opened(lot, by=by, at=at)
        _hold(plan, lot, amounts[key], by=by, at=at)
        held[key] = lot
    return held


def _opened(lot: Lot, *, by: Person, at: datetime) -> Lot:
    try:
        return open_package(lot=lot, by=by, at=at)
    except Short as refusal:
        raise Short(
            _(
                "No unopened package of %(material)s, lot %(lot)s, is free any more: something else has taken it since "
                "this plan was made. Plan it again."
            )
            % {"material": lot.material, "lot": spaced(lot.code)}
        ) from refusal


def _in_order(supply_key: str) -> tuple[int, int]:
    return lot_id_of(supply_key), int(supply_key.partition(".")[2] or 0)


def _hold(
    plan: Plan, lot: Lot, amount: int, *, lay: Lay | None = None, by: Person, at: datetime
) -> Reservation:
    reserve_amount(lot=lot, amount=amount, reference=f"plan {plan.pk}", by=by, at=at)
    return Reservation.objects.create(plan=plan, lot=lot, lay=lay, amount=amount, open_amount=amount)


def _lays(plan: Plan, stored: StoredPlan) -> dict[str, Lay]:
    """A lay for each lot that is cut, numbered as in the plan."""
    return {
        cut.lot_key: Lay.objects.create(
            plan=plan, number=number, lot_id=lot_id_of(cut.lot_key), length_um=_length_um(cut)
        )
        for number, cut in enumerate(stored.plan.cuts, start=1)
    }


def _length_um(cut: LotCut) -> int:
    return round(cut.lay.length_mm * UM_PER_MM)


def _hold_cloth(plan: Plan, stored: StoredPlan, lays: Mapping[str, Lay], *, by: Person, at: datetime) -> None:
    for cut in sorted(stored.plan.cuts, key=lambda each: lot_id_of(each.lot_key)):
        lot = Lot.objects.select_related("material").get(pk=lot_id_of(cut.lot_key))
        _hold(plan, lot, _length_um(cut), lay=lays[cut.lot_key], by=by, at=at)
        _check_cloth(lot, stored)


def _check_cloth(lot: Lot, stored: StoredPlan) -> None:
    """Only cloth that is washed and measured, and lies as it lay when the plan was made, can be cut from it."""
    if not lot.can_be_cut():
        raise ClothNotMeasured(
            _("Lot %(lot)s must be washed and measured before it can be cut; do that, then plan again.")
            % {"lot": spaced(lot.code)}
        )
    seen = stored.lot(str(lot.pk))
    if (seen["width_um"], seen["flaws"]) != (lot.width_um, lot.flaws):
        raise ClothChanged(
            _("Lot %(lot)s has been measured again or its flaws were marked since this plan; plan again.")
            % {"lot": spaced(lot.code)}
        )


def _freeze(stored: StoredPlan, *, by: Person, at: datetime) -> None:
    made = {stored.kits[kit.key]["revision_id"] for kit in stored.plan.kits if kit.lot_key}
    for revision in DesignRevision.objects.filter(pk__in=made).order_by("pk"):
        mark_revision_used(revision=revision, by=by, at=at)


def _make_kits(
    plan: Plan,
    stored: StoredPlan,
    *,
    lays: Mapping[str, Lay],
    lots: Mapping[str, Lot],
    kept: dict[str, Kit],
    by: Person,
    at: datetime,
) -> int:
    """The kits whose cloth was found, with everything that goes into them; those made before are taken out of `kept`."""
    sets: dict[str, MatchedSet] = {}
    made = [kit for kit in stored.plan.kits if kit.lot_key is not None]
    for planned in made:
        lay, facts = lays[planned.lot_key or ""], stored.kits[planned.key]
        kit = kept.pop(planned.key, None)
        if kit is None:
            kit = _make_kit(plan, facts, lay, sets)
            record(by=by, at=at, did="make_kit", subject=kit, changes={"lay_id": lay.pk})
        else:
            _make_anew(kit, facts, lay, by=by, at=at)
        KitLine.objects.bulk_create(_lines(kit, stored, planned.key, lots))
    return len(made)


def _make_anew(kit: Kit, facts: Mapping[str, Any], lay: Lay, *, by: Person, at: datetime) -> None:
    """A kit under its own code and number, cut from another lay."""
    changes = {"lay_id": [kit.lay_id, lay.pk], "outer_lot_id": [kit.outer_lot_id, lay.lot_id]}
    kit.lay, kit.outer_lot = lay, lay.lot
    kit.minutes_low, kit.minutes_high = facts["minutes_low"], facts["minutes_high"]
    kit.save(update_fields=["lay", "outer_lot", "minutes_low", "minutes_high"])
    kit.lines.all().delete()
    record(by=by, at=at, did="replan_kit", subject=kit, changes=changes)


def _make_kit(plan: Plan, facts: Mapping[str, Any], lay: Lay, sets: dict[str, MatchedSet]) -> Kit:
    return Kit.objects.create(
        code=new_code("K"),
        number=int(facts["key"]),
        batch_id=plan.batch_id,
        lay=lay,
        outer_lot_id=lay.lot_id,
        design_revision_id=facts["revision_id"],
        size_id=facts["size_id"],
        purpose=facts["purpose"],
        gown_count=facts["gown_count"],
        minutes_low=facts["minutes_low"],
        minutes_high=facts["minutes_high"],
        matched_set=_set_of(facts, sets),
    )


def _set_of(facts: Mapping[str, Any], sets: dict[str, MatchedSet]) -> MatchedSet | None:
    key: str | None = facts["set_key"]
    if key is None:
        return None
    if key not in sets:
        sets[key] = MatchedSet.objects.create(request_line_id=facts["request_line_id"])
    return sets[key]


def _lines(kit: Kit, stored: StoredPlan, kit_key: str, lots: Mapping[str, Lot]) -> list[KitLine]:
    items = [item for item in stored.packing if item.kit_key == kit_key]
    cloth = KitLine(kind=MaterialKind.CLOTH, text=cloth_text(stored, kit_key), lot_id=kit.outer_lot_id)
    things = [
        KitLine(
            kind=item.kind,
            text=item_text(item, stored),
            lot=lots[item.supply_key] if item.supply_key else None,
            amount=item.amount if item.supply_key else 0,
        )
        for item in items
    ]
    sheet = KitLine(kind="sheet", text=_("the kit sheet, its first page on top"))
    lines = [cloth, *things, sheet]
    for position, line in enumerate(lines, start=1):
        line.kit, line.position = kit, position
    return lines


@action
def drop_plan(*, plan: Plan, by: Person, at: datetime, request_key: str = "") -> None:
    """Throw a plan away that was never committed."""
    batch = Batch.objects.select_for_update().get(pk=plan.batch_id)
    end_search(plan, at=at)
    if Plan.objects.filter(pk=plan.pk, committed_at__isnull=False).exists():
        raise PlanInUse(_("This plan has been committed; it is kept with its kits."))
    record(by=by, at=at, did="drop_plan", subject=plan, changes={"batch_id": plan.batch_id})
    Plan.objects.filter(pk=plan.pk).delete()
    settle_state(batch)
