"""Shades a ward does not want to see: never cut for it, and told where a chosen lace or floss has one."""

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches import actions
from gowngroup.batches.models import Batch, MaterialChoice, Plan
from gowngroup.batches.planner.asks import AvoidedShades, open_asks
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.materials import parts_of
from gowngroup.batches.planner.reading import plan_page
from gowngroup.people.models import Person
from gowngroup.planning.batch_plan import BatchPlan
from gowngroup.stock.actions import receive_lot
from gowngroup.stock.models import Lot, Material
from tests.batches import months
from tests.batches.test_plan_making import line_of, sentences_of, single_line

SignIn = Callable[[Person], Client]
CLOSURE = "flat-fastening"


@pytest.fixture
def by(coordinator: Person) -> Person:
    """The coordinator, with the starting catalog."""
    months.catalog(coordinator)
    return coordinator


def yellow_cloth(by: Person, **values: Any) -> Lot:
    """Batiste somebody gave, called yellow."""
    months.material(by, "cloth", "Gingham", shade="pale Yellow", mass_g_per_m2=95)
    return months.cloth(by, name="Gingham", **values)


def batch_of_two(by: Person) -> Batch:
    """Two yoke gowns up to 1,000 g."""
    return single_line(by, line_of(months.revision_of("yoke"), 1000, 2))


def plan_of(stored: Plan) -> BatchPlan:
    return StoredPlan.of(stored).plan


def test_a_ward_that_avoids_yellow_never_gets_the_yellow_lot(by: Person) -> None:
    """Where the shelf holds only yellow cloth the kits stay unmade, and the plan says why."""
    yellow_cloth(by)
    months.ask(by, months.ward(1000, avoided_shades=["yellow"]), (1000, 2))
    plan = actions.make_plan(batch=batch_of_two(by), by=by, at=months.AT)
    assert {kit.lot_key for kit in plan_of(plan).kits} == {None}
    assert "The nearest cloth is Gingham, pale Yellow, which the ward asks us to avoid." in sentences_of(plan)


def test_other_cloth_is_taken_instead(by: Person) -> None:
    """White cloth is cut although more yellow cloth lies there."""
    yellow, white = yellow_cloth(by), months.cloth(by, 2 * months.METRE)
    months.ask(by, months.ward(1000, avoided_shades=["yellow"]), (1000, 2))
    plan = actions.make_plan(batch=batch_of_two(by), by=by, at=months.AT)
    assert {kit.lot_key for kit in plan_of(plan).kits} == {str(white.pk)}
    assert yellow.pk != white.pk


def test_a_ward_that_avoids_nothing_gets_yellow(by: Person) -> None:
    """A ward that does not ask for the size keeps no other ward from yellow."""
    yellow = yellow_cloth(by)
    months.ward(1000, avoided_shades=["yellow"])
    months.ask(by, months.ward(1000), (1000, 2))
    plan = actions.make_plan(batch=batch_of_two(by), by=by, at=months.AT)
    assert {kit.lot_key for kit in plan_of(plan).kits} == {str(yellow.pk)}


def test_proposals_do_not_count_on_avoided_cloth(by: Person) -> None:
    """Nothing is proposed from yellow cloth for the ward that avoids it."""
    yellow_cloth(by)
    months.ask(by, months.ward(1000, avoided_shades=["yellow"]), (1000, 2))
    assert [line.gown_count for line in months.proposed(by).lines.all()] == [0]


def test_a_line_nobody_asks_for_pleases_every_ward_that_takes_it(by: Person) -> None:
    """Without a request all wards of the size that accept the closure count, and no other ward does."""
    months.ward(1000, avoided_shades=["Yellow"])
    months.ward(1000, avoided_shades=["beige", "yellow"])
    months.ward(1000, avoided_shades=["red"], closures=["wrap"])
    months.ward(2500, avoided_shades=["black"])
    avoided = AvoidedShades(asks=open_asks(months.MARCH))
    assert avoided.of_line((months.size_to(1000).pk, "worn"), CLOSURE) == ("beige", "yellow")


def test_a_matched_set_heeds_its_own_ward_alone(by: Person) -> None:
    """A set of a ward that takes any shade may be yellow although another ward asks for the same size."""
    yellow = yellow_cloth(by)
    months.ask(by, months.ward(1000, 2500), (1000, 1), (2500, 1), set_number=1)
    months.ask(by, months.ward(1000, 2500, avoided_shades=["yellow"]), (1000, 1), (2500, 1))
    lines = [line_of(months.revision_of("yoke"), mass_g, 2) for mass_g in (1000, 2500)]
    batch = actions.start_batch(month=months.MARCH, hours_offered_min=60_000, by=by, at=months.AT)
    actions.set_lines(batch=batch, lines=lines, by=by, at=months.AT)
    kits = plan_of(actions.make_plan(batch=batch, by=by, at=months.AT)).kits
    lots = {(kit.matched_set_key is not None, kit.lot_key) for kit in kits}
    assert lots == {(True, str(yellow.pk)), (False, None)}


def choose_yellow_floss(by: Person, batch: Batch) -> Material:
    """Take yellow floss for part A although the ward avoids it."""
    floss = months.material(by, "floss", "Stranded cotton", shade="primrose yellow")
    parts = parts_of(months.revision_of("yoke"))
    chosen = [(part, floss) for part in parts if (part.kind, part.name) == ("floss", "A")]
    actions.choose_materials(batch=batch, chosen=chosen, by=by, at=months.AT)
    return floss


def test_a_chosen_floss_of_an_avoided_shade_is_told(by: Person, sign_in: SignIn) -> None:
    """The plan's page names the floss, the design, the word and the kits."""
    months.cloth(by)
    months.sundries(by)
    months.ask(by, months.ward(1000, avoided_shades=["yellow"]), (1000, 2))
    batch = batch_of_two(by)
    choose_yellow_floss(by, batch)
    plan = actions.make_plan(batch=batch, by=by, at=months.AT)
    page = sign_in(by).get(reverse("batches:plan_page", args=[plan.pk])).content.decode()
    assert "Stranded cotton, primrose yellow is chosen for Yoke gown" in page
    assert "“yellow” (kits 1–2)" in page


def test_no_avoided_floss_is_chosen_unasked(by: Person) -> None:
    """Of the flosses on the shelf the yellow one is left out, however much of it there is."""
    floss = months.material(by, "floss", "Stranded cotton", shade="primrose yellow", package_word="skein")
    receive_lot(material=floss, package_count=90, package_amount=8 * months.METRE, by=by, at=months.AT)
    months.sundries(by)
    months.ask(by, months.ward(1000, avoided_shades=["yellow"]), (1000, 2))
    batch_of_two(by)
    chosen = MaterialChoice.objects.filter(kind="floss")
    assert chosen.exists()
    assert not chosen.filter(material=floss).exists()


def test_plans_stored_before_cautions_still_read(by: Person) -> None:
    """A document without cautions has none."""
    months.cloth(by)
    document = dict(actions.make_plan(batch=batch_of_two(by), by=by, at=months.AT).document)
    del document["cautions"]
    assert plan_page(StoredPlan(document=document), {}).cautions == ()
