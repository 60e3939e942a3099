"""The papers of a drop-off: packing list by box and driver's sheet."""

from datetime import date

import pytest
from django.urls import reverse

from gowngroup.deliveries.models import DropOff
from gowngroup.people.models import Group, Person
from gowngroup.printing.planner import NothingPacked, driver_sheet, packing_list
from tests.factories import WardFactory
from tests.printing.conftest import MAKE_DROP_OFF, SIGN_IN
from tests.printing.reading import opened, past_the_edge, written

SHEETS = ("drop_off_packing", "drop_off_driver")


@pytest.fixture
def packed(make_drop_off: MAKE_DROP_OFF) -> DropOff:
    """Three gowns to wear in box 1 and two memorial gowns in box 2."""
    drop_off = make_drop_off(worn=3, memorial=2)
    drop_off.gown_rows.filter(gown__purpose="memorial").update(box_number=2)
    return drop_off


def text_of(client: object, name: str, pk: int) -> str:
    return client.get(reverse(f"printing:{name}", args=[pk])).content.decode()  # type: ignore[attr-defined, no-any-return]


def test_boxes_with_their_lines(packed: DropOff) -> None:
    """Each box has its number, its gowns by size and its count in figures and words, the closed box last."""
    boxes = packing_list(packed)
    assert [(box.number, box.is_closed, box.count_words) for box in boxes] == [
        (1, False, "three"),
        (2, True, "two"),
    ]
    assert sum(len(line.codes) for box in boxes for line in box.lines) == 5


def test_purposes_never_share_a_list(make_drop_off: MAKE_DROP_OFF) -> None:
    """Should a memorial gown stand in box 1 by mistake, it still gets a closed list of its own."""
    boxes = packing_list(make_drop_off(worn=1, memorial=1))
    assert [(box.number, box.is_closed, box.gown_count) for box in boxes] == [(1, False, 1), (1, True, 1)]


def test_a_closed_box_has_its_own_page_in_gentle_words(
    packed: DropOff, packer: Person, sign_in: SIGN_IN
) -> None:
    """The packing list of the closed box is a page of its own that never says that word."""
    pdf = opened(sign_in(packer), reverse("printing:drop_off_packing_pdf", args=[packed.pk]))
    worn, closed = (written(page) for page in pdf.pages)
    assert "Inthisbox:three3" in worn
    assert "die" not in worn
    assert "Inthisbox:two2" in closed
    assert "withcare" in closed
    assert "memorial" not in (worn + closed).lower()


def test_the_driver_sees_where_and_what_but_no_names(
    packed: DropOff, driver: Person, sign_in: SIGN_IN, group: Group
) -> None:
    """The driver's sheet says where, when, whom to ask for by role, boxes, counts and what to bring back."""
    packed.ward.contact_name, packed.ward.contact_telephone = "Ada Quillfeather", "0999"
    packed.ward.save()
    text = text_of(sign_in(driver), "drop_off_driver", packed.pk)
    for words in ("12 March 2026", "nurse in charge", "Box 2", "leave it closed", "bring back", "Kilometres"):
        assert words in text
    for words in ("Quillfeather", "0999", "G00001", "memorial", "babies"):
        assert words not in text


def test_a_trip_lists_every_ward_of_the_day(
    packed: DropOff, make_drop_off: MAKE_DROP_OFF, driver: Person
) -> None:
    """One sheet holds all the driver's wards of that day, and nobody else's and no other day's."""
    same = make_drop_off(receipt_number="R2")
    make_drop_off(receipt_number="R3", driver=None)
    make_drop_off(receipt_number="R4", planned_on=date(2026, 3, 13))
    make_drop_off(receipt_number="R5", state="received")
    assert {stop.drop_off for stop in driver_sheet(packed)} == {packed, same}
    assert [stop.number for stop in driver_sheet(packed)] == [1, 2]


def test_without_a_driver_only_its_own_ward(make_drop_off: MAKE_DROP_OFF) -> None:
    """Drop-offs nobody drives yet are no trip together."""
    first, _second = (make_drop_off(driver=None, receipt_number=number) for number in ("R1", "R2"))
    assert [stop.drop_off for stop in driver_sheet(first)] == [first]


def test_empty_boxes_are_refused(make_drop_off: MAKE_DROP_OFF, packer: Person, sign_in: SIGN_IN) -> None:
    """Without gowns neither paper is made, even when the driver has another ward that day; the page says why."""
    empty = make_drop_off(worn=0)
    make_drop_off(receipt_number="R2")
    with pytest.raises(NothingPacked):
        driver_sheet(empty)
    for name in SHEETS:
        answer = sign_in(packer).get(reverse(f"printing:{name}", args=[empty.pk]))
        assert answer.status_code == 409
        assert "boxes of this drop-off are empty" in answer.content.decode()


@pytest.mark.parametrize("name", SHEETS)
def test_another_driver_never_heard_of_it(
    make_drop_off: MAKE_DROP_OFF, driver: Person, volunteer: Person, sign_in: SIGN_IN, name: str
) -> None:
    """A driver opens the papers of his own drop-offs alone, a volunteer none."""
    own = reverse(f"printing:{name}", args=[make_drop_off().pk])
    other = reverse(f"printing:{name}", args=[make_drop_off(driver=None, receipt_number="R2").pk])
    assert sign_in(driver).get(own).status_code == 200
    assert sign_in(driver).get(other).status_code == 404
    assert sign_in(volunteer).get(own).status_code == 403


def test_long_names_stay_on_the_paper(
    make_drop_off: MAKE_DROP_OFF, driver: Person, sign_in: SIGN_IN, group: Group
) -> None:
    """The longest names, an address, a note and thirty gowns stay inside the margins of both papers."""
    group.name, group.telephone = "Donaudampfschifffahrtsgesellschaft " * 3, "W" * 40
    group.save()
    ward = WardFactory(name="W" * 120, packing="x" * 200)
    ward.hospital.name, ward.hospital.address = "Kinderkrankenhausneugeborenenstation" * 3, "W" * 200
    ward.hospital.save()
    drop_off = make_drop_off(worn=30, memorial=1, ward=ward, note="n" * 300)
    client = sign_in(driver)
    for name in SHEETS:
        for page in opened(client, reverse(f"printing:{name}_pdf", args=[drop_off.pk])).pages:
            assert past_the_edge(page) == []
