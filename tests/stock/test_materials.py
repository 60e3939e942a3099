"""The list of materials and donors."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.people.models import Person
from gowngroup.records.models import TrailLine
from gowngroup.stock.actions import add_material, receive_lot
from gowngroup.stock.actions.errors import NoTrim
from gowngroup.stock.models import Donor, Material
from tests.factories import DonorFactory, MaterialFactory

pytestmark = pytest.mark.django_db

BATISTE = {
    "kind": "cloth",
    "name": "Batiste",
    "shade": "cream",
    "swatch": "#f3ead6",
    "fibre": "cotton",
    "mass_g_per_m2": "85",
    "wash_max_c": "60",
}


@pytest.fixture
def client(sign_in: Callable[[Person], Client], packer: Person) -> Client:
    """The packer's browser."""
    return sign_in(packer)


def test_a_new_material_leads_to_booking_in(client: Client) -> None:
    """Once a material is on the list, the next page asks what came in."""
    answer = client.post(reverse("stock:material_add"), BATISTE)
    material = Material.objects.get()
    assert answer["Location"] == reverse("stock:lot_receive", args=[material.pk])
    assert (material.mass_g_per_m2, material.package_amount) == (85, None)


def test_the_same_material_twice_is_refused(client: Client) -> None:
    """Kind, name and shade make a material; the second is refused at the name."""
    for _each in range(2):
        answer = client.post(reverse("stock:material_add"), BATISTE)
    assert answer.status_code == 422
    assert "is on the list of cloth already" in answer.content.decode()
    assert Material.objects.count() == 1


@pytest.mark.parametrize(
    "typed",
    [
        {"name": ""},
        {"swatch": "red"},
        {"wash_max_c": "140"},
        {"mass_g_per_m2": "-1"},
        {"kind": "leather"},
        {"is_counted": "on"},
        {"package_pieces": "4"},
    ],
)
def test_impossible_materials_come_back(client: Client, typed: dict[str, str]) -> None:
    """No name, no colour, boiling wool, cloth counted in pieces: each comes back and nothing is saved."""
    answer = client.post(reverse("stock:material_add"), BATISTE | typed)
    assert answer.status_code == 422
    assert not Material.objects.exists()


def test_a_pack_of_fastenings_is_counted(client: Client) -> None:
    """Notions may be counted, and a pack then holds pieces."""
    sent = BATISTE | {"kind": "notion", "name": "Fastening", "is_counted": "on", "package_pieces": "12"}
    client.post(reverse("stock:material_add"), sent)
    material = Material.objects.get()
    assert (material.is_counted, material.package_amount) == (True, 12)


def test_a_material_is_corrected(client: Client) -> None:
    """The form shows what is known, and the trail says what changed."""
    material = MaterialFactory(name="Batist", package_amount=8_000_000, kind="floss")
    page = client.get(reverse("stock:material_change", args=[material.pk])).content.decode()
    assert 'value="Batist"' in page
    sent = BATISTE | {"kind": "floss", "package_length": "8", "is_active": "on"}
    assert client.post(reverse("stock:material_change", args=[material.pk]), sent).status_code == 302
    assert TrailLine.objects.get(did="change_material").changes["name"] == ["Batist", "Batiste"]


def test_a_repeat_is_measured_along_the_cloth(client: Client) -> None:
    """A print's repeat is typed as a length and stays exact where it is not touched; plain cloth has none."""
    client.post(reverse("stock:material_add"), BATISTE | {"repeat_um": "6.4"})
    material = Material.objects.get()
    assert material.repeat_um == 64_000
    Person.objects.update(length_unit="in")
    address = reverse("stock:material_change", args=[material.pk])
    client.post(address, BATISTE | {"repeat_um": "2 1/2", "is_active": "on"})
    material.refresh_from_db()
    assert material.repeat_um == 64_000
    client.post(address, BATISTE | {"repeat_um": "", "is_active": "on"})
    material.refresh_from_db()
    assert material.repeat_um == 0


def test_the_kind_stays_once_lots_exist(client: Client, packer: Person, at: datetime) -> None:
    """What is in the books cannot turn from cloth into lace."""
    material = MaterialFactory()
    receive_lot(material=material, amount=9, width_um=9, by=packer, at=at)
    answer = client.post(
        reverse("stock:material_change", args=[material.pk]), BATISTE | {"kind": "lace", "is_active": "on"}
    )
    assert answer.status_code == 422
    assert "are in the books" in answer.content.decode()
    material.refresh_from_db()
    assert material.kind == "cloth"


def test_materials_are_searched(client: Client) -> None:
    """Kind and words narrow the list."""
    MaterialFactory(name="Narrow lace", kind="lace")
    address = reverse("stock:material_list")
    assert "Narrow lace" in client.get(f"{address}?kind=lace&search=narrow").content.decode()
    assert "No material on the list" in client.get(f"{address}?kind=cloth").content.decode()


def test_the_trail_never_holds_a_donors_name(client: Client) -> None:
    """Name and address of a donor stand in her own row only, so that erasing her leaves nothing behind."""
    sent = {"name": "Wilhelmina Test", "email": "w@example.org"}
    client.post(reverse("stock:donor_add"), sent)
    donor = Donor.objects.get()
    client.post(reverse("stock:donor_change", args=[donor.pk]), sent | {"email": "new@example.org"})
    donor.refresh_from_db()
    assert donor.email == "new@example.org"
    assert [line.changes for line in TrailLine.objects.order_by("pk")] == [{}, {"email": None}]


def test_donors_are_searched(client: Client) -> None:
    """A word of the name finds a donor; a wrong one says so."""
    DonorFactory(name="Harriet Example")
    address = reverse("stock:donor_list")
    assert "Harriet Example" in client.get(f"{address}?search=harriet").content.decode()
    assert "Nobody of that name" in client.get(f"{address}?search=olga").content.decode()


def test_a_trim_shows_what_is_no_batiste(coordinator: Person, at: datetime) -> None:
    """Entredeux 26 mm wide with 7 mm of batiste on each side shows 12 mm; lace shows all over (common practice)."""
    entredeux = add_material(
        kind="entredeux", name="Entredeux", width_um=26_000, batiste_um=7_000, by=coordinator, at=at
    )
    lace = add_material(kind="lace", name="Lace", width_um=9_000, by=coordinator, at=at)
    unknown = add_material(kind="lace", name="Other lace", by=coordinator, at=at)
    assert [each.shown_um for each in (entredeux, lace, unknown)] == [12_000, 9_000, None]


@pytest.mark.parametrize(
    ("kind", "width_um", "batiste_um", "field"),
    [
        ("entredeux", 14_000, 7_000, "batiste_um"),
        ("entredeux", None, 7_000, "width_um"),
        ("cloth", 1_120_000, 0, "width_um"),
    ],
)
def test_widths_that_cannot_be_are_refused(
    kind: str, width_um: int | None, batiste_um: int, field: str, coordinator: Person, at: datetime
) -> None:
    """A trim of batiste alone, batiste without a width, and a width for all cloth of a name are refused."""
    with pytest.raises(NoTrim) as refusal:
        add_material(kind=kind, name="Trim", width_um=width_um, batiste_um=batiste_um, by=coordinator, at=at)
    assert refusal.value.field == field
    assert not Material.objects.exists()


def test_widths_are_typed_and_kept(coordinator: Person, sign_in: Callable[[Person], Client]) -> None:
    """Width and batiste come back in the form as they were typed, and stay as they are when nothing is changed."""
    browser = sign_in(coordinator)
    sent = {"kind": "entredeux", "name": "Entredeux", "fibre": "cotton", "wash_max_c": 71}
    browser.post(reverse("stock:material_add"), {**sent, "width_um": "2.6", "batiste_um": "0.7"})
    material = Material.objects.get()
    address = reverse("stock:material_change", args=[material.pk])
    html = browser.get(address).content.decode()
    assert 'value="2.6"' in html
    assert 'value="0.7"' in html
    browser.post(address, {**sent, "width_um": "2.6", "batiste_um": "0.7", "is_active": "on"})
    material.refresh_from_db()
    assert (material.width_um, material.batiste_um) == (26_000, 7_000)
