"""Entredeux, insertion and beading from the shelf: matched by width, cut, packed and told apart from their ribbon."""

from typing import Any

import pytest

from gowngroup.batches import actions
from gowngroup.batches.forms.batches import ChoicesForm
from gowngroup.batches.models import Batch, Kit, KitLine, MaterialChoice
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.reading import plan_page
from gowngroup.catalog.actions import NeedEntry, set_needs
from gowngroup.catalog.models import DesignRevision
from gowngroup.people.models import Person
from gowngroup.stock.actions import receive_lot
from gowngroup.stock.models import Material
from tests.batches import months
from tests.batches.test_plan_making import line_of, single_line

BEADING = NeedEntry(
    kind="beading",
    place="sleeve bands",
    edge="sleeve_hem",
    end_allowance_um=7_000,
    width_um=12_000,
    is_threaded=True,
)


@pytest.fixture
def by(coordinator: Person) -> Person:
    """The coordinator, with the starting catalog."""
    months.catalog(coordinator)
    return coordinator


@pytest.fixture
def yoke(by: Person) -> DesignRevision:
    """The yoke gown with threaded beading 12 mm wide at its sleeves, and nothing else sewn on."""
    return set_needs(revision=months.revision_of("yoke"), needs=[BEADING], by=by, at=months.AT)


def on_the_shelf(by: Person, kind: str, name: str, *, metres: int = 5, **values: Any) -> Material:
    """Washed and measured trim of a kind."""
    found = months.material(by, kind, name, **values)
    receive_lot(material=found, amount=metres * months.METRE, state="measured", by=by, at=months.AT)
    return found


def batch_of_one(by: Person, revision: DesignRevision) -> Batch:
    return single_line(by, line_of(revision, 1500, 1))


def planned(by: Person, revision: DesignRevision) -> StoredPlan:
    months.cloth(by)
    return StoredPlan.of(actions.make_plan(batch=batch_of_one(by, revision), by=by, at=months.AT))


def chosen(kind: str) -> str:
    return MaterialChoice.objects.get(kind=kind).material.name


def test_the_trim_of_the_right_width_is_chosen(by: Person, yoke: DesignRevision) -> None:
    """Of three beadings the one that shows 12 mm is taken, though less of it lies there."""
    on_the_shelf(by, "beading", "Wide", metres=50, width_um=20_000)
    on_the_shelf(by, "beading", "Unmeasured", metres=40)
    on_the_shelf(by, "beading", "With batiste", width_um=26_000, batiste_um=7_000)
    batch_of_one(by, yoke)
    assert chosen("beading") == "With batiste"


def test_beading_and_its_ribbon_are_cut_and_packed_apart(by: Person, yoke: DesignRevision) -> None:
    """Two lengths of beading, and two of ribbon a tenth longer, each off its own card and in its own line."""
    on_the_shelf(by, "beading", "Beading", width_um=12_000)
    on_the_shelf(by, "ribbon", "Ribbon")
    stored = planned(by, yoke)
    packed = {item.kind: item for item in stored.packing if item.part == "sleeve bands"}
    assert {kind: item.count for kind, item in packed.items()} == {"beading": 2, "ribbon": 2}
    assert packed["ribbon"].each_um == pytest.approx(1.1 * packed["beading"].each_um, abs=1_000)
    assert None not in {item.supply_key for item in packed.values()}
    assert plan_page(stored, {}).cautions == ()


def test_kit_lines_take_the_new_kinds(by: Person, yoke: DesignRevision) -> None:
    """Committed, the kit lists beading and ribbon with their lots."""
    on_the_shelf(by, "beading", "Beading", width_um=12_000)
    on_the_shelf(by, "ribbon", "Ribbon")
    months.cloth(by)
    plan = actions.make_plan(batch=batch_of_one(by, yoke), by=by, at=months.AT)
    actions.commit_plan(plan=plan, by=by, at=months.AT)
    lines = KitLine.objects.filter(kit=Kit.objects.get(), lot__isnull=False)
    assert {"beading", "ribbon"} <= set(lines.values_list("kind", flat=True))


@pytest.mark.parametrize(
    ("width_um", "sentence"),
    [
        (20_000, "Beading shows 2 cm; Yoke gown"),
        (None, "and nobody has noted how wide Beading is (kits 1)"),
    ],
)
def test_another_width_is_told(by: Person, yoke: DesignRevision, width_um: int | None, sentence: str) -> None:
    """A trim of another width, or of none noted, is planned, and the plan says what to look at."""
    on_the_shelf(by, "beading", "Beading", width_um=width_um)
    (told,) = plan_page(planned(by, yoke), {}).cautions
    assert sentence in told
    assert "1.2 cm" in told


def test_choices_show_the_width(by: Person, yoke: DesignRevision) -> None:
    """The list of materials tells how wide a trim shows beside its wash."""
    on_the_shelf(by, "beading", "With batiste", width_um=26_000, batiste_um=7_000)
    form = ChoicesForm(batch=batch_of_one(by, yoke))
    labels = [label for field in form.fields.values() for _key, label in getattr(field, "choices", [])]
    assert "With batiste (1.2 cm, 71 °C)" in labels


def test_what_nobody_owns_is_bought_in_two_lines(by: Person, yoke: DesignRevision) -> None:
    """Beading and ribbon both stand on the shopping list."""
    stored = planned(by, yoke)
    short = [each.material_key for each in stored.plan.shortages if each.kind == "trim"]
    names = sorted(stored.material_name(key) for key in short)
    assert [name.split(",")[0] for name in names] == ["beading: sleeve bands", "ribbon: sleeve bands"]
