"""The batch of a month: planned, cut and packed."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from gowngroup.batches.models import Batch, BatchLine, Kit, KitLine, Lay, Plan, Reservation
from gowngroup.demo.past.books import written
from gowngroup.demo.past.document import Share, document_after, lay_length_um
from gowngroup.demo.past.month import Month
from gowngroup.demo.past.pattern import KitPattern
from gowngroup.stock.models import LedgerLine, Lot

KITS_A_LOT = 12
TWO_GOWNS, LOST = 5, 199  # one kit of so many
Kind = LedgerLine.Kind
Made = list[tuple[KitPattern, Kit]]


def shares_of(kits: Sequence[KitPattern], gown_count: int) -> list[Share]:
    """Kits for so many gowns, lot by lot; what the lost ones make comes on top."""
    ordered: list[tuple[KitPattern, int]] = []
    while gown_count > 0:
        place = len(ordered)
        count = min(gown_count, 2 if place % TWO_GOWNS == 0 else 1)
        ordered.append((kits[place % len(kits)], count))
        gown_count -= 0 if is_lost(place) else count
    return [ordered[start : start + KITS_A_LOT] for start in range(0, len(ordered), KITS_A_LOT)]


def is_lost(place: int) -> bool:
    """Does the kit at this place among those of a month get lost?"""
    return place % LOST == LOST - 1


def planned(month: Month, shares: Sequence[Share], cloth: Sequence[Lot]) -> list[Lay]:
    """The batch with its committed plan, each lay of it cut."""
    by, at, cut_at = month.pattern.coordinator, month.at(-10), month.at(-9)
    [batch] = written([Batch(month=month.at(0).date(), state=Batch.State.CLOSED)])
    written(list(_lines(batch, shares)))
    document = document_after(month.pattern.document, cloth, shares)
    [plan] = written(
        [
            Plan(
                batch=batch,
                number=1,
                format_version=1,
                document=document,
                made_at=at,
                made_by=by,
                committed_at=at,
            )
        ]
    )
    month.books.tell("commit_plan", plan, by, at)
    lengths = [lay_length_um(share) for share in shares]
    lays = written(
        [
            Lay(plan=plan, number=number, lot=lot, length_um=length, cut_length_um=length, cut_at=cut_at)
            for number, (lot, length) in enumerate(zip(cloth, lengths, strict=True), start=1)
        ]
    )
    written(
        [Reservation(plan=plan, lot=lay.lot, lay=lay, amount=lay.length_um, open_amount=0) for lay in lays]
    )
    for lay in lays:
        month.books.book(lay.lot, Kind.RESERVE, by, at, reserved=lay.length_um, of=f"plan {plan.pk}")
        _issue(month, lay.lot, lay.length_um, f"lay {lay.pk}")
        month.books.tell("cut_lay", lay, month.pattern.packer, cut_at)
    return lays


def _lines(batch: Batch, shares: Sequence[Share]) -> Iterator[BatchLine]:
    wanted = Counter[tuple[int, int, str]]()
    for kit, gown_count in (ordered for share in shares for ordered in share):
        wanted[kit.revision_id, kit.size_id, kit.purpose] += gown_count
    for (revision_id, size_id, purpose), gown_count in sorted(wanted.items()):
        yield BatchLine(
            batch=batch,
            design_revision_id=revision_id,
            size_id=size_id,
            purpose=purpose,
            gown_count=gown_count,
        )


def packed(month: Month, shares: Sequence[Share], lays: Sequence[Lay], trims: Mapping[int, Lot]) -> list[Kit]:
    """The kits, each with its lines and what they took off the shelf; most come back, some get lost."""
    made: Made = []
    for lay, share in zip(lays, shares, strict=True):
        made += [(each[0], _kit(month, lay, len(made) + place, each)) for place, each in enumerate(share)]
    kits = written([kit for _pattern, kit in made])
    plan = lays[0].plan
    written([_held(month, plan, lot) for lot in trims.values()])
    written([line for pattern, kit in made for line in _kit_lines(month, pattern, kit, trims)])
    for kit in kits:
        if kit.state == Kit.State.LOST:
            month.books.tell("lose_kit", kit, month.pattern.packer, month.at(40))
    return kits


def _kit(month: Month, lay: Lay, place: int, ordered: tuple[KitPattern, int]) -> Kit:
    pattern, gown_count = ordered
    return Kit(
        code=month.store.kit_codes.draw(),
        number=place + 1,
        batch_id=lay.plan.batch_id,
        lay=lay,
        design_revision_id=pattern.revision_id,
        size_id=pattern.size_id,
        purpose=pattern.purpose,
        gown_count=gown_count,
        returned_count=0 if is_lost(place) else gown_count,
        outer_lot=lay.lot,
        state=Kit.State.LOST if is_lost(place) else Kit.State.RETURNED,
        minutes_low=pattern.minutes_low * gown_count,
        minutes_high=pattern.minutes_high * gown_count,
        due_on=month.at(30).date(),
        offered_at=month.at(-7),
        ended_reason="lost in the post" if is_lost(place) else "",
    )


def _held(month: Month, plan: Plan, lot: Lot) -> Reservation:
    """What the plan held of a package: as much as was left of it when all was packed."""
    amount = lot.on_hand_amount
    month.books.book(lot, Kind.RESERVE, plan.made_by, plan.made_at, reserved=amount, of=f"plan {plan.pk}")
    return Reservation(plan=plan, lot=lot, amount=amount, open_amount=0)


def _kit_lines(month: Month, pattern: KitPattern, kit: Kit, trims: Mapping[int, Lot]) -> Iterator[KitLine]:
    for position, line in enumerate(pattern.lines, start=1):
        lot, amount = trims.get(line.material_id or 0), line.amount * kit.gown_count
        if lot:
            _issue(month, lot, amount, f"kit {kit.code}")
        yield KitLine(
            kit=kit,
            position=position,
            kind=line.kind,
            text=line.text,
            lot=lot,
            amount=amount,
            ticked_at=month.at(-8),
        )


def _issue(month: Month, lot: Lot, amount: int, reference: str) -> None:
    month.books.book(
        lot, Kind.ISSUE, month.pattern.packer, month.at(-8), change=-amount, reserved=-amount, of=reference
    )
