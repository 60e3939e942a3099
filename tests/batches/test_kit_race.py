"""Several people cut and pack at the same moment."""

from collections import Counter
from datetime import datetime
from functools import partial

import pytest

from gowngroup.batches.actions import LayAlreadyCut, cut_lay, pack_kit
from gowngroup.batches.models import Kit, KitLine, Lay
from gowngroup.people.models import Person
from gowngroup.stock.actions import receive_lot
from gowngroup.stock.models import Lot
from gowngroup.stock.queries import violations
from tests.factories import KitFactory, LayFactory, MaterialFactory
from tests.race import at_once

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("race_database")]

KIT_COUNT, EACH_UM, CARD_UM = 8, 100_000, 5_000_000


def card(by: Person, at: datetime) -> Lot:
    return receive_lot(material=MaterialFactory(kind="lace"), amount=CARD_UM, by=by, at=at)


def kit_with(lots: list[Lot], at: datetime) -> Kit:
    """A cut kit, every line ticked, that takes something of each lot in this order."""
    kit = KitFactory(state=Kit.State.CUT)
    for position, lot in enumerate(lots):
        KitLine.objects.create(
            kit=kit, position=position, kind="lace", text="lace", lot=lot, amount=EACH_UM, ticked_at=at
        )
    return kit


def test_packers_do_not_block_each_other(packer: Person, at: datetime) -> None:
    """Kits that take from the same cards in opposite order are all packed, and each card adds up."""
    first, second = card(packer, at), card(packer, at)
    kits = [kit_with([first, second] if i % 2 else [second, first], at) for i in range(KIT_COUNT)]
    packed = at_once([partial(pack_kit, kit=kit, by=packer, at=at) for kit in kits])
    assert {kit.state for kit in packed} == {Kit.State.PACKED}
    assert set(Lot.objects.filter(ledger__kind="issue").values_list("on_hand_amount", flat=True)) == {
        CARD_UM - KIT_COUNT * EACH_UM
    }
    assert violations() == []


def test_a_lay_is_cut_once_by_many(packer: Person, at: datetime) -> None:
    """Of many who mark the same lay as cut at once, one books the cloth off."""
    material = MaterialFactory()
    lot = receive_lot(
        material=material, amount=CARD_UM, width_um=1_120_000, state=Lot.State.MEASURED, by=packer, at=at
    )
    lay = LayFactory(lot=lot)

    def cut() -> str:
        try:
            cut_lay(lay=Lay.objects.get(pk=lay.pk), cut_length_um=lay.length_um, by=packer, at=at)
        except LayAlreadyCut:
            return "refused"
        return "cut"

    assert Counter(at_once([cut] * KIT_COUNT)) == {"cut": 1, "refused": KIT_COUNT - 1}
    assert Lot.objects.get(pk=lot.pk).on_hand_amount == CARD_UM - lay.length_um
