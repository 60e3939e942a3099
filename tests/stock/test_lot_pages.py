"""The pages of the shelf: who may open them, what they show, and what they ask back."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.people.models import Person
from gowngroup.stock.actions import receive_lot, reserve_amount
from gowngroup.stock.models import LedgerLine, Lot, Material
from gowngroup.stock.queries import violations
from tests.factories import DonorFactory, MaterialFactory

pytestmark = pytest.mark.django_db

METRE = 1_000_000
SignIn = Callable[[Person], Client]


@pytest.fixture
def cloth(packer: Person, at: datetime) -> Lot:
    """Three metres of cream batiste as given."""
    material = MaterialFactory(name="Batiste", shade="cream")
    return receive_lot(material=material, amount=3 * METRE, width_um=1_120_000, by=packer, at=at)


@pytest.fixture
def client(sign_in: SignIn, packer: Person) -> Client:
    """The packer's browser."""
    return sign_in(packer)


def url(name: str, *args: object) -> str:
    return reverse(f"stock:{name}", args=args)


LOT_PAGES = ["lot_page", "lot_count", "lot_measure", "lot_take", "lot_put_back", "lot_move", "lot_flaws"]
PLAIN_PAGES = ["lot_list", "material_list", "material_add", "donor_list", "donor_add"]


@pytest.mark.parametrize("name", LOT_PAGES)
def test_only_packers_open_a_lot(name: str, client: Client, cloth: Lot, sign_in: SignIn) -> None:
    """The packer sees a lot's pages; strangers are asked to sign in; an unknown code is not found."""
    assert client.get(url(name, cloth.code)).status_code == 200
    assert Client().get(url(name, cloth.code)).status_code == 302
    assert client.get(url(name, "L3333X")).status_code == 404


@pytest.mark.parametrize("name", PLAIN_PAGES)
def test_other_roles_stay_outside(name: str, sign_in: SignIn, volunteer: Person, coordinator: Person) -> None:
    """A volunteer is refused, the coordinator comes in."""
    assert sign_in(volunteer).get(url(name)).status_code == 403
    assert sign_in(coordinator).get(url(name)).status_code == 200


def test_empty_shelf_says_what_to_do(client: Client) -> None:
    """An empty shelf leads to booking something in."""
    assert "The shelf is empty" in client.get(url("lot_list")).content.decode()


def test_shelf_is_searched_by_word_kind_and_state(client: Client, cloth: Lot) -> None:
    """Each word of the search must fit, and kind and state narrow further."""
    for query, is_there in (
        ("search=cream batis", True),
        ("search=cream lace", False),
        ("kind=cloth&state=as given", True),
        ("kind=lace", False),
        ("kind=nonsense", True),
    ):
        page = client.get(f"{url('lot_list')}?{query}").content.decode()
        assert (f"/lots/{cloth.code}/" in page) is is_there, query


def test_shelf_turns_pages(client: Client, packer: Person, at: datetime) -> None:
    """Twenty-five lots stand on a page."""
    lace = MaterialFactory(kind="lace")
    for _each in range(26):
        receive_lot(material=lace, amount=METRE, by=packer, at=at)
    assert "Page 1 of 2" in client.get(url("lot_list")).content.decode()
    assert client.get(url("lot_list") + "?page=2").content.decode().count("/stock/lots/") == 1


def test_amounts_are_in_the_readers_unit(sign_in: SignIn, packer: Person, cloth: Lot) -> None:
    """Somebody who reads inches sees yards and inches."""
    packer.length_unit = "in"
    packer.save()
    page = sign_in(packer).get(url("lot_page", cloth.code)).content.decode()
    assert "3 1/4 yd" in page  # 3 m are 3.28 yards
    assert "44\u00a01/8\u00a0in" in page  # 112 cm are 44.09 inches


def test_swatch_is_a_drawing_not_a_style(client: Client, cloth: Lot) -> None:
    """The colour of a material is the fill of a drawing, as the content policy wants it."""
    page = client.get(url("lot_list")).content.decode()
    assert 'fill="#f3ead6"' in page
    assert "style=" not in page


def test_cloth_is_booked_in(client: Client) -> None:
    """Length in metres, width in centimetres, donor and place arrive in the new lot."""
    material, donor = MaterialFactory(), DonorFactory()
    typed = {
        "amount": "2,5",
        "width_um": "112",
        "state": "as given",
        "place": "box 3",
        "donor": donor.pk,
        "code": "",
    }
    answer = client.post(url("lot_receive", material.pk), typed)
    lot = Lot.objects.get()
    assert answer["Location"] == url("lot_page", lot.code)
    assert (lot.on_hand_amount, lot.width_um, lot.place) == (2_500_000, 1_120_000, "box 3")
    assert lot.donor == donor


@pytest.mark.parametrize(
    ("typed", "label"),
    [
        ({"amount": "-2"}, "Length"),
        ({"amount": "0"}, "Length"),
        ({"amount": "two"}, "Length"),
        ({"amount": "250"}, "Length"),
        ({"width_um": "44"}, "Width"),
        ({"width_um": ""}, "Width"),
        ({"state": "clean"}, "State"),
    ],
)
def test_unlikely_sizes_are_asked_back(client: Client, typed: dict[str, str], label: str) -> None:
    """Less than nothing, centimetres as metres and inches as centimetres come back, as typed, with the field."""
    sent = {"amount": "2.5", "width_um": "112", "state": "as given", "place": "box 3"} | typed
    answer = client.post(url("lot_receive", MaterialFactory().pk), sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert f"{label}:" in page
    assert 'value="box 3"' in page
    assert not Lot.objects.exists()


def test_inches_are_named_as_the_likely_slip(client: Client) -> None:
    """A cloth of 44 cm is asked back with the plausible range and the question about the unit."""
    sent = {"amount": "2.5", "width_um": "44", "state": "as given"}
    page = client.post(url("lot_receive", MaterialFactory().pk), sent).content.decode()
    assert "44 cm is not likely here: it lies between 70 and 330 cm. Was it typed in another unit?" in page


@pytest.fixture
def floss() -> Material:
    """Floss sold in skeins of eight metres."""
    return MaterialFactory(kind="floss", package_amount=8 * METRE, package_word="skein")


def test_skeins_are_booked_in_by_number(client: Client, floss: Material) -> None:
    """Three unopened skeins become twenty-four metres that can be opened one by one."""
    client.post(url("lot_receive", floss.pk), {"package_count": "3", "package_amount": "8"})
    lot = Lot.objects.get()
    assert (lot.on_hand_amount, lot.package_amount) == (24 * METRE, 8 * METRE)
    client.post(url("lot_open", lot.code))
    assert list(Lot.objects.order_by("pk").values_list("on_hand_amount", flat=True)) == [
        16 * METRE,
        8 * METRE,
    ]


def test_a_part_skein_is_booked_in_by_length(client: Client, floss: Material) -> None:
    """What is left of an opened skein is a lot by itself."""
    client.post(url("lot_receive", floss.pk), {"package_count": "", "package_amount": "8", "amount": "3.2"})
    assert Lot.objects.get().package_amount is None
    assert Lot.objects.get().on_hand_amount == 3_200_000


@pytest.mark.parametrize("typed", [{}, {"package_count": "2", "amount": "3"}])
def test_skeins_or_length_not_both(client: Client, floss: Material, typed: dict[str, str]) -> None:
    """Either the number of skeins or a length is wanted, never both or neither."""
    answer = client.post(url("lot_receive", floss.pk), {"package_amount": "8"} | typed)
    assert answer.status_code == 422
    assert not Lot.objects.exists()


def test_a_code_used_twice_comes_back_at_its_field(client: Client, cloth: Lot) -> None:
    """A code of another lot is refused with a sentence at that field."""
    sent = {"amount": "2", "width_um": "112", "state": "as given", "code": cloth.code}
    answer = client.post(url("lot_receive", cloth.material_id), sent)
    assert answer.status_code == 422
    assert f"There is a lot {cloth.code} already" in answer.content.decode()


def test_the_same_form_sent_twice_books_once(client: Client) -> None:
    """A doubled click makes one lot, and the second answer leads to it too."""
    page = url("lot_receive", MaterialFactory().pk)
    sent = {"amount": "2", "width_um": "112", "state": "as given", "request_key": "one"}
    answers = [client.post(page, sent)["Location"] for _ in range(2)]
    assert answers[0] == answers[1]
    assert LedgerLine.objects.count() == 1


def test_counting_needs_a_reason(client: Client, cloth: Lot) -> None:
    """A count without reason comes back with what was typed; with a reason it is booked."""
    answer = client.post(url("lot_count", cloth.code), {"counted_amount": "2.4"})
    assert answer.status_code == 422
    assert 'value="2.4"' in answer.content.decode()
    client.post(url("lot_count", cloth.code), {"counted_amount": "2.4", "reason": "moths"})
    cloth.refresh_from_db()
    assert cloth.on_hand_amount == 2_400_000
    assert "moths" in client.get(url("lot_page", cloth.code)).content.decode()


def test_counting_below_what_is_held_says_so(
    client: Client, cloth: Lot, packer: Person, at: datetime
) -> None:
    """A count below what a plan holds answers 409 with the amount it holds."""
    reserve_amount(lot=cloth, amount=2 * METRE, reference="plan 1", by=packer, at=at)
    answer = client.post(url("lot_count", cloth.code), {"counted_amount": "1", "reason": "moths"})
    assert answer.status_code == 409
    assert "A plan holds 2 m" in answer.content.decode()


def test_cloth_is_washed_then_measured(client: Client, cloth: Lot) -> None:
    """The packer marks cloth as washed, then gives its real size; the page then no longer warns."""
    assert "cannot be cut yet" in client.get(url("lot_page", cloth.code)).content.decode()
    client.post(url("lot_washed", cloth.code))
    client.post(url("lot_measure", cloth.code), {"length_um": "2.88", "width_um": "109"})
    page = client.get(url("lot_page", cloth.code)).content.decode()
    assert "cannot be cut yet" not in page
    assert "washed and measured" in page


def test_washing_twice_says_so(client: Client, cloth: Lot) -> None:
    """A second press of the button, after another went through, is answered by a sentence."""
    client.post(url("lot_washed", cloth.code))
    answer = client.post(url("lot_washed", cloth.code))
    assert answer.status_code == 409
    assert "has been washed already" in answer.content.decode()


@pytest.mark.parametrize("name", ["lot_washed", "lot_open"])
def test_state_changes_by_post_only(client: Client, cloth: Lot, name: str) -> None:
    """Looking never changes anything."""
    assert client.get(url(name, cloth.code)).status_code == 405


def test_taking_more_than_is_free_is_refused(client: Client, cloth: Lot) -> None:
    """The sentence stands at the field and nothing is booked."""
    answer = client.post(url("lot_take", cloth.code), {"amount": "5", "reason": "test square"})
    assert answer.status_code == 409
    assert "only 3 m are free, not 5 m. Take less" in answer.content.decode()


def test_taken_and_put_back(client: Client, cloth: Lot) -> None:
    """What is taken and put back is in the ledger with its reasons."""
    client.post(url("lot_take", cloth.code), {"amount": "1", "reason": "test square"})
    client.post(url("lot_put_back", cloth.code), {"amount": "0.4", "reason": "left over"})
    cloth.refresh_from_db()
    assert cloth.on_hand_amount == 2_400_000
    assert violations() == []


def test_flaws_are_marked_and_removed(client: Client, cloth: Lot) -> None:
    """A flaw is marked in metres from the beginning and taken away again, once and no other in its stead."""
    client.post(url("lot_flaws", cloth.code), {"from_um": "0.4", "to_um": "0.55"})
    cloth.refresh_from_db()
    assert cloth.flaws == [{"from_um": 400_000, "to_um": 550_000}]
    client.post(url("lot_flaws", cloth.code), {"from_um": "0.1", "to_um": "0.2"})
    button = url("lot_flaw_remove", cloth.code, 400_000, 550_000)
    assert button in client.get(url("lot_flaws", cloth.code)).content.decode()
    assert [client.post(button).status_code for _ in range(2)] == [302, 409]
    cloth.refresh_from_db()
    assert cloth.flaws == [{"from_um": 100_000, "to_um": 200_000}]


def test_a_flaw_that_ends_first_comes_back(client: Client, cloth: Lot) -> None:
    """A flaw that ends before it begins is refused with both values kept."""
    answer = client.post(url("lot_flaws", cloth.code), {"from_um": "0.9", "to_um": "0.5"})
    assert answer.status_code == 422
    assert 'value="0.9"' in answer.content.decode()


def test_place_and_donor_are_noted(client: Client, cloth: Lot) -> None:
    """A lot can be moved to another box and given a donor later."""
    donor = DonorFactory()
    client.post(url("lot_move", cloth.code), {"place": "box 9", "donor": donor.pk})
    cloth.refresh_from_db()
    assert (cloth.place, cloth.donor) == ("box 9", donor)
