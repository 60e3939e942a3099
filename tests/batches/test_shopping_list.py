"""The shopping list of a plan: what to ask for, in two scenarios, and what is left over."""

import re
from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches import actions
from gowngroup.batches.models import Plan
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.shopping import kit_runs, shopping_page
from gowngroup.people.models import LengthUnit, Person
from gowngroup.records.reader import Reader, reading_as
from gowngroup.stock.models import Material
from tests.batches import months

SignIn = Callable[[Person], Client]


def yoke_plan(by: Person, count: int = 3) -> Plan:
    """Yoke gowns of one size, on whatever lies on the shelf."""
    batch = actions.start_batch(month=months.MARCH, hours_offered_min=60_000, by=by, at=months.AT)
    line = actions.LineDetails(
        revision=months.revision_of("yoke", "Yoke"),
        size=months.size_to(2500),
        purpose="worn",
        gown_count=count,
    )
    actions.set_lines(batch=batch, lines=[line], by=by, at=months.AT)
    return actions.make_plan(batch=batch, by=by, at=months.AT)


@pytest.fixture
def by(coordinator: Person) -> Person:
    months.catalog(coordinator)
    return coordinator


@pytest.fixture
def short(by: Person) -> Plan:
    """Cloth for one gown of three, lace on cards of 5 m, floss, bags in packs, nothing else on the shelf."""
    months.cloth(by, 700_000)
    for kind, name in (("floss", "Rose"), ("floss", "Sage"), ("thread", "White")):
        months.material(by, kind, name)
    months.material(by, "lace", "Narrow lace", package_amount=5 * months.METRE, package_word="card")
    months.material(by, "notion", "Flat fastenings", fibre="nylon", is_counted=True, package_amount=10)
    return yoke_plan(by)


def text(client: Client, plan: Plan) -> str:
    """The page without its tags."""
    html = client.get(reverse("batches:shopping_list", args=[plan.pk])).content.decode()
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def test_the_list_speaks_of_packages_kits_and_scenarios(short: Plan, by: Person, sign_in: SignIn) -> None:
    """Cloth by its width, cards as the material's own, packs, the kits that wait, and what can be made when."""
    said = text(sign_in(by), short)
    assert re.search(r"[0-9.]+ m of cloth of the right weight, [0-9]+ cm wide", said)
    assert "Or, if that is cheaper in your shop:" in said
    assert "1 card of 5 m of Narrow lace" in said
    assert "1 pack of 10 of Flat fastenings 3 needed, for kits 1–3; 7 will be left over" in said
    found = re.search(r"Narrow lace ([0-9.]+) m needed, for kits 1–3; ([0-9.]+) m will be left over", said)
    assert found
    assert float(found[1]) + float(found[2]) == pytest.approx(5, abs=0.02)
    assert "If nothing is bought 0 gowns With everything on this list 3 gowns (kits 1–3)" in said


def test_what_becomes_of_it_hangs_on_whether_the_plan_is_committed(
    short: Plan, by: Person, sign_in: SignIn
) -> None:
    """Before, a new plan takes what was bought; afterwards it is put by for the kits that are made and wait."""
    client = sign_in(by)
    assert "plan again: the new plan takes it from the shelf" in text(client, short)
    actions.commit_plan(plan=short, by=by, at=months.AT)
    html = client.get(reverse("batches:shopping_list", args=[short.pk])).content.decode()
    assert "plan again" not in html
    assert (
        f'put it by for the kits that wait for it, under <a href="{reverse("batches:kits_to_pack")}">' in html
    )


@pytest.mark.parametrize(
    ("keys", "told"), [(("3", "1", "2"), "1–3"), (("10", "9", "2"), "2, 9–10"), (("4",), "4"), ((), "")]
)
def test_kits_that_follow_each_other_are_told_together(keys: tuple[str, ...], told: str) -> None:
    """Kit numbers are counted, not spelled: 2 before 9 and 10."""
    assert kit_runs(keys) == told


def test_each_material_leads_to_where_it_is_booked_in(short: Plan, by: Person, sign_in: SignIn) -> None:
    """What has a name of its own can be booked in from the list; cloth nobody chose cannot."""
    html = sign_in(by).get(reverse("batches:shopping_list", args=[short.pk])).content.decode()
    names = re.findall("It has arrived: book in ([^<]+)<", html)
    assert sorted(names) == ["Flat fastenings", "Narrow lace", "Rose", "Sage", "White"]
    rose = Material.objects.get(name="Rose")
    assert reverse("stock:lot_receive", args=[rose.pk]) in html


@pytest.mark.parametrize(
    ("name", "fields"),
    [
        ("Flat fastenings", {"package_count": "1"}),
        ("Narrow lace", {"package_count": "1", "package_amount": "5"}),
        ("White", {"amount": "200"}),
    ],
)
def test_what_has_arrived_is_filled_in(
    name: str, fields: dict[str, str], short: Plan, by: Person, sign_in: SignIn
) -> None:
    """From the list one comes to the form with the packs, cards or metres to buy, and may send it as it is."""
    client = sign_in(by)
    html = client.get(reverse("batches:shopping_list", args=[short.pk])).content.decode()
    (address,) = re.findall(rf'href="([^"]+)">It has arrived: book in {name}<', html)
    page = client.get(address.replace("&amp;", "&"))
    form = page.context["form"]
    assert {key: str(form[key].value()) for key in fields} == fields
    sent = {**fields, "state": "as given"}
    assert client.post(address.replace("&amp;", "&"), sent).status_code == 302


def test_whoever_reads_inches_shops_in_yards(short: Plan) -> None:
    """The same plan in yards and inches."""
    with reading_as(Reader(length_unit=LengthUnit.INCH)):
        page = shopping_page(StoredPlan.of(short))
    assert re.search(r" yd of cloth of the right weight, [0-9/ ]+ in wide", page.groups[0][1][0].text)


def test_left_overs_say_whether_they_are_worth_keeping(by: Person, sign_in: SignIn) -> None:
    """A full shelf leaves an empty list, every gown made without buying, and each lot's left-over."""
    months.cloth(by)
    months.sundries(by)
    months.material(by, "notion", "Nothing else", is_counted=True)
    said = text(sign_in(by), yoke_plan(by, 2))
    assert "If nothing is bought 2 gowns" in said
    assert "Nothing need be bought" in said
    assert re.search(r"White batiste [A-Z0-9-]+ [0-9.]+ m yes", said)


@pytest.mark.parametrize(("left_mm", "is_told"), [(9.0, False), (10.0, True)])
def test_a_snip_is_no_left_over(short: Plan, left_mm: float, is_told: bool) -> None:
    """Less than a centimetre is nobody's to keep or bin, so nothing is said of it."""
    stored = StoredPlan.of(short)
    cut = stored.document["plan"]["cuts"][0]
    cut["left_mm"] = left_mm
    told = {row.lot["code"] for _kind, rows in shopping_page(stored).left for row in rows if row.lot}
    assert (stored.lot(cut["lot_key"])["code"] in told) == is_told


def test_a_damaged_plan_says_so(short: Plan, by: Person, sign_in: SignIn) -> None:
    """A plan that cannot be read shows the page for that."""
    Plan.objects.filter(pk=short.pk).update(document={"format_version": 99})
    assert "If nothing is bought" not in text(sign_in(by), short)
