"""What was short when kits were made, put by for them once it is bought and booked in."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches import actions
from gowngroup.batches.models import Kit, KitLine, Plan
from gowngroup.batches.planner.missing import arrived
from gowngroup.home.audit import violations
from gowngroup.people.models import Person
from gowngroup.records.codes import spaced
from gowngroup.records.models import TrailLine
from gowngroup.stock.actions import issue_free, receive_lot
from gowngroup.stock.models import Lot, Material
from tests.batches import months
from tests.batches.test_plan_making import line_of, single_line

SignIn = Callable[[Person], Client]


@pytest.fixture
def client(coordinator: Person, sign_in: SignIn) -> Client:
    """The coordinator's browser."""
    return sign_in(coordinator)


@pytest.fixture
def kits(coordinator: Person) -> list[Kit]:
    """Two kits under way, made while no fastening and no sewing thread was left."""
    months.catalog(coordinator)
    months.cloth(coordinator)
    months.sundries(coordinator)
    for lot in Lot.objects.filter(material__name__in=("Flat fastenings", "White thread")):
        issue_free(lot=lot, amount=lot.on_hand_amount, reference="sold", by=coordinator, at=months.AT)
    batch = single_line(coordinator, line_of(months.revision_of(), 2500, 2))
    plan = actions.make_plan(batch=batch, by=coordinator, at=months.AT)
    actions.commit_plan(plan=plan, by=coordinator, at=months.AT)
    return list(Kit.objects.order_by("pk"))


def fastenings(by: Person, amount: int) -> Lot:
    """Fastenings, bought and booked in."""
    found = Material.objects.get(name="Flat fastenings")
    return receive_lot(material=found, amount=amount, by=by, at=months.AT)


def thread(by: Person) -> Lot:
    """An unopened spool of thread, bought and booked in."""
    found = Material.objects.get(name="White thread")
    return receive_lot(
        material=found, package_count=1, package_amount=200 * months.METRE, by=by, at=months.AT
    )


def put_by(by: Person) -> tuple[str, ...]:
    return actions.put_by_arrived(by=by, at=months.AT)


def line_of_kind(kit: Kit, kind: str) -> KitLine:
    return kit.lines.get(kind=kind, text__contains="Flat fastenings" if kind == "notion" else "")


def test_bought_things_are_booked_off_with_the_kit(kits: list[Kit], coordinator: Person) -> None:
    """Put by for a kit, bought things are held, and leave the shelf when it is packed."""
    lot = fastenings(coordinator, 10)
    assert put_by(coordinator) == tuple(kit.code for kit in kits)
    lot.refresh_from_db()
    assert (lot.on_hand_amount, lot.reserved_amount) == (10, 2)
    lay = kits[0].lay
    actions.cut_lay(lay=lay, cut_length_um=lay.length_um, by=coordinator, at=months.AT)
    for line in kits[0].lines.all():
        actions.tick_line(line=line, by=coordinator, at=months.AT)
    actions.pack_kit(kit=kits[0], by=coordinator, at=months.AT)
    lot.refresh_from_db()
    assert (lot.on_hand_amount, lot.reserved_amount) == (9, 1)
    assert violations() == []


def test_the_line_names_its_lot_and_is_no_longer_to_buy(kits: list[Kit], coordinator: Person) -> None:
    """The kit's list says where the thing lies; the trail says who put it by."""
    lot = fastenings(coordinator, 10)
    assert line_of_kind(kits[0], "notion").text.startswith("To buy first: Flat fastenings")
    put_by(coordinator)
    line = line_of_kind(kits[0], "notion")
    assert (line.lot, line.amount, line.text.partition(":")[0]) == (lot, 1, "Flat fastenings")
    assert TrailLine.objects.filter(did="put_by_arrived", subject_id=line.pk).count() == 1


def test_the_oldest_kit_comes_first(kits: list[Kit], coordinator: Person) -> None:
    """Where too little has arrived the kits made first are served, the others wait on."""
    fastenings(coordinator, 1)
    assert put_by(coordinator) == (kits[0].code,)
    assert line_of_kind(kits[1], "notion").lot is None
    assert arrived() == ()


def test_a_new_spool_is_opened(kits: list[Kit], coordinator: Person) -> None:
    """An unopened package is opened, and its kits are served from the opened one."""
    spool = thread(coordinator)
    put_by(coordinator)
    lots = {kit.lines.get(kind="thread").lot for kit in kits}
    assert [lot.opened_from for lot in lots if lot] == [spool]
    assert violations() == []


def test_what_no_plan_tells_of_is_left_alone(kits: list[Kit], coordinator: Person) -> None:
    """A line its kit's plan knows nothing about, and a kit whose plan cannot be read, stay as they are."""
    fastenings(coordinator, 10)
    KitLine.objects.create(kit=kits[1], position=50, kind="notion", text="a card for the mother")
    assert len(arrived()) == 2
    Plan.objects.update(document={})
    assert arrived() == ()


def test_nothing_arrived_is_said(kits: list[Kit], coordinator: Person) -> None:
    """With nothing on the shelf that kits wait for, there is nothing to put by."""
    with pytest.raises(actions.NothingArrived):
        put_by(coordinator)


def test_the_page_of_kits_to_pack_offers_it(kits: list[Kit], client: Client, coordinator: Person) -> None:
    """The page names the kits and what has come for them; one button puts it by."""
    page = reverse("batches:kits_to_pack")
    assert "What was missing lies on the shelf now" not in client.get(page).content.decode()
    fastenings(coordinator, 10)
    assert "What was missing lies on the shelf now" in client.get(page).content.decode()
    packing = client.get(reverse("batches:kit_packing", args=[kits[0].code])).content.decode()
    assert "What was missing for this kit lies on the shelf now." in packing
    answer = client.post(reverse("batches:kits_put_by"), follow=True).content.decode()
    assert f"Put by for kits {spaced(kits[0].code)}, {spaced(kits[1].code)}." in answer
    assert "What was missing lies on the shelf now" not in answer


def test_putting_by_too_late_is_said(kits: list[Kit], client: Client) -> None:
    """Pressed when somebody else was quicker, the button says that nothing is left to put by."""
    answer = client.post(reverse("batches:kits_put_by"))
    assert (answer.status_code, "Nothing that kits wait for" in answer.content.decode()) == (409, True)
