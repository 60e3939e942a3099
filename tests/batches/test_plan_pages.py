"""The plan page draws exactly what is stored; planning shows how far it is."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from xml.etree import ElementTree

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches import actions, tasks
from gowngroup.batches.models import Batch, Plan
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.reading import plan_page
from gowngroup.batches.planner.shopping import KINDS, shopping_page
from gowngroup.people.models import Person
from gowngroup.planning.batch_plan.document import to_document
from gowngroup.planning.lay.values import placed_outline
from gowngroup.records.models import Job
from gowngroup.stock.actions import mark_flaws
from tests.batches import months

SignIn = Callable[[Person], Client]


@pytest.fixture
def client(coordinator: Person, sign_in: SignIn) -> Client:
    """The coordinator's browser."""
    return sign_in(coordinator)


@pytest.fixture
def batch(coordinator: Person) -> Batch:
    """A batch of gowns with curved pieces, more than one sheet long, on flawed cloth with a nap."""
    months.catalog(coordinator)
    lot = months.cloth(coordinator, 7 * months.METRE)
    lot.material.has_nap = True
    lot.material.save()
    mark_flaws(lot=lot, flaws=[{"from_um": 500_000, "to_um": 550_000}], by=coordinator, at=months.AT)
    months.sundries(coordinator)
    months.ask(coordinator, months.ward(2500, 3500), (2500, 2), (3500, 3))
    batch = actions.start_batch(month=months.MARCH, hours_offered_min=60_000, by=coordinator, at=months.AT)
    lines = [
        actions.LineDetails(
            revision=months.revision_of(kind, name),
            size=months.size_to(mass_g),
            purpose="worn",
            gown_count=count,
        )
        for kind, name, mass_g, count in (("round-neck", "", 3500, 3), ("yoke", "Yoke", 2500, 2))
    ]
    return actions.set_lines(batch=batch, lines=lines, by=coordinator, at=months.AT)


@pytest.fixture
def plan(batch: Batch, coordinator: Person) -> Plan:
    return actions.make_plan(batch=batch, by=coordinator, at=months.AT)


def drawings(html: str) -> list[ElementTree.Element]:
    """The drawings of lays on a page."""
    found = re.findall(r'<svg viewBox="[^"]*" role="img".*?</svg>', html, re.DOTALL)
    return [ElementTree.fromstring(text) for text in found]  # noqa: S314 - our own page


def drawn_outlines(html: str) -> dict[str, tuple[tuple[float, float], ...]]:
    """Every outline drawn, by the key of its piece."""
    found: dict[str, tuple[tuple[float, float], ...]] = {}
    for svg in drawings(html):
        for polygon in svg.iter("polygon"):
            moved = re.fullmatch(r"translate\((\S+) (\S+)\)", polygon.attrib["transform"])
            assert moved is not None
            pairs = (pair.split(",") for pair in polygon.attrib["points"].split())
            points = tuple((float(moved[1]) + float(x), float(moved[2]) + float(y)) for x, y in pairs)
            # A piece that crosses from one stretch to the next is drawn alike in both.
            assert found.setdefault(polygon.attrib["data-piece"], points) == points
    return found


def test_the_page_draws_the_stored_placements(plan: Plan, client: Client) -> None:
    """Every stored piece is drawn once where the document says it lies, to a tenth of a millimetre."""
    drawn = drawn_outlines(client.get(reverse("batches:plan_page", args=[plan.pk])).content.decode())
    stored = {
        place.piece_key: placed_outline(piece, place)
        for cut in StoredPlan.of(plan).plan.cuts
        for place in cut.lay.placements
        for piece in cut.pieces
        if piece.key == place.piece_key
    }
    assert drawn.keys() == stored.keys()
    for key, outline in stored.items():
        for drawn_point, point in zip(drawn[key], outline, strict=True):
            assert drawn_point == pytest.approx(point, abs=0.11)


def test_drawings_are_to_scale(plan: Plan, client: Client) -> None:
    """One unit of the drawing is a millimetre both ways: the cloth is as wide and long as the lay."""
    svgs = drawings(client.get(reverse("batches:plan_page", args=[plan.pk])).content.decode())
    cuts = StoredPlan.of(plan).plan.cuts
    cloths = [rect for svg in svgs for rect in svg.iter("rect") if rect.attrib.get("class") == "cloth"]
    assert sum(float(rect.attrib["height"]) for rect in cloths) == pytest.approx(
        sum(cut.lay.length_mm for cut in cuts), abs=0.1
    )
    widths = {round(cut.strip.usable_width_mm, 1) for cut in cuts}
    assert {float(rect.attrib["width"]) for rect in cloths} == widths


def test_every_piece_bears_its_kits_number(plan: Plan, client: Client) -> None:
    """In the middle of each outline stands the number of its kit."""
    for svg in drawings(client.get(reverse("batches:plan_page", args=[plan.pk])).content.decode()):
        for group in svg.iter("g"):
            if group.attrib.get("class", "").startswith("piece"):
                polygon, label = group.find("polygon"), group.find("text")
                assert polygon is not None
                assert label is not None
                assert label.text == polygon.attrib["data-piece"].partition("/")[0]


def test_nap_and_flaws_are_shown_and_said(plan: Plan, client: Client) -> None:
    """Cloth with a nap bears an arrow and a sentence, a flaw a band and another."""
    html = client.get(reverse("batches:plan_page", args=[plan.pk])).content.decode()
    assert 'class="nap"' in html
    assert "the arrow shows which way it lies" in html
    assert 'class="flaw"' in html
    assert "A dashed band is a flaw of the cloth" in html


def test_lengths_are_the_readers(plan: Plan, client: Client, coordinator: Person) -> None:
    """A reader of inches gets inches to measure off and a ruler in inches."""
    coordinator.length_unit = "in"
    coordinator.save()
    html = client.get(reverse("batches:plan_page", args=[plan.pk])).content.decode()
    assert "The ruler counts inches." in html
    assert not re.search(r"Measure off [0-9. ]+ cm", html)


def test_the_cutting_page_draws_the_same_lay(plan: Plan, client: Client, coordinator: Person) -> None:
    """Once committed the page of a lay draws the stored placements of its lot."""
    actions.commit_plan(plan=plan, by=coordinator, at=months.AT)
    lay = plan.lays.all()[0]
    drawn = drawn_outlines(client.get(reverse("batches:lay_page", args=[lay.pk])).content.decode())
    cut = next(each for each in StoredPlan.of(plan).plan.cuts if each.lot_key == str(lay.lot_id))
    assert drawn.keys() == {place.piece_key for place in cut.lay.placements}
    Plan.objects.filter(pk=plan.pk).update(document={"format_version": 99})
    page = client.get(reverse("batches:lay_page", args=[lay.pk])).content.decode()
    assert not drawings(page)
    assert "Length to measure off" in page


def test_alike_skeins_are_told_together(plan: Plan) -> None:
    """Skeins of one lot that give as many cuts are one line, on the plan and among its left-overs."""
    stored = StoredPlan.of(plan)
    shade = stored.plan.floss[0]
    whole = next(take for take in shade.takes if "." in take.key)
    lot_key, cuts = whole.key.partition(".")[0], [17, 17, 17, 3]
    takes = tuple(replace(whole, key=f"{lot_key}.{number}", cuts=each) for number, each in enumerate(cuts))
    floss = to_document(replace(stored.plan, floss=(replace(shade, takes=takes),)))
    several = StoredPlan(document={**stored.document, "plan": floss})
    (row,) = plan_page(several, {}).floss
    assert [(take.skein_count, take.cuts, take.is_whole) for take in row.takes] == [
        (3, 17, True),
        (1, 3, True),
    ]
    (left,) = dict(shopping_page(several).left)[KINDS["floss"]]
    assert left.amount.startswith("4 × ")


def test_a_committed_plan_names_its_kits(plan: Plan, client: Client, coordinator: Person) -> None:
    """After committing the kits' codes stand beside their numbers, and the plan is no longer offered."""
    actions.commit_plan(plan=plan, by=coordinator, at=months.AT)
    html = client.get(reverse("batches:plan_page", args=[plan.pk])).content.decode()
    code = plan.batch.kits.all()[0].code
    assert reverse("batches:kit_page", args=[code]) in html
    assert "Commit this plan" not in html


def test_a_stale_plan_is_not_offered(plan: Plan, client: Client, coordinator: Person) -> None:
    """A plan older than the batch's numbers offers to plan again, and refuses to be committed with 409."""
    line = plan.batch.lines.all()[0]
    details = actions.LineDetails(
        revision=line.design_revision, size=line.size, purpose=line.purpose, gown_count=1
    )
    actions.set_lines(batch=plan.batch, lines=[details], by=coordinator, at=months.AT)
    html = client.get(reverse("batches:plan_page", args=[plan.pk])).content.decode()
    assert "Commit this plan" not in html
    assert "Plan it again" in html
    assert client.post(reverse("batches:plan_commit", args=[plan.pk])).status_code == 409


def test_a_plan_that_cannot_be_read_says_so(plan: Plan, client: Client) -> None:
    """A document of another format is shown as such, not as an error."""
    Plan.objects.filter(pk=plan.pk).update(document={})
    response = client.get(reverse("batches:plan_page", args=[plan.pk]))
    assert response.status_code == 200
    assert "in a form this version does not read" in response.content.decode()


@pytest.mark.parametrize("document", [{}, {"format_version": 99}])
def test_its_batch_says_so_too(plan: Plan, client: Client, document: dict[str, int]) -> None:
    """The page of its batch opens, says what is amiss and offers to plan anew."""
    Plan.objects.filter(pk=plan.pk).update(document=document)
    response = client.get(reverse("batches:batch_page", args=[plan.batch_id]))
    page = response.content.decode()
    assert response.status_code == 200
    assert "is stored in a form this version does not read" in page
    assert "Plan it</button>" in page


def test_a_waiting_plan_is_looked_at_again(batch: Batch, client: Client, coordinator: Person) -> None:
    """While a plan waits the page asks again each second, and has a link for browsers without script."""
    actions.start_planning(batch=batch, by=coordinator, at=months.AT)
    url = reverse("batches:plan_progress", args=[batch.pk])
    html = client.get(url).content.decode()
    assert f'hx-get="{url}" hx-trigger="every 1s"' in html
    assert f'href="{url}">Look again</a>' in html
    fragment = client.get(url, headers={"HX-Request": "true"}).content.decode()
    assert "<html" not in fragment


def test_a_finished_plan_is_gone_to(batch: Batch, client: Client, coordinator: Person) -> None:
    """Once it is done the page leads to the plan, by a redirect or by htmx."""
    job = actions.start_planning(batch=batch, by=coordinator, at=months.AT)
    tasks.plan_batch.enqueue(job.pk)
    target = reverse("batches:plan_page", args=[Plan.objects.get().pk])
    url = reverse("batches:plan_progress", args=[batch.pk])
    assert client.get(url).headers["Location"] == target
    assert client.get(url, headers={"HX-Request": "true"}).headers["HX-Redirect"] == target


def test_cancelling_ends_the_waiting(batch: Batch, client: Client, coordinator: Person) -> None:
    """A cancelled planning is not taken up, and the page says so."""
    job = actions.start_planning(batch=batch, by=coordinator, at=months.AT)
    client.post(reverse("batches:plan_cancel", args=[batch.pk]))
    tasks.plan_batch.enqueue(job.pk)
    assert not Plan.objects.exists()
    html = client.get(reverse("batches:plan_progress", args=[batch.pk])).content.decode()
    assert "The planning was cancelled." in html


def test_planning_twice_at_once_is_refused(batch: Batch, client: Client, coordinator: Person) -> None:
    """While a plan is being worked out a second form answers 409 and starts nothing."""
    job = actions.start_planning(batch=batch, by=coordinator, at=months.AT + timedelta(days=9999))
    response = client.post(reverse("batches:plan_make", args=[batch.pk]))
    assert response.status_code == 409
    assert list(Job.objects.all()) == [job]


def test_dropping_a_plan_by_its_page(plan: Plan, client: Client) -> None:
    """A plan is thrown away by its button and its page is gone."""
    client.post(reverse("batches:plan_drop", args=[plan.pk]))
    assert client.get(reverse("batches:plan_page", args=[plan.pk])).status_code == 404


def test_who_may_see_and_commit(plan: Plan, packer: Person, volunteer: Person, sign_in: SignIn) -> None:
    """A packer reads the plan and commits none; a volunteer sees neither; a stranger signs in first."""
    page = reverse("batches:plan_page", args=[plan.pk])
    assert [c.get(page).status_code for c in (sign_in(packer), sign_in(volunteer), Client())] == [
        200,
        403,
        302,
    ]
    for name in ("plan_commit", "plan_drop"):
        assert sign_in(packer).post(reverse(f"batches:{name}", args=[plan.pk])).status_code == 403
    assert sign_in(packer).get(reverse("batches:plan_page", args=[999])).status_code == 404
