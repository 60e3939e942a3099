"""Whether every stored plan still agrees with its lays and kits, and could be cut as it is drawn."""

from collections.abc import Iterator

from gowngroup.batches.models import Kit, Lay, Plan
from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.batches.planner.shelf import UM_PER_MM, lot_id_of
from gowngroup.planning.allocation import LotCut
from gowngroup.planning.lay.check import lay_faults
from gowngroup.planning.lay.values import outline_area_mm2

SHARE_ROUNDING = 1e-6


def violations() -> list[str]:
    """Stored plans that cannot be read, cannot be cut or differ from what was made; empty when all is well."""
    return [sentence for plan in _plans() for sentence in _faults_of(plan)]


def _plans() -> Iterator[Plan]:
    """One at a time: a document holds every outline of its batch."""
    for pk in Plan.objects.order_by("pk").values_list("pk", flat=True):
        yield Plan.objects.select_related("batch").get(pk=pk)


def _faults_of(plan: Plan) -> list[str]:
    try:
        stored = StoredPlan.of(plan)
        cuts, _needs = stored.plan.cuts, stored.needs
    except UNREADABLE as error:
        return [f"{plan}: its document cannot be read: {error!r}"]
    found = [f"{plan}, lot {cut.lot_key}: {fault}" for cut in cuts for fault in _cut_faults(cut)]
    if plan.committed_at is None:
        return found
    return [*found, *_lays_astray(plan, cuts), *_kits_astray(plan, stored)]


def _cut_faults(cut: LotCut) -> Iterator[str]:
    """Faults of the lay as placed, looked for by the independent check."""
    for fault in lay_faults(cut.lay, cut.pieces, cut.strip):
        yield f"{fault.code} {fault.amount:g}: {', '.join(fault.piece_names)}"
    if {piece.kit_key for piece in cut.pieces} != set(cut.kit_keys):
        yield "its pieces are not those of its kits"
    cloth_mm2 = cut.lay.length_mm * cut.strip.usable_width_mm
    share = sum(outline_area_mm2(piece.outline) for piece in cut.pieces) / cloth_mm2 if cloth_mm2 else 0.0
    if abs(share - cut.lay.used_share) > SHARE_ROUNDING:
        yield f"{cut.lay.used_share:.4f} of it is said to be used, its pieces fill {share:.4f}"


def _lays_astray(plan: Plan, cuts: tuple[LotCut, ...]) -> Iterator[str]:
    planned = [
        (number, lot_id_of(cut.lot_key), round(cut.lay.length_mm * UM_PER_MM))
        for number, cut in enumerate(cuts, start=1)
    ]
    made = list(Lay.objects.filter(plan=plan).order_by("number").values_list("number", "lot_id", "length_um"))
    for number, lot_id, length_um in sorted(set(planned) ^ set(made)):
        where = "plan" if (number, lot_id, length_um) in planned else "books"
        yield f"{plan} lay {number}: lot {lot_id}, {length_um} µm stands only in the {where}"


def _kits_astray(plan: Plan, stored: StoredPlan) -> Iterator[str]:
    fields = ("number", "outer_lot_id", "design_revision_id", "size_id", "purpose", "gown_count")
    made = set(Kit.objects.filter(lay__plan=plan, lay__freed_at=None).values_list(*fields))
    freed = set(plan.lays.exclude(freed_at=None).values_list("lot_id", flat=True))
    planned = {
        (
            int(kit.key),
            lot_id_of(kit.lot_key),
            stored.kits[kit.key]["revision_id"],
            stored.kits[kit.key]["size_id"],
            kit.purpose,
            kit.gown_count,
        )
        for kit in stored.plan.kits
        if kit.lot_key is not None and lot_id_of(kit.lot_key) not in freed
    }
    for number in sorted({kit[0] for kit in planned ^ made}, key=str):  # a kit made by hand may have none
        yield f"{plan} kit {number}: plan and books differ"
