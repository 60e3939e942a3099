"""How a design's seams are sewn, and the sewing thread that follows from it."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches.actions import make_plan
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.why.materials import thread_whys
from gowngroup.catalog.actions import RevisionDetails, change_revision
from gowngroup.catalog.actions.designs import ImpossibleDesign
from gowngroup.catalog.models import DesignRevision
from gowngroup.catalog.planner import GownNeed, gown_need, need_from_document, need_to_document
from gowngroup.people.models import Person
from gowngroup.printing.words import seam_steps
from tests.batches import months
from tests.batches.test_plan_making import line_of, single_line

SignIn = Callable[[Person], Client]


def need_with(revision: DesignRevision, seam_class: str = "301", trim_class: str = "301") -> GownNeed:
    """The need of a gown up to 1,500 g whose seams are sewn like this."""
    DesignRevision.objects.filter(pk=revision.pk).update(seam_class=seam_class, trim_class=trim_class)
    revision.refresh_from_db()
    return gown_need(revision=revision, size=months.size_to(1500))


def test_lockstitch_is_sewn_unless_a_design_says_otherwise(yoke: DesignRevision) -> None:
    """Every seam is class 301, and the thread is that of seams, hems and lace together."""
    need = need_with(yoke)
    assert {each.seam.stitch_class for each in need.seam_threads} == {"301"}
    assert need.sewing_thread_mm == pytest.approx(sum(each.length_mm for each in need.seam_threads))


def test_edges_no_seam_joins_are_hems(yoke: DesignRevision) -> None:
    """Hem sweep and both sleeve hems are sewn singly, with what opens at the back."""
    need = need_with(yoke)
    hem_mm = next(each.seam.length_mm for each in need.seam_threads if each.seam.name == "hems")
    sweep_mm, sleeve_mm = need.measure_mm("hem_sweep_mm"), need.measure_mm("sleeve_girth_mm")
    assert hem_mm > (sweep_mm or 0) > 0 < (sleeve_mm or 0)


def test_overedge_halves_the_way_and_takes_far_more_thread(yoke: DesignRevision) -> None:
    """An overedge of three threads goes each seam once at about 14 : 1, French seams twice at about 2.8 : 1."""
    french, over = need_with(yoke).seam_threads[0], need_with(yoke, "504").seam_threads[0]
    assert over.seam.length_mm == pytest.approx(french.seam.length_mm / 2)
    assert over.length_mm / french.length_mm == pytest.approx(13.8 / 2 / 2.8, rel=0.01)


def test_seams_are_kept_with_the_need_and_may_be_missing(yoke: DesignRevision) -> None:
    """Stored needs read back with their seams; those stored before seams were told apart have none."""
    need = need_with(yoke, "514", "304")
    document = need_to_document(need)
    assert need_from_document(document).seam_threads == need.seam_threads
    del document["seam_threads"]
    assert need_from_document(document).seam_threads == ()


def test_unknown_classes_are_refused(yoke: DesignRevision, coordinator: Person, at: datetime) -> None:
    """Only classes whose thread is known can be chosen."""
    with pytest.raises(ImpossibleDesign) as refusal:
        change_revision(revision=yoke, details=RevisionDetails(seam_class="607"), by=coordinator, at=at)
    assert refusal.value.field == "seam_class"


def test_the_design_page_says_how_seams_are_sewn(
    yoke: DesignRevision, coordinator: Person, sign_in: SignIn
) -> None:
    """Stitch classes stand on the page, and the form starts from what is chosen."""
    need_with(yoke, "504", "304")
    browser = sign_in(coordinator)
    page = browser.get(reverse("catalog:design_page", args=[yoke.design_id])).content.decode()
    assert "overedge of three threads, joined and neatened at once (504); lace with zigzag (304)" in page
    form = browser.get(reverse("catalog:design_change", args=[yoke.design_id])).content.decode()
    assert '<option value="504" selected>' in form


def test_the_kit_sheet_names_a_stitch_that_is_no_lockstitch(yoke: DesignRevision) -> None:
    """Who sews at home is told before the order of work when a machine of its own is needed, and else nothing."""
    assert seam_steps(need_with(yoke)) == ()
    told = "Sew the seams with overedge of four threads, joined and neatened at once (514)."
    assert seam_steps(need_with(yoke, "514")) == (told,)


def test_a_plan_tells_the_thread_of_each_class(yoke: DesignRevision, coordinator: Person) -> None:
    """Thread is planned by class, packed in one length, and explained seam by seam and class by class."""
    need_with(yoke, "504")
    months.cloth(coordinator)
    months.sundries(coordinator)
    batch = single_line(coordinator, line_of(yoke, 1500, 1))
    stored = StoredPlan.of(make_plan(batch=batch, by=coordinator, at=months.AT))
    thread = stored.plan.thread[0]
    assert [each.stitch_class for each in thread.by_class] == ["301", "504"]
    assert [item.part for item in stored.packing if item.kind == "thread"] == [""]
    gown, spool = thread_whys(stored)
    assert [label for label, _value in gown.values] == [
        "seams, 504",
        "hems and other single edges, 301",
        "lace and other trims, 301",
    ]
    assert any(label.startswith("of this 504, overedge of three threads") for label, _value in spool.values)
