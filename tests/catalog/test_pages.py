"""The pages of the catalog, as people open and send them."""

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from gowngroup.catalog.actions import mark_revision_used
from gowngroup.catalog.models import Chart, Design, DesignRevision, DesignSize, Need, PleaterProfile, Size
from gowngroup.catalog.queries import newest_revision
from gowngroup.people.models import Person

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]

OPEN_PAGES = ["design_list", "chart_list", "size_list"]
# The most queries of a list or a report.
MOST_QUERIES = 15
OFFICE_PAGES = ["design_new", "chart_new", "size_new", "pleater_new"]


@pytest.fixture
def browser(coordinator: Person, sign_in: SignIn) -> Client:
    return sign_in(coordinator)


def formset(rows: list[dict[str, Any]], initial: int = 0) -> dict[str, Any]:
    """The rows of a formset as a browser sends them."""
    sent: dict[str, Any] = {"form-TOTAL_FORMS": len(rows), "form-INITIAL_FORMS": initial}
    for index, row in enumerate(rows):
        sent |= {f"form-{index}-{name}": value for name, value in row.items()}
    return sent


CABLE = {
    "stitch": "cable",
    "step_count": 0,
    "top_half_space": 0,
    "rise_half_spaces": 0,
    "floss_role": "A",
    "strand_count": 3,
    "start": "centre",
    "centre_at": "bottom",
}
PIECE = {"name": "front", "part": "front", "piece_count": 1, "width_um": "30", "length_um": "32"}


@pytest.mark.parametrize("name", OPEN_PAGES)
def test_everyone_of_the_group_looks_and_strangers_do_not(
    name: str, started: Design, volunteer: Person, sign_in: SignIn, client: Client
) -> None:
    """Volunteers may look at designs, charts and sizes; strangers are asked to sign in."""
    assert sign_in(volunteer).get(reverse(f"catalog:{name}")).status_code == 200
    assert client.get(reverse(f"catalog:{name}")).status_code == 302


def test_the_list_of_designs_takes_as_many_queries_for_many(browser: Client, started: Design) -> None:
    """Five times the designs, drawn from their pieces and charts, take the same few queries."""

    def counted() -> int:
        with CaptureQueriesContext(connection) as queries:
            cards = browser.get(reverse("catalog:design_list")).context["cards"]
        assert all(card["drawing"] for card in cards)
        return len(queries)

    counted()  # what a process looks up once is looked up now
    few = counted()
    sizes = list(newest_revision(started).sizes.all())
    for number in range(8):
        revision = DesignRevision.objects.get(pk=newest_revision(started).pk)
        revision.pk = None
        revision.design = Design.objects.create(name=f"Another {number}", kind=started.kind)
        revision.save(force_insert=True)
        DesignSize.objects.bulk_create(DesignSize(revision=revision, size=row.size) for row in sizes)
    assert counted() == few <= MOST_QUERIES


@pytest.mark.parametrize("name", OFFICE_PAGES)
def test_only_the_coordinator_adds(name: str, browser: Client, packer: Person, sign_in: SignIn) -> None:
    """Forms open for the coordinator and nobody else."""
    assert browser.get(reverse(f"catalog:{name}")).status_code == 200
    assert sign_in(packer).get(reverse(f"catalog:{name}")).status_code == 403


@pytest.mark.parametrize(
    "name", ["design_page", "design_change", "design_rename", "design_sizes", "design_needs"]
)
def test_design_pages_open_and_foreign_ones_do_not(name: str, yoke: DesignRevision, browser: Client) -> None:
    """A design's pages open; those of a design there never was are not found."""
    assert browser.get(reverse(f"catalog:{name}", args=[yoke.design_id])).status_code == 200
    assert browser.get(reverse(f"catalog:{name}", args=[yoke.design_id + 99])).status_code == 404


def test_volunteers_see_lengths_and_no_weights(
    round_neck: DesignRevision, volunteer: Person, sign_in: SignIn
) -> None:
    """To a volunteer a size is a length; the weight band is for the group."""
    address = reverse("catalog:design_page", args=[round_neck.design_id])
    page = sign_in(volunteer).get(address).content.decode()
    assert "for a baby up to 46\u00a0cm" in page
    assert "2000–2500 g" not in page


def test_an_empty_catalog_is_started_by_a_button(browser: Client) -> None:
    """The empty list says what to do; the button fills it once and a second press is told."""
    assert "Start the catalog" in browser.get(reverse("catalog:design_list")).content.decode()
    page = browser.post(reverse("catalog:catalog_start"), {"request_key": "a"}, follow=True)
    assert "Round-necked gown" in page.content.decode()
    assert browser.post(reverse("catalog:catalog_start"), {"request_key": "b"}).status_code == 409


def test_the_design_page_says_what_closes(round_neck: DesignRevision, browser: Client) -> None:
    """Every size of the design is said to close, with its pleats."""
    page = browser.get(reverse("catalog:design_page", args=[round_neck.design_id])).content.decode()
    assert page.count("yes, it closes") == 4
    assert "gown-drawing" in page


def test_the_design_page_says_what_is_missing(round_neck: DesignRevision, browser: Client) -> None:
    """A design without the chart it needs says so for each size."""
    DesignRevision.objects.update(chart=None)
    page = browser.get(reverse("catalog:design_page", args=[round_neck.design_id])).content.decode()
    assert "4 sizes cannot be made yet" in page
    assert page.count("has no smocking chart") == 4


@pytest.mark.parametrize("purpose", ["worn", "memorial", "nonsense"])
def test_a_sizes_page_draws_its_pieces(purpose: str, round_neck: DesignRevision, browser: Client) -> None:
    """The page of a size draws the pieces, the gown and the chart, for either purpose."""
    size = Size.objects.get(upper_mass_g=2500)
    address = reverse("catalog:design_size_page", args=[round_neck.design_id, size.pk])
    page = browser.get(address, {"for": purpose}).content.decode()
    assert all(name in page for name in ("gown-drawing", "pieces-drawing", "chart-drawing", "146"))
    assert "this gown can be made" in page


def test_a_size_not_made_has_no_page(round_neck: DesignRevision, browser: Client) -> None:
    """A size the design is not made in has no page, nor have drafted designs pieces to type."""
    small, own = Size.objects.get(upper_mass_g=750), Size.objects.get(upper_mass_g=2500)
    design = round_neck.design_id
    assert browser.get(reverse("catalog:design_size_page", args=[design, small.pk])).status_code == 404
    assert browser.get(reverse("catalog:design_pieces", args=[design, own.pk])).status_code == 404


def test_a_design_is_added_and_leads_to_its_sizes(started: Design, browser: Client) -> None:
    """A new design goes on to the choice of its sizes."""
    sent = {
        "name": "Plain gown",
        "kind": "rectangles",
        "closure": "flat-fastening",
        "difficulty": 1,
        "is_for_worn": "on",
        "seam_class": "301",
        "trim_class": "301",
        "cloth_mass_min_g_per_m2": 60,
        "cloth_mass_max_g_per_m2": 150,
        "order_of_work": "Cut.\n\n Sew. ",
    }
    answer = browser.post(reverse("catalog:design_new"), sent)
    design = Design.objects.get(name="Plain gown")
    assert answer["Location"] == reverse("catalog:design_sizes", args=[design.pk])
    assert newest_revision(design).order_of_work == ["Cut.", "Sew."]


@pytest.mark.parametrize(
    ("typed", "ends"),
    [
        ("Kräuseln.\n\nSmoken.\nDämpfen.\n\nZunähen.", [1, 3]),
        ("Cut.\n\nSew.", []),
        ("A.\nB.\n", []),
        ("A.\n\nB.\n\nC.\n\nD.", []),
    ],
)
def test_empty_lines_part_the_stages(
    typed: str, ends: list[int], yoke: DesignRevision, browser: Client
) -> None:
    """Two empty lines among the steps say where smocking begins and ends, and stand in the form again."""
    address = reverse("catalog:design_change", args=[yoke.design_id])
    sent = browser.get(address).context["form"].initial | {"order_of_work": typed, "tie_length_um": ""}
    sent["chart"] = yoke.chart_id
    assert browser.post(address, sent).status_code == 302
    changed = newest_revision(yoke.design)
    assert changed.stage_ends == ends
    shown = browser.get(address).context["form"].initial["order_of_work"]
    assert shown == (typed if ends else "\n".join(changed.order_of_work))


def test_a_long_tie_comes_back_with_what_was_typed(yoke: DesignRevision, browser: Client) -> None:
    """A tie of 40 cm is asked back at its field; nothing is changed and the steps typed are kept."""
    sent = {
        "closure": "ties",
        "tie_length_um": "40",
        "difficulty": 1,
        "is_for_worn": "on",
        "seam_class": "301",
        "trim_class": "301",
        "cloth_mass_min_g_per_m2": 60,
        "cloth_mass_max_g_per_m2": 150,
        "order_of_work": "My own step",
    }
    answer = browser.post(reverse("catalog:design_change", args=[yoke.design_id]), sent)
    assert answer.status_code == 422
    assert "tie_length_um" in answer.context["form"].errors
    assert "My own step" in answer.content.decode()


def test_a_used_design_says_its_change_is_the_next_revision(
    yoke: DesignRevision, coordinator: Person, at: Any, browser: Client
) -> None:
    """The form of a used revision says so, and saving it makes revision 2."""
    mark_revision_used(revision=yoke, by=coordinator, at=at)
    address = reverse("catalog:design_change", args=[yoke.design_id])
    page = browser.get(address)
    assert "stays as it is" in page.content.decode()
    sent = {name: value for name, value in page.context["form"].initial.items() if value is not None}
    browser.post(address, sent | {"chart": yoke.chart_id, "difficulty": 3})
    assert (newest_revision(yoke.design).number, newest_revision(yoke.design).difficulty) == (2, 3)


def test_sizes_are_chosen_in_a_grid(boxes: DesignRevision, size_1500: Size, browser: Client) -> None:
    """Ticked sizes stay; untouched lengths keep their exact micrometres."""
    address = reverse("catalog:design_sizes", args=[boxes.design_id])
    shown = browser.get(address).context["form"]
    exact = boxes.sizes.get(size=size_1500).smocked_width_um
    sent = {
        f"made_{size_1500.pk}": "on",
        f"pleats_{size_1500.pk}": "74",
        f"width_{size_1500.pk}": shown[f"width_{size_1500.pk}"].value(),
        f"chest_mm_{size_1500.pk}": "32",
    }
    assert browser.post(address, sent).status_code == 302
    row = boxes.sizes.get()
    assert (row.size, row.smocked_width_um, row.overrides) == (size_1500, exact, {"chest_mm": 320.0})


def test_no_size_is_asked_back(yoke: DesignRevision, browser: Client) -> None:
    """A design in no size at all comes back with a sentence."""
    answer = browser.post(reverse("catalog:design_sizes", args=[yoke.design_id]), {"request_key": "a"})
    assert answer.status_code == 422
    assert "Please choose at least one size." in answer.content.decode()


def test_pieces_are_typed_in_centimetres(boxes: DesignRevision, browser: Client) -> None:
    """Pieces are kept in micrometres; an empty row is left out and one ticked for it is taken out."""
    size = Size.objects.get(upper_mass_g=2500)
    address = reverse("catalog:design_pieces", args=[boxes.design_id, size.pk])
    boxes.sizes.get(size=size).pieces.filter(part__in=("sleeve", "binding")).delete()
    taken_out = {**PIECE, "name": "old", "DELETE": "on"}
    empty = {"part": "other", "piece_count": 1, "may_turn": "on"}
    sent = formset([PIECE, taken_out, {**taken_out, "width_um": "wide"}, empty], initial=3)
    assert browser.post(address, sent).status_code == 302
    pieces = boxes.sizes.get(size=size).pieces
    assert list(pieces.values_list("name", "width_um", "length_um")) == [("front", 300_000, 320_000)]


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"width_um": "153"}, "lies between 1 and 152 cm"),
        ({"width_um": "-30"}, "Please type a number"),
        ({"length_um": "0"}, "lies between 1 and 150 cm"),
        ({"length_um": "wide"}, "Please type a number"),
        ({"name": ""}, "Please fill this in."),
        ({"part": "smocked panel", "width_um": "20"}, "74 pleats take 50.8 cm"),
    ],
)
def test_bad_pieces_come_back_with_what_was_typed(
    changes: dict[str, str], sentence: str, boxes: DesignRevision, size_1500: Size, browser: Client
) -> None:
    """A piece wider than any cloth, below nothing or too narrow is asked back; the old pieces stay."""
    address = reverse("catalog:design_pieces", args=[boxes.design_id, size_1500.pk])
    before = boxes.sizes.get(size=size_1500).pieces.count()
    answer = browser.post(address, formset([{**PIECE, **changes}, {**PIECE, "name": "kept as typed"}]))
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert "kept as typed" in answer.content.decode()
    assert boxes.sizes.get(size=size_1500).pieces.count() == before


def test_inches_are_read_as_inches(boxes: DesignRevision, coordinator: Person, browser: Client) -> None:
    """A reader of inches types inches and eighths."""
    Person.objects.filter(pk=coordinator.pk).update(length_unit="in")
    size = Size.objects.get(upper_mass_g=2500)
    address = reverse("catalog:design_pieces", args=[boxes.design_id, size.pk])
    browser.post(address, formset([{**PIECE, "width_um": "12 1/2", "length_um": "14"}]))
    piece = boxes.sizes.get(size=size).pieces.get()
    assert (piece.width_um, piece.length_um) == (317_500, 355_600)


def test_trims_are_set_with_lengths_per_size(wrap: DesignRevision, browser: Client) -> None:
    """A trim that follows no edge has a length for each size."""
    size = Size.objects.get(upper_mass_g=500)
    row = {
        "kind": "ribbon",
        "place": "flat bow",
        "gather_percent": 100,
        "end_allowance_um": "1",
        "piece_count": 1,
        f"length_{size.pk}": "15",
    }
    address = reverse("catalog:design_needs", args=[wrap.design_id])
    assert browser.post(address, formset([row])).status_code == 302
    need = Need.objects.get(revision=newest_revision(wrap.design))
    assert [(length.size, length.length_um) for length in need.lengths.all()] == [(size, 150_000)]


def test_ribbon_at_the_neck_comes_back(round_neck: DesignRevision, browser: Client) -> None:
    """Ribbon along the neck is refused with the way out, and the trims stay."""
    row = {
        "kind": "ribbon",
        "place": "bow",
        "edge": "neck",
        "gather_percent": 100,
        "end_allowance_um": "1",
        "piece_count": 1,
    }
    address = reverse("catalog:design_needs", args=[round_neck.design_id])
    answer = browser.post(address, formset([row]))
    assert answer.status_code == 422
    assert "Stitch it flat as a bow instead." in answer.content.decode()
    assert Need.objects.filter(revision=round_neck).count() == 2


def test_a_chart_is_added_and_drawn(browser: Client) -> None:
    """Rows with a stitch become the chart; the empty row is left out."""
    rows = [CABLE, {**CABLE, "stitch": "wave", "step_count": 1, "rise_half_spaces": 1, "top_half_space": 1}]
    answer = browser.post(
        reverse("catalog:chart_new"),
        {"name": "Hedge", "note": "", **formset([*rows, {**CABLE, "stitch": ""}])},
    )
    chart = Chart.objects.get()
    assert answer["Location"] == reverse("catalog:chart_page", args=[chart.pk])
    page = browser.get(answer["Location"]).content.decode()
    assert "chart-drawing" in page
    assert "1½ to 2" in page


def test_a_tall_trellis_is_entered_and_shown(browser: Client) -> None:
    """Four steps over two and a half spaces are chosen, kept, drawn and shown with the rows they reach."""
    tall = {**CABLE, "stitch": "trellis", "step_count": 4, "rise_half_spaces": 5, "top_half_space": 1}
    form = browser.get(reverse("catalog:chart_new")).content.decode()
    assert "2½ spaces" in form
    assert "No step may rise more than one space." in form
    answer = browser.post(
        reverse("catalog:chart_new"), {"name": "Big diamonds", "note": "", **formset([CABLE, tall])}
    )
    page = browser.get(answer["Location"]).content.decode()
    assert "chart-drawing" in page
    assert "1½ to 4" in page


def test_a_chart_nobody_can_work_comes_back(browser: Client) -> None:
    """A wave without a rise is told in words, and the name typed is kept."""
    rows = [{**CABLE, "stitch": "wave", "step_count": 1}]
    answer = browser.post(reverse("catalog:chart_new"), {"name": "Hedge", "note": "", **formset(rows)})
    assert answer.status_code == 422
    assert "waves and trellises rise" in answer.content.decode()
    assert "Hedge" in answer.content.decode()


def test_a_bad_number_in_a_row_is_422(browser: Client) -> None:
    """A row that is not filled in right answers 422 though the rest is fine."""
    answer = browser.post(
        reverse("catalog:chart_new"), {"name": "Hedge", **formset([{**CABLE, "strand_count": 9}])}
    )
    assert answer.status_code == 422


def test_a_used_chart_becomes_its_next_number(
    round_neck: DesignRevision, coordinator: Person, at: Any, browser: Client
) -> None:
    """Changing a used chart keeps it and leads to its next number."""
    mark_revision_used(revision=round_neck, by=coordinator, at=at)
    address = reverse("catalog:chart_change", args=[round_neck.chart_id])
    assert "makes its next number" in browser.get(address).content.decode()
    rows = [CABLE, *({**CABLE, "stitch": ""} for _ in range(4))]
    page = browser.post(address, {"note": "", **formset(rows, initial=5)}, follow=True)
    assert "Brook (2)" in page.content.decode()


@pytest.mark.parametrize(("search", "is_found"), [("", True), ("brook", True), ("nothing", False)])
def test_charts_and_designs_are_searched(
    search: str, is_found: bool, started: Design, browser: Client
) -> None:
    """Words narrow the lists, and an empty answer leads back."""
    page = browser.get(reverse("catalog:chart_list"), {"search": search}).content.decode()
    assert ("Brook</a>" in page) == is_found
    page = browser.get(reverse("catalog:design_list"), {"search": "nothing"}).content.decode()
    assert "No design is found under this." in page


def test_a_size_is_added_and_its_measures_changed(started: Design, browser: Client) -> None:
    """A size above the others is added; measures typed in the wrong unit are asked back."""
    sent = {
        "lower_mass_g": 4500,
        "upper_mass_g": 5000,
        "body_length_um": "56",
        "chest_um": "37",
        "has_armholes": "on",
    }
    assert browser.post(reverse("catalog:size_new"), sent).status_code == 302
    size = Size.objects.get(upper_mass_g=5000)
    address = reverse("catalog:size_change", args=[size.pk])
    answer = browser.post(address, {"body_length_um": "22", "chest_um": "14.6", "has_armholes": "on"})
    assert answer.status_code == 422
    assert "Was it typed in another unit?" in answer.content.decode()
    browser.post(address, {"body_length_um": "57", "chest_um": "37.5", "has_armholes": "on"})
    size.refresh_from_db()
    assert size.body_length_um == 570_000


def test_a_pleater_is_added_changed_calibrated_and_used(started: Design, browser: Client) -> None:
    """A second pleater is added, counted and planned with, all by forms."""
    sent = {"name": "Wide", "take_up_mm": "6.5", "row_space_mm": "10", "needle_count": 16}
    browser.post(reverse("catalog:pleater_new"), sent)
    pleater = PleaterProfile.objects.get(name="Wide")
    browser.post(reverse("catalog:pleater_change", args=[pleater.pk]), {**sent, "needle_count": 32})
    browser.post(
        reverse("catalog:pleater_calibrate", args=[pleater.pk]), {"counted_pleats": 80, "over_um": "50"}
    )
    browser.post(reverse("catalog:pleater_use", args=[pleater.pk]))
    pleater.refresh_from_db()
    assert (pleater.take_up_um, pleater.needle_count, pleater.is_in_use) == (6250, 32, True)
    assert "6.25 mm" in browser.get(reverse("catalog:pleater_list")).content.decode()


def test_a_pleater_nobody_has_comes_back(started: Design, browser: Client) -> None:
    """A take-up in inches typed as millimetres is asked back at its field."""
    sent = {"name": "Odd", "take_up_mm": "0.25", "row_space_mm": "10", "needle_count": 16}
    answer = browser.post(reverse("catalog:pleater_new"), sent)
    assert answer.status_code == 422
    assert "pleaters take 4 to 12 mm" in answer.content.decode()


def test_a_design_is_put_by(yoke: DesignRevision, browser: Client) -> None:
    """A design no longer made leaves the list and is found among those put by."""
    browser.post(reverse("catalog:design_rename", args=[yoke.design_id]), {"name": "Old yoke"})
    assert "Old yoke" not in browser.get(reverse("catalog:design_list")).content.decode()
    assert "Old yoke" in browser.get(reverse("catalog:design_list"), {"put_by": "on"}).content.decode()
