"""Packing a kit line by line, and offering it."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches.actions import (
    KitMovedOn,
    LinesNotTicked,
    offer_kit,
    offer_packed_kits,
    pack_kit,
    tick_line,
    untick_line,
)
from gowngroup.batches.models import Kit, KitLine, Reservation
from gowngroup.people.models import Person
from gowngroup.records.errors import Short
from gowngroup.records.models import TrailLine
from gowngroup.stock.actions import receive_lot, reserve_amount
from gowngroup.stock.models import Lot
from gowngroup.stock.queries import violations
from tests.factories import KitFactory, KitLineFactory, MaterialFactory

pytestmark = pytest.mark.django_db

LACE_UM, NEEDED_UM = 5_000_000, 450_000


@pytest.fixture
def lace(packer: Person, at: datetime) -> Lot:
    return receive_lot(
        material=MaterialFactory(kind="lace", name="Narrow lace"), amount=LACE_UM, by=packer, at=at
    )


@pytest.fixture
def kit(lace: Lot) -> Kit:
    """A cut kit with cloth, lace off a card and a sheet."""
    kit = KitFactory(state=Kit.State.CUT)
    KitLineFactory(kit=kit, kind="cloth", text="cut cloth", lot=kit.outer_lot, amount=900_000)
    KitLineFactory(kit=kit, kind="lace", text="lace for the hem", lot=lace, amount=NEEDED_UM)
    KitLineFactory(kit=kit, kind="sheet", text="kit sheet")
    return kit


def reserve(kit: Kit, lace: Lot, amount: int, *, packer: Person, at: datetime) -> Reservation:
    reserve_amount(lot=lace, amount=amount, reference="plan", by=packer, at=at)
    return Reservation.objects.create(plan=kit.lay.plan, lot=lace, amount=amount, open_amount=amount)


def tick_all(kit: Kit, by: Person, at: datetime) -> None:
    for line in kit.lines.all():
        tick_line(line=line, by=by, at=at)


@pytest.mark.parametrize("reserved_um", [0, NEEDED_UM // 3, NEEDED_UM, 3 * NEEDED_UM])
def test_packing_books_what_goes_in(
    *, kit: Kit, lace: Lot, packer: Person, at: datetime, reserved_um: int
) -> None:
    """Packing takes each thing off its lot, from what the plan reserved first; cloth was booked before."""
    if reserved_um:
        reserve(kit, lace, reserved_um, packer=packer, at=at)
    tick_all(kit, packer, at)
    pack_kit(kit=kit, by=packer, at=at)
    lace.refresh_from_db()
    left = max(0, reserved_um - NEEDED_UM)
    assert (lace.on_hand_amount, lace.reserved_amount) == (LACE_UM - NEEDED_UM, left)
    assert [row.open_amount for row in Reservation.objects.all()] == ([left] if reserved_um else [])
    assert kit.state == Kit.State.PACKED
    assert not kit.outer_lot.ledger.exists()
    assert violations() == []


def test_unticked_lines_are_named(kit: Kit, lace: Lot, packer: Person, at: datetime) -> None:
    """A kit with something missing is not closed; the refusal names what."""
    tick_line(line=kit.lines.get(kind="cloth"), by=packer, at=at)
    with pytest.raises(LinesNotTicked, match="lace for the hem and kit sheet"):
        pack_kit(kit=kit, by=packer, at=at)
    kit.refresh_from_db()
    lace.refresh_from_db()
    assert (kit.state, lace.on_hand_amount) == (Kit.State.CUT, LACE_UM)


def test_too_little_lace_is_short(kit: Kit, lace: Lot, packer: Person, at: datetime) -> None:
    """Where the shelf does not hold what the kit needs, the kit stays open."""
    reserve_amount(lot=lace, amount=LACE_UM - 1, reference="another plan", by=packer, at=at)
    tick_all(kit, packer, at)
    with pytest.raises(Short):
        pack_kit(kit=kit, by=packer, at=at)
    kit.refresh_from_db()
    assert kit.state == Kit.State.CUT


def test_a_tick_can_be_taken_off(kit: Kit, packer: Person, at: datetime) -> None:
    """Ticks go on and off, a second tick changes nothing, and each change leaves one line."""
    line = kit.lines.get(kind="lace")
    for act, is_ticked in ((tick_line, True), (tick_line, True), (untick_line, False), (untick_line, False)):
        assert (act(line=line, by=packer, at=at).ticked_at is not None) == is_ticked
    assert list(TrailLine.objects.filter(did__contains="tick").values_list("did", flat=True)) == [
        "untick_line",
        "tick_line",
    ]


@pytest.mark.parametrize("state", [s for s in Kit.State if s not in ("planned", "cut", "claimed")])
def test_a_closed_kit_keeps_its_ticks(packer: Person, at: datetime, state: str) -> None:
    """Nothing is ticked on or off once a kit is packed."""
    line = KitLineFactory(kit=KitFactory(state=state))
    with pytest.raises(KitMovedOn):
        tick_line(line=line, by=packer, at=at)
    assert KitLine.objects.get().ticked_at is None


@pytest.mark.parametrize("state", [s for s in Kit.State if s not in ("cut", "claimed")])
def test_only_a_cut_kit_is_packed(packer: Person, at: datetime, state: str) -> None:
    """A kit is packed after it is cut, and once."""
    kit = KitFactory(state=state)
    with pytest.raises(KitMovedOn, match=kit.code):
        pack_kit(kit=kit, by=packer, at=at)


@pytest.mark.parametrize("state", [s for s in Kit.State if s not in ("packed", "claimed")])
def test_only_a_packed_kit_is_offered(packer: Person, at: datetime, state: str) -> None:
    """A kit is offered once it is packed, and once."""
    kit = KitFactory(state=state)
    with pytest.raises(KitMovedOn):
        offer_kit(kit=kit, by=packer, at=at)
    kit.refresh_from_db()
    assert kit.state == state


def test_offering_every_packed_kit(packer: Person, at: datetime) -> None:
    """Offering all takes the packed ones only and remembers since when they wait."""
    KitFactory.create_batch(3, state=Kit.State.PACKED)
    cut = KitFactory(state=Kit.State.CUT)
    offer_packed_kits(by=packer, at=at)
    assert Kit.objects.filter(state=Kit.State.WAITING, offered_at=at).count() == 3
    assert Kit.objects.get(pk=cut.pk).state == Kit.State.CUT


def test_packing_through_the_pages(kit: Kit, packer: Person, sign_in: Callable[[Person], Client]) -> None:
    """A packer ticks each line, closes the kit and offers it."""
    client, packing = sign_in(packer), reverse("batches:kit_packing", args=[kit.code])
    assert "0 of 3" in client.get(reverse("batches:kits_to_pack")).content.decode()
    assert "3 things are still to be ticked" in client.get(packing).content.decode()
    assert client.post(reverse("batches:kit_pack", args=[kit.code])).status_code == 422
    for line in kit.lines.all():
        client.post(reverse("batches:kit_line_tick", args=[line.pk]), {"is_ticked": "no"})
    assert "The kit is packed" in client.get(packing).content.decode()
    assert client.post(reverse("batches:kit_pack", args=[kit.code])).status_code == 302
    assert "1 kit is packed" in client.get(reverse("batches:kits_to_pack")).content.decode()
    client.post(reverse("batches:kits_offer"))
    assert Kit.objects.get().state == Kit.State.WAITING


def test_late_clicks_are_answered_409(packer: Person, sign_in: Callable[[Person], Client]) -> None:
    """Packing, offering or ticking on a kit that has moved on is refused with the way back."""
    line = KitLineFactory(kit=KitFactory(state=Kit.State.WAITING))
    client = sign_in(packer)
    for url in (
        reverse("batches:kit_pack", args=[line.kit.code]),
        reverse("batches:kit_offer", args=[line.kit.code]),
        reverse("batches:kit_line_tick", args=[line.pk]),
    ):
        response = client.post(url)
        assert response.status_code == 409
        assert reverse("batches:kit_packing", args=[line.kit.code]) in response.content.decode()
    assert client.get(reverse("batches:kit_packing", args=[line.kit.code])).status_code == 200


def test_one_kit_is_offered_by_its_button(packer: Person, sign_in: Callable[[Person], Client]) -> None:
    """A packed kit's page offers this kit alone."""
    kit, other = KitFactory.create_batch(2, state=Kit.State.PACKED)
    client = sign_in(packer)
    assert "Offer this kit" in client.get(reverse("batches:kit_packing", args=[kit.code])).content.decode()
    client.post(reverse("batches:kit_offer", args=[kit.code]))
    assert Kit.objects.get(pk=kit.pk).state == Kit.State.WAITING
    assert Kit.objects.get(pk=other.pk).state == Kit.State.PACKED


def test_a_planned_kit_can_be_ticked_but_not_closed(
    packer: Person, sign_in: Callable[[Person], Client]
) -> None:
    """Trims may be gathered before the cloth is cut; the page says why the kit is still open."""
    kit = KitFactory()
    KitLineFactory(kit=kit)
    client = sign_in(packer)
    client.post(reverse("batches:kit_line_tick", args=[kit.lines.get().pk]), {"is_ticked": "no"})
    assert kit.lines.get().ticked_at is not None
    text = client.get(reverse("batches:kit_packing", args=[kit.code])).content.decode()
    assert "has not been cut yet" in text
