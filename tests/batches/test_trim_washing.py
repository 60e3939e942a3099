"""Lace as given is planned as short as it will be once washed, and said so wherever it is cut."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches import actions
from gowngroup.batches.models import Kit, Plan
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.reading import TrimRow, plan_page
from gowngroup.batches.planner.shelf import the_shelf
from gowngroup.people.models import Person
from gowngroup.records.actions import set_figure
from gowngroup.stock.actions import measure_lot, receive_lot, reserve_amount
from gowngroup.stock.models import Lot, Material
from tests.batches import months
from tests.batches.test_plan_making import line_of, single_line

SignIn = Callable[[Person], Client]


@pytest.fixture
def by(coordinator: Person) -> Person:
    """The coordinator, with the starting catalog."""
    months.catalog(coordinator)
    return coordinator


@pytest.fixture
def lace(by: Person) -> Material:
    return months.material(by, "lace", "Cotton lace", package_word="card")


def shelf_mm() -> list[float]:
    """The lengths of trims as the planner takes them."""
    return [round(each.length_mm, 3) for each in the_shelf().trims]


def plan_with_lace(by: Person) -> Plan:
    months.cloth(by)
    batch = single_line(by, line_of(months.revision_of(), 2500, 1))
    return actions.make_plan(batch=batch, by=by, at=months.AT)


def trim_row(plan: Plan) -> TrimRow:
    """The first card of a plan."""
    return plan_page(StoredPlan.of(plan), {}).trims[0]


def test_lace_as_given_is_planned_shrunk(by: Person, lace: Material) -> None:
    """Opened lace and whole cards lose the 4 % usual for cotton (trade tables: 3 to 5 %)."""
    receive_lot(material=lace, amount=2 * months.METRE, by=by, at=months.AT)
    receive_lot(material=lace, package_count=2, package_amount=10 * months.METRE, by=by, at=months.AT)
    assert shelf_mm() == [1920, 9600, 9600]


def test_washed_lace_is_planned_as_long_as_it_is(by: Person, lace: Material) -> None:
    """Once washed, nothing more is taken off; what is measured counts."""
    lot = receive_lot(material=lace, amount=2 * months.METRE, state="washed", by=by, at=months.AT)
    assert shelf_mm() == [2000]
    measure_lot(lot=lot, length_um=1_950_000, by=by, at=months.AT)
    assert shelf_mm() == [1950]


@pytest.mark.parametrize(
    ("fibre", "length_mm"), [("linen", 1850), ("viscose", 1850), ("nylon", 1940), ("silk", 1920)]
)
def test_each_fibre_shrinks_in_its_own_way(by: Person, fibre: str, length_mm: float) -> None:
    """Linen and viscose lose 7.5 %, polyester and nylon 3 %, what no table names as much as cotton (trade tables)."""
    ribbon = months.material(by, "ribbon", "Ribbon", fibre=fibre)
    receive_lot(material=ribbon, amount=2 * months.METRE, by=by, at=months.AT)
    assert shelf_mm() == [length_mm]


def test_the_group_s_own_figure_counts(by: Person, lace: Material) -> None:
    """A group that finds its cotton loses a tenth plans with a tenth."""
    set_figure(key="shrink_cotton_share", value=0.1, source="our own lace", by=by, at=months.AT)
    receive_lot(material=lace, amount=2 * months.METRE, by=by, at=months.AT)
    assert shelf_mm() == [1800]


def test_what_a_plan_holds_is_cut_after_washing(by: Person, lace: Material) -> None:
    """Two plans together never take more than the whole lot measures once washed."""
    lot = receive_lot(material=lace, amount=10 * months.METRE, by=by, at=months.AT)
    reserve_amount(lot=lot, amount=5 * months.METRE, reference="plan 1", by=by, at=months.AT)
    assert shelf_mm() == [4600]
    reserve_amount(lot=lot, amount=4_700_000, reference="plan 2", by=by, at=months.AT)
    assert shelf_mm() == []


def test_floss_and_thread_keep_their_length(by: Person) -> None:
    """Only trims are washed before they are cut."""
    months.sundries(by)
    assert {skein.length_mm for skein in the_shelf().skeins} == {8000}
    assert {spool.length_mm for spool in the_shelf().spools} == {200_000}


def test_the_plan_says_what_must_be_washed_first(by: Person, lace: Material, sign_in: SignIn) -> None:
    """Plan and reasons name the lot as one to wash and measure, with the share it is planned shorter."""
    receive_lot(material=lace, amount=3 * months.METRE, by=by, at=months.AT)
    plan = plan_with_lace(by)
    sentence = "Wash and measure it first: it is planned 4 % shorter than it lies there."
    assert trim_row(plan).wash_first == sentence
    for address in (
        reverse("batches:plan_page", args=[plan.pk]),
        reverse("batches:plan_why", args=[plan.pk, "trims"]),
    ):
        assert sentence in sign_in(by).get(address).content.decode()


def test_washed_lace_needs_no_such_sentence(by: Person, lace: Material) -> None:
    """Lace measured after washing, and plans stored before shrinkage was noted, say nothing."""
    receive_lot(material=lace, amount=3 * months.METRE, state="measured", by=by, at=months.AT)
    plan = plan_with_lace(by)
    assert trim_row(plan).wash_first == ""
    for lot in plan.document["lots"].values():
        del lot["trim_shrink_share"]
    assert trim_row(plan).wash_first == ""


def test_the_packer_is_told_until_it_is_measured(by: Person, lace: Material, sign_in: SignIn) -> None:
    """The packing list marks unwashed lace, and no longer once it is measured."""
    lot = receive_lot(material=lace, amount=3 * months.METRE, by=by, at=months.AT)
    actions.commit_plan(plan=plan_with_lace(by), by=by, at=months.AT)
    address = reverse("batches:kit_packing", args=[Kit.objects.get().code])
    assert sign_in(by).get(address).content.decode().count("wash and measure first") == 1
    measure_lot(lot=Lot.objects.get(pk=lot.pk), length_um=2_900_000, by=by, at=months.AT)
    assert "wash and measure first" not in sign_in(by).get(address).content.decode()
