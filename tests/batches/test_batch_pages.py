"""Pages of the batch: who may open them, what they offer next, and what they keep of bad input."""

import re
from collections.abc import Callable
from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches import actions
from gowngroup.batches.models import Batch, Kit, Plan
from gowngroup.people.models import Person
from gowngroup.stock.models import Material
from gowngroup.wards.models import WardRequest
from tests.batches import months

SignIn = Callable[[Person], Client]


@pytest.fixture
def client(coordinator: Person, sign_in: SignIn) -> Client:
    """The coordinator's browser, with the starting catalog behind it."""
    months.catalog(coordinator)
    return sign_in(coordinator)


@pytest.fixture
def batch(client: Client, coordinator: Person) -> Batch:
    """A batch proposed from a request of four gowns, on a stocked shelf."""
    months.cloth(coordinator)
    months.sundries(coordinator)
    months.ask(coordinator, months.ward(2500), (2500, 4))
    return months.proposed(coordinator)


def url(name: str, *args: object) -> str:
    return reverse(f"batches:{name}", args=args)


def lines_data(batch: Batch, **changes: object) -> dict[str, object]:
    """What the form of the lines sends as it stands, with changes."""
    line = batch.lines.get()
    data = {
        "hours_offered": "100",
        f"design_{line.pk}": line.design_revision_id,
        f"gowns_{line.pk}": line.gown_count,
        f"per_kit_{line.pk}": 1,
    }
    return {**data, **changes}


def test_a_month_from_start_to_kits(client: Client, coordinator: Person) -> None:
    """Started, proposed, planned and committed through its pages, a batch ends in kits."""
    months.cloth(coordinator)
    months.sundries(coordinator)
    months.ask(coordinator, months.ward(2500), (2500, 4))
    month = Client.get(client, url("batch_start")).context["form"]["month"].field.choices[0][0]
    client.post(url("batch_start"), {"month": month, "hours_offered": "200"})
    batch = Batch.objects.get()
    client.post(reverse("home:batch_propose", args=[batch.pk]))
    response = client.post(url("plan_make", batch.pk), follow=True)
    assert response.redirect_chain[-1][0] == url("plan_page", Plan.objects.get().pk)
    client.post(url("plan_commit", Plan.objects.get().pk))
    assert Kit.objects.filter(batch=batch).count() == 4


def test_a_batch_is_offered_for_the_month_asked_for(client: Client, coordinator: Person) -> None:
    """Where wards ask for a later month only, the batch's form starts at that month; else at this one."""
    field = Client.get(client, url("batch_start")).context["form"]["month"]
    this_month, next_month = (choice[0] for choice in field.field.choices[:2])
    assert field.value() == this_month
    months.ask(coordinator, months.ward(2500), (2500, 4))
    WardRequest.objects.update(month=date.fromisoformat(next_month))
    assert Client.get(client, url("batch_start")).context["form"]["month"].value() == next_month


def test_a_month_with_a_batch_is_not_offered_again(client: Client, coordinator: Person) -> None:
    """A month being put together is gone on with; one whose batch is under way is offered last, as a further batch."""

    def offered() -> tuple[object, list[str]]:
        field = Client.get(client, url("batch_start")).context["form"]["month"]
        return field.value(), [str(label) for _month, label in field.field.widget.choices]

    first, labels = offered()
    batch = actions.start_batch(month=date.fromisoformat(str(first)), by=coordinator, at=months.AT)
    second, left = offered()
    assert (second != first, left) == (True, labels[1:])
    assert url("batch_page", batch.pk) in client.get(url("batch_start")).content.decode()
    answer = client.post(url("batch_start"), {"month": first, "hours_offered": "20"})
    assert answer.status_code == 302, "who has the form open since before may still send it"
    Batch.objects.update(state=Batch.State.COMMITTED)
    assert offered() == (second, [f"{labels[0]}, a further batch", *labels[1:]])


def test_each_state_offers_one_main_step(batch: Batch, client: Client, coordinator: Person) -> None:
    """Propose, then plan, then see the plan, then cut the lays: one main button each time."""
    empty = actions.start_batch(month=months.MARCH, by=coordinator, at=months.AT)

    def main_step(pk: int) -> str:
        html = client.get(url("batch_page", pk)).content.decode().partition("<main")[2]
        assert html.count('class="button main"') == 1
        return html.partition('class="button main"')[2].partition(">")[2].partition("<")[0]

    assert main_step(empty.pk) == "Propose it from the requests"
    assert main_step(batch.pk) == "Plan it"
    plan = actions.make_plan(batch=batch, by=coordinator, at=months.AT)
    assert main_step(batch.pk) == "See the plan"
    actions.commit_plan(plan=plan, by=coordinator, at=months.AT)
    assert main_step(batch.pk) == "Cut the lays"


def test_proposal_without_requests_says_what_to_do(client: Client, coordinator: Person) -> None:
    """With nothing asked the page says so and the batch stays empty."""
    batch = actions.start_batch(month=months.MARCH, by=coordinator, at=months.AT)
    response = client.post(reverse("home:batch_propose", args=[batch.pk]))
    assert response.status_code == 422
    assert "Enter a request first, or add lines by hand." in response.content.decode()


def test_numbers_are_changed_and_lines_added(batch: Batch, client: Client) -> None:
    """Every number may be changed, and a line of any design, size and purpose added."""
    line = batch.lines.get()
    wrap = months.revision_of("wrap", "Wrap")
    added = {
        "design_new1": wrap.pk,
        "size_new1": months.size_to(250).pk,
        "purpose_new1": "memorial",
        "gowns_new1": 5,
        "per_kit_new1": 2,
    }
    data = lines_data(batch, **{f"gowns_{line.pk}": 9}, **added)
    response = client.post(url("batch_lines", batch.pk), data)
    assert response.status_code == 302
    found = {(row.size.upper_mass_g, row.purpose): row.gown_count for row in batch.lines.all()}
    assert found == {(2500, "worn"): 9, (250, "memorial"): 5}
    assert "150–250 g, memorial, Gowns" in client.get(url("batch_lines", batch.pk)).content.decode()
    batch.refresh_from_db()
    assert batch.hours_offered_min == 6000


def test_hours_by_stage_are_kept_and_shown_again(batch: Batch, client: Client) -> None:
    """Hours of smocking are kept beside the whole, stay open on the form, and may be taken away again."""
    client.post(url("batch_lines", batch.pk), lines_data(batch, smock="12.5"))
    batch.refresh_from_db()
    assert (batch.hours_offered_min, batch.pleat_min, batch.smock_min) == (6000, None, 750)
    html = client.get(url("batch_lines", batch.pk)).content.decode()
    assert '<details class="panel" open>' in html
    assert 'value="12.5"' in html
    client.post(url("batch_lines", batch.pk), lines_data(batch))
    batch.refresh_from_db()
    assert batch.smock_min is None


def test_the_page_says_what_would_free_more(client: Client, coordinator: Person) -> None:
    """A proposal that is held back says by what, and what would free how many gowns."""
    months.cloth(coordinator)
    months.ask(coordinator, months.ward(2500), (2500, 6))
    batch = months.proposed(coordinator, hours=12)
    html = client.get(url("batch_page", batch.pk)).content.decode()
    assert "How more gowns could be made:" in html
    assert re.search(r"With \d+ more hours, \d+ more gowns? could be made", html)


@pytest.mark.parametrize("typed", ["-3", "three", "100000", ""])
def test_bad_numbers_are_asked_back(batch: Batch, client: Client, typed: str) -> None:
    """A number that cannot be meant is refused at its field, and what was typed stays."""
    line = batch.lines.get()
    response = client.post(url("batch_lines", batch.pk), lines_data(batch, **{f"gowns_{line.pk}": typed}))
    assert response.status_code == 422
    form = response.context["form"]
    assert form.errors[f"gowns_{line.pk}"]
    assert form[f"gowns_{line.pk}"].value() == typed
    assert batch.lines.get().gown_count == 4


def test_a_design_not_made_in_the_size_is_refused(batch: Batch, client: Client) -> None:
    """A design that is not made in a size is refused at the line's field, in a sentence."""
    line = batch.lines.get()
    wrap = months.revision_of("wrap", "Wrap")
    response = client.post(url("batch_lines", batch.pk), lines_data(batch, **{f"design_{line.pk}": wrap.pk}))
    assert response.status_code == 422
    assert "is not made in 2000–2500 g for this purpose" in str(response.context["form"].errors)


def test_the_same_line_twice_is_refused(batch: Batch, client: Client) -> None:
    """A second line of the same design, size and purpose is refused and nothing is saved."""
    line = batch.lines.get()
    again = {
        "design_new1": line.design_revision_id,
        "size_new1": line.size_id,
        "purpose_new1": "worn",
        "gowns_new1": 2,
    }
    response = client.post(url("batch_lines", batch.pk), lines_data(batch, **again))
    assert "stands there twice" in str(response.context["form"].errors["gowns_new1"])
    assert batch.lines.count() == 1


def test_a_new_line_needs_its_design(batch: Batch, client: Client) -> None:
    """Gowns typed into an empty row without a design are asked back at that row."""
    response = client.post(url("batch_lines", batch.pk), lines_data(batch, gowns_new2=3))
    assert set(response.context["form"].errors) == {"design_new2", "size_new2"}


def test_materials_are_chosen(batch: Batch, client: Client, coordinator: Person) -> None:
    """A material chosen for a part is kept, and one left open is no longer chosen."""
    blue = months.material(coordinator, "floss", "Stranded cotton", shade="blue")
    form = client.get(url("batch_choices", batch.pk)).context["form"]
    names = {part.name or part.kind: name for name, part in form.parts.items()}
    client.post(url("batch_choices", batch.pk), {"cutting_way": "together", names["A"]: blue.pk})
    assert [(row.part, row.material) for row in batch.choices.all()] == [("A", blue)]


def test_metal_is_never_offered(batch: Batch, client: Client, coordinator: Person) -> None:
    """A metal fastening is not among the materials to choose, and refused when sent all the same."""
    metal = months.material(coordinator, "notion", "Snaps", fibre="metal", is_counted=True)
    form = client.get(url("batch_choices", batch.pk)).context["form"]
    name = next(name for name, part in form.parts.items() if part.kind == "notion")
    assert str(metal.pk) not in dict(form.fields[name].choices)
    data = {"cutting_way": "together", name: metal.pk}
    assert client.post(url("batch_choices", batch.pk), data).status_code == 422


def test_cloth_can_be_asked_for_by_name(batch: Batch, client: Client, coordinator: Person) -> None:
    """Where one cloth is chosen for a design its kits are cut from that cloth alone."""
    rose = months.cloth(coordinator, name="Rose lawn")
    form = client.get(url("batch_choices", batch.pk)).context["form"]
    data = {name: form[name].value() for name in ("cutting_way", *form.parts)}
    data[next(name for name, part in form.parts.items() if part.kind == "cloth")] = rose.material_id
    client.post(url("batch_choices", batch.pk), data)
    client.post(url("plan_make", batch.pk))
    assert {cut["lot_key"] for cut in Plan.objects.get().document["plan"]["cuts"]} == {str(rose.pk)}
    assert Material.objects.filter(kind="cloth").count() == 2


def test_what_no_design_serves_is_shown(batch: Batch, client: Client, coordinator: Person) -> None:
    """A size asked for that stands in no line is listed with the ward that asks."""
    asking = months.ward(4500)
    months.ask(coordinator, asking, (4500, 3), purpose="memorial")
    actions.set_lines(
        batch=batch,
        lines=[
            actions.LineDetails(
                revision=line.design_revision, size=line.size, purpose=line.purpose, gown_count=4
            )
            for line in batch.lines.all()
        ],
        by=coordinator,
        at=months.AT,
    )
    html = client.get(url("batch_page", batch.pk)).content.decode()
    assert "Asked for, and not in this batch" in html
    assert asking.name in html


def test_list_says_what_to_do_when_empty(client: Client) -> None:
    """Without a batch the list offers to start one."""
    assert "Start a batch" in client.get(url("batch_list")).content.decode()


PAGES = ("batch_page", "batch_lines", "batch_choices")


@pytest.mark.parametrize("name", ["batch_page", "batch_lines", "batch_choices"])
def test_foreign_batch_is_not_there(client: Client, name: str) -> None:
    """A number no batch has answers 404."""
    assert client.get(url(name, 999)).status_code == 404


def test_who_may_open_what(batch: Batch, packer: Person, volunteer: Person, sign_in: SignIn) -> None:
    """A packer reads batches and changes none; a volunteer reads none; a stranger signs in first."""
    urls = [url(name, batch.pk) for name in PAGES] + [url("batch_list"), url("batch_start")]
    assert [sign_in(packer).get(each).status_code for each in urls] == [200, 403, 403, 200, 403]
    assert [sign_in(volunteer).get(each).status_code for each in urls] == [403] * 5
    assert [Client().get(each).status_code for each in urls] == [302] * 5
    for name in ("plan_make", "plan_cancel"):
        assert sign_in(packer).post(url(name, batch.pk)).status_code == 403
    assert sign_in(packer).post(reverse("home:batch_propose", args=[batch.pk])).status_code == 403
