"""A kit sheet is printed from the plan its kit was cut from, whatever has been learnt since."""

import pytest
from django.urls import reverse

from gowngroup.batches.actions import commit_plan, make_plan, set_lines, start_batch
from gowngroup.batches.actions.batches import LineDetails
from gowngroup.batches.models import Batch, Kit, Plan
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.drawings import drawings, drawn
from gowngroup.catalog.actions import add_pleater, calibrate_pleater, use_pleater
from gowngroup.catalog.models import DesignRevision, Size
from gowngroup.catalog.planner import gown_need
from gowngroup.people.models import Person
from gowngroup.printing.sheets import written_sheet
from gowngroup.records.actions import set_figure
from gowngroup.stock.models import Material
from tests.batches import months
from tests.printing.conftest import SIGN_IN
from tests.printing.kit_sheets import read
from tests.printing.reading import opened, said

DESIGNS = [("round-neck", "", 3500), ("yoke", "Yoke", 2500)]


@pytest.fixture
def by(coordinator: Person) -> Person:
    """The coordinator, with the starting catalog and a stocked shelf."""
    months.catalog(coordinator)
    months.cloth(coordinator)
    months.sundries(coordinator)
    drawn.cache_clear()
    return coordinator


def planned(by: Person, number: int = 1) -> Plan:
    """The plan of one gown each of two smocked designs."""
    batch = start_batch(
        month=months.MARCH.replace(month=2 + number), hours_offered_min=9000, by=by, at=months.AT
    )
    lines = [
        LineDetails(
            revision=months.revision_of(kind, name), size=months.size_to(mass_g), purpose="worn",
            gown_count=1, gowns_per_kit=1,
        )
        for kind, name, mass_g in DESIGNS
    ]  # fmt: skip
    set_lines(batch=batch, lines=lines, by=by, at=months.AT)
    return make_plan(batch=batch, by=by, at=months.AT)


def committed(by: Person, number: int = 1) -> list[Kit]:
    """The kits of such a plan."""
    commit_plan(plan=planned(by, number), by=by, at=months.AT)
    return list(Kit.objects.filter(batch=Batch.objects.latest("pk")).order_by("number"))


def learn_otherwise(by: Person) -> None:
    """Another pleater, other figures, a longer size table and renamed floss."""
    pleater = add_pleater(
        name="Old pleater", take_up_um=6_350, row_space_um=9_000, needle_count=24, by=by, at=months.AT
    )
    use_pleater(pleater=pleater, by=by, at=months.AT)
    calibrate_pleater(pleater=pleater, counted_pleats=90, over_um=500_000, by=by, at=months.AT)
    for key, value in (("floss_cut_mm", 400.0), ("pleat_spare_each_side_count", 4.0)):
        set_figure(key=key, value=value, source="Measured", by=by, at=months.AT)
    set_figure(key="stitch_rising_thread_is_below", value=0.0, source="Our habit", by=by, at=months.AT)
    Size.objects.filter(upper_mass_g__lt=4000).update(body_length_um=555_000)
    Material.objects.filter(kind="floss").update(name="Another floss")


def pdf_address(kit: Kit) -> str:
    return reverse("printing:kit_sheet_pdf", args=[kit.code])


def test_what_is_learnt_later_leaves_the_sheet_alone_and_changes_new_ones(
    by: Person, sign_in: SIGN_IN
) -> None:
    """After another calibration and other figures a kit's sheet is the same to the byte; a new plan follows them all."""
    old, client = committed(by), sign_in(by)
    before = [client.get(pdf_address(kit)).content for kit in old]
    data_before = [written_sheet(kit).data_sha256 for kit in old]
    drawn_before = drawings(old)
    learn_otherwise(by)
    drawn.cache_clear()
    assert [client.get(pdf_address(kit)).content for kit in old] == before
    assert [written_sheet(kit).data_sha256 for kit in old] == data_before
    assert drawings(old) == drawn_before
    for content in before:
        text = said(read(content))
        assert "Spacebetweenrows9.5mm" in text
        assert "3ateachend" in text
        assert "cutsof45.7cm" in text
    for kit in committed(by, 2):
        text = said(opened(client, pdf_address(kit)))
        assert "Spacebetweenrows9mm" in text
        assert "4ateachend" in text
        assert "cutsof40cm" in text
        assert "babyupto56cm" in text


def test_a_plan_keeps_every_gown_whole(by: Person) -> None:
    """What a plan stored of a gown reads back as the very need it was worked out from, with every stitch."""
    plan = planned(by)
    plan.refresh_from_db()
    stored = StoredPlan.of(plan)
    for (revision_id, size_id, purpose), need in stored.needs.items():
        revision, size = DesignRevision.objects.get(pk=revision_id), Size.objects.get(pk=size_id)
        assert need == gown_need(revision=revision, size=size, purpose=purpose)
        assert need.smocking is not None
