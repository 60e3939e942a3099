"""What came onto the shelf for a month: a piece of cloth for every dozen kits, a package of everything else."""

from collections import Counter
from collections.abc import Sequence

from gowngroup.demo.past.books import written
from gowngroup.demo.past.document import Share, lay_length_um
from gowngroup.demo.past.month import Month
from gowngroup.stock.models import LedgerLine, Lot

LEFT_UM, WIDTH_UM = 300_000, 1_110_000
DAY = -25


def cloth_for(month: Month, shares: Sequence[Share]) -> list[Lot]:
    """The cloth of each share of the kits, a little longer than its lay."""
    cloths = month.pattern.cloths
    lots = written([_lot(month, cloths[place % len(cloths)].pk, LEFT_UM) for place in range(len(shares))])
    for lot, share in zip(lots, shares, strict=True):
        _receive(month, lot, LEFT_UM + lay_length_um(share))
    return lots


def trims_for(month: Month, shares: Sequence[Share]) -> dict[int, Lot]:
    """Whatever else the kits take, by material, half of it left over."""
    taken = Counter[int]()
    for kit, gown_count in (ordered for share in shares for ordered in share):
        for line in kit.lines:
            if line.material_id:
                taken[line.material_id] += line.amount * gown_count
    lots = written([_lot(month, material_id, amount) for material_id, amount in sorted(taken.items())])
    for lot in lots:
        _receive(month, lot, 2 * taken[lot.material_id])
    return {lot.material_id: lot for lot in lots}


def _lot(month: Month, material_id: int, left: int) -> Lot:
    return Lot(
        code=month.store.lot_codes.draw(),
        material_id=material_id,
        state=Lot.State.MEASURED,
        width_um=WIDTH_UM,
        donor=month.store.chance.choice(month.store.donors),
        place="shelf A1",
        received_on=month.at(DAY).date(),
        on_hand_amount=left,
    )


def _receive(month: Month, lot: Lot, amount: int) -> None:
    month.books.book(lot, LedgerLine.Kind.RECEIVE, month.pattern.packer, month.at(DAY), change=amount)
