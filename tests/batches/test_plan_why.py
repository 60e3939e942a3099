"""Every number of a plan says where it comes from, as it was when the plan was made."""

import re
from collections.abc import Callable
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches import actions
from gowngroup.batches.models import Plan
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.why import TOPICS, why_page
from gowngroup.batches.planner.words import exact_mm_words
from gowngroup.people.models import Person
from gowngroup.records.actions import set_figure
from gowngroup.records.reader import Reader, reading_as
from gowngroup.stock.models import Lot
from tests.batches import months
from tests.batches.test_plan_making import line_of, single_line

SignIn = Callable[[Person], Client]


@pytest.fixture
def plan(coordinator: Person) -> Plan:
    """A plan of two smocked gowns with too little floss, by a step of lay length the group has set itself."""
    months.catalog(coordinator)
    months.cloth(coordinator)
    months.sundries(coordinator, skein_count=1)
    set_figure(key="lay_step_mm", value=8, source="our old table", by=coordinator, at=months.AT)
    batch = single_line(coordinator, line_of(months.revision_of(), 3500, 2))
    return actions.make_plan(batch=batch, by=coordinator, at=months.AT)


@pytest.fixture
def pages(coordinator: Person, sign_in: SignIn, plan: Plan) -> Callable[[str], str]:
    """The page of a part of the plan, as text."""
    client = sign_in(coordinator)

    def get(what: str) -> str:
        response = client.get(reverse("batches:plan_why", args=[plan.pk, what]))
        assert response.status_code == 200
        return unescape(response.content.decode())

    return get


def test_every_part_of_a_plan_has_its_page(plan: Plan, pages: Callable[[str], str]) -> None:
    """Each topic's page shows each of its numbers, and the plan page leads to all of them."""
    stored = StoredPlan.of(plan)
    for key, topic in TOPICS.items():
        html = pages(key)
        for why in topic.whys(stored):
            assert why.title in html
            assert why.result in html
            assert why.words in html


def test_a_lay_says_what_it_was_made_of(plan: Plan, pages: Callable[[str], str]) -> None:
    """Length, usable width, pieces and share used stand there with the lot they lie on."""
    (cut,) = StoredPlan.of(plan).plan.cuts
    html = pages("cloth")
    assert exact_mm_words(cut.lay.length_mm) in html
    assert exact_mm_words(cut.strip.usable_width_mm) in html
    assert f"{cut.lay.used_share * 100:.1f} %" in html
    lot = Lot.objects.get(pk=int(cut.lot_key))
    assert reverse("stock:lot_page", args=[lot.code]) in html


def test_settings_stand_with_their_source_as_they_were(
    plan: Plan, pages: Callable[[str], str], coordinator: Person
) -> None:
    """A setting is shown as the plan used it, with the group's own source, also after it was changed again."""
    set_figure(key="lay_step_mm", value=20, source="the new table", by=coordinator, at=months.AT)
    html = pages("cloth")
    assert "our old table" in html
    assert "the new table" not in html
    assert "0.8 cm" in html
    assert reverse("people:figure_page", args=["lay_step_mm"]) in html


def test_floss_is_reckoned_row_by_row(plan: Plan) -> None:
    """The batch's cuts are named, and each row of the chart comes to its needlefuls step by step."""
    stored = StoredPlan.of(plan)
    whys = why_page(stored, TOPICS["floss"]).whys
    assert [why.result for why in whys[: len(stored.plan.floss)]] == [
        f"{shade.cuts} cuts" for shade in stored.plan.floss
    ]
    rows = sum(len(need.smocking.rows) for need in stored.needs.values() if need.smocking)
    assert len(whys) == len(stored.plan.floss) + rows
    assert all(why.values for why in whys[len(stored.plan.floss) :])


def test_a_range_is_told_only_where_hands_differ(plan: Plan) -> None:
    """Making up takes a slow hand longer; finishing takes everybody as long, and is told once."""
    values = dict(why_page(StoredPlan.of(plan), TOPICS["hours"]).whys[1].values)
    assert values["making up"] == "2 h 0 min (1 h 30 min to 2 h 30 min)"
    assert values["finishing and labelling"] == "18 min"


def test_the_hours_add_up(plan: Plan) -> None:
    """The whole plan's time is told gown by gown, and smocking with the needlefuls it counts a moment for."""
    stored = StoredPlan.of(plan)
    whole, gown = why_page(stored, TOPICS["hours"]).whys
    (need,) = stored.needs.values()
    assert [value for _, value in whole.values] == [f"2 × {gown.result}"]
    assert stored.plan.minutes == pytest.approx(
        2 * sum(time.usual_min for time in need.stage_times if time.stage != "cut")
    )
    starts = sum(floss.needlefuls for floss in need.floss)
    assert dict(gown.values)["needlefuls started"] == str(starts)
    # 300 stitches an hour and 3 minutes for each needleful started: common practice, no source.
    (smock,) = (time for time in need.stage_times if time.stage == "smock")
    assert smock.usual_min == pytest.approx(need.stitch_count / 5 + 3 * starts)


def test_the_cuts_of_a_shade_add_up(coordinator: Person) -> None:
    """Cuts of each gown times the gowns, the spare of each kit, and what the shelf lacks: together what is told."""
    months.catalog(coordinator)
    months.cloth(coordinator)
    months.sundries(coordinator, skein_count=1)
    batch = single_line(coordinator, line_of(months.revision_of(), 3500, 4))
    stored = StoredPlan.of(actions.make_plan(batch=batch, by=coordinator, at=months.AT))
    for shade, why in zip(stored.plan.floss, why_page(stored, TOPICS["floss"]).whys, strict=False):
        values = dict(why.values)
        sums = re.findall(r"(\d+) × (\d+) cut", next(iter(values.values())))
        assert sum(int(times) * int(cuts) for times, cuts in sums) == shade.cuts
        assert values.get("beyond what is on the shelf") == (
            f"{shade.short_cuts} cuts" if shade.short_cuts else None
        )
    assert any(shade.short_cuts for shade in stored.plan.floss)
    shopping = why_page(stored, TOPICS["shopping"]).whys
    missing = [dict(why.values) for why in shopping if "skeins on the shelf" in why.words]
    assert [each["cuts missing"] for each in missing] == [str(each.short_cuts) for each in stored.plan.floss]
    assert {each["whole cuts in a skein"] for each in missing} == {"17"}  # of 457 mm in 8 m: derived


def test_a_lace_tells_its_sum(plan: Plan) -> None:
    """Each length stands there as its edge, how fully it is gathered, and what is turned in at both ends."""
    stored = StoredPlan.of(plan)
    with reading_as(Reader(length_unit="in")):
        assert all(why.values for why in why_page(stored, TOPICS["trims"]).whys)
    laces = [why for why in why_page(stored, TOPICS["trims"]).whys if "lace" in why.title]
    ((_, told), *_), *_rest = [why.values for why in laces]
    found = re.fullmatch(r"\d+ × ([\d.]+) cm \(([\d.]+) cm × ([\d.]+) \+ 2 × ([\d.]+) cm\)", told)
    assert found, told
    length, edge, ratio, end = map(float, found.groups())
    assert -0.01 < length - (edge * ratio + 2 * end) < 0.11


def test_no_bias_says_where_bindings_lie(pages: Callable[[str], str]) -> None:
    """A plan without a square for bias says that bindings are pieces of the lay."""
    assert "it lies in the lay as a piece of its own" in pages("bias")


def test_what_cannot_be_made_says_why(coordinator: Person) -> None:
    """A kit without cloth has its reason on the page of the kits, and its cloth on that of the shopping."""
    months.catalog(coordinator)
    batch = single_line(coordinator, line_of(months.revision_of(), 3500, 1))
    stored = StoredPlan.of(actions.make_plan(batch=batch, by=coordinator, at=months.AT))
    (kit,) = why_page(stored, TOPICS["kits"]).whys
    assert kit.result == "cannot be made"
    assert "There is no cloth on the shelf." in kit.words
    cloth = why_page(stored, TOPICS["shopping"]).whys[0]
    assert ("for kits", "1") in cloth.values


def test_a_figure_leads_to_the_plan_it_is_used_in(plan: Plan, coordinator: Person, sign_in: SignIn) -> None:
    """The page of a figure names its uses, and goes to the newest plan's numbers that rest on it."""
    client = sign_in(coordinator)
    html = client.get(reverse("people:figure_page", args=["lay_step_mm"])).content.decode()
    link = reverse("batches:newest_why", args=["cloth"])
    assert link in html
    assert client.get(link).headers["Location"] == reverse("batches:plan_why", args=[plan.pk, "cloth"])
    assert client.get(reverse("batches:plan_why", args=[plan.pk, "nothing"])).status_code == 404


def test_a_plan_that_cannot_be_read_says_so(plan: Plan, pages: Callable[[str], str]) -> None:
    """A document of another format is shown as such."""
    Plan.objects.filter(pk=plan.pk).update(document={})
    assert "in a form this version does not read" in pages("cloth")


def test_figures_are_found_by_use_and_source(coordinator: Person, sign_in: SignIn) -> None:
    """The list of figures is narrowed by what they are used for, and searched in their sources too."""
    client = sign_in(coordinator)
    url = reverse("people:figure_list")
    found = client.get(url, {"use": "bias"}).context["page_obj"].object_list
    assert [row["key"] for row in found] == ["bias_yield_share"]
    sources = client.get(url, {"words": "shrinkage tables"}).context["page_obj"].object_list
    assert sources
    assert all("tables" in row["source"] or "tables" in row["label"] for row in sources)
