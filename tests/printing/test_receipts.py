"""Delivery receipts: two copies, counts by size, memorial gowns apart, never a value."""

import pytest
from django.urls import reverse

from gowngroup.people.models import Group, Person
from tests.factories import WardFactory
from tests.printing.conftest import MAKE_DROP_OFF, SIGN_IN
from tests.printing.reading import opened, past_the_edge, written


def pages_of(client: object, pk: int) -> list[str]:
    return [written(page) for page in opened(client, reverse("printing:receipt_pdf", args=[pk])).pages]  # type: ignore[arg-type]


def test_two_copies_with_lines_and_total(
    make_drop_off: MAKE_DROP_OFF, driver: Person, sign_in: SIGN_IN
) -> None:
    """The ward and the group each get a copy with number, ward, day, lines, total in figures and words."""
    drop_off = make_drop_off(worn=12)
    pages = pages_of(sign_in(driver), drop_off.pk)
    ward = str(drop_off.ward.name).replace(" ", "")
    assert len(pages) == 2
    for text, copy in zip(pages, ("Theward’scopy", "Thegroup’scopy"), strict=True):
        for words in (copy, "DeliveryreceiptR2026-0007", ward, "12March2026", "forababyupto46cm"):
            assert words in text
        assert "Inall:twelve12" in text
        assert "2000–2500g" in text


def test_room_to_sign_and_to_differ(make_drop_off: MAKE_DROP_OFF, driver: Person, sign_in: SIGN_IN) -> None:
    """Each page has a line to sign, one for the printed name, one for the day, and a box for differences."""
    page = opened(sign_in(driver), reverse("printing:receipt_pdf", args=[make_drop_off(worn=2).pk])).pages[0]
    text = written(page)
    for words in ("Receivedby(signature)", "Nameincapitals", "Dayandtime", "missing,toomany"):
        assert words in text
    assert "statesnovalue" in text


def test_memorial_gowns_on_their_own_pages(
    make_drop_off: MAKE_DROP_OFF, driver: Person, sign_in: SIGN_IN
) -> None:
    """Memorial gowns stand on a page of their own in each copy, in gentle words, without that word."""
    pages = pages_of(sign_in(driver), make_drop_off(worn=2, memorial=3).pk)
    assert len(pages) == 4
    for worn, memorial in (pages[:2], pages[2:]):
        assert "Inall:two2" in worn
        assert "Inall:three3" in memorial
        assert "babieswhodie,beforeorsoonafterbirth" in memorial
        assert "die" not in worn
    assert not any("memorial" in text.lower() for text in pages)


def test_only_memorial_gowns(make_drop_off: MAKE_DROP_OFF, driver: Person, sign_in: SIGN_IN) -> None:
    """A drop-off of memorial gowns alone has no empty page for gowns to wear."""
    assert len(pages_of(sign_in(driver), make_drop_off(worn=0, memorial=1).pk)) == 2


def test_removed_gowns_are_not_signed_for(
    make_drop_off: MAKE_DROP_OFF, driver: Person, sign_in: SIGN_IN
) -> None:
    """A gown taken out of the drop-off again is not on its receipt."""
    drop_off = make_drop_off(worn=3)
    removed = drop_off.gown_rows.first()
    assert removed is not None
    drop_off.gown_rows.filter(pk=removed.pk).update(is_removed=True)
    assert "Inall:two2" in pages_of(sign_in(driver), drop_off.pk)[0]


def test_no_money_on_a_receipt(make_drop_off: MAKE_DROP_OFF, driver: Person, sign_in: SIGN_IN) -> None:
    """No currency stands on a receipt: goods are described, not valued (IRS Pub. 1771)."""
    text = "".join(pages_of(sign_in(driver), make_drop_off(worn=40, memorial=2).pk))
    assert not set("$€£¥") & set(text)


@pytest.mark.parametrize("name", ["receipt", "receipt_pdf"])
def test_refused_before_it_has_a_number(
    make_drop_off: MAKE_DROP_OFF, packer: Person, sign_in: SIGN_IN, name: str
) -> None:
    """A drop-off without receipt number, or without gowns, cannot be signed for yet."""
    client = sign_in(packer)
    without_number = make_drop_off(receipt_number=None)
    without_gowns = make_drop_off(worn=0)
    for drop_off, words in ((without_number, "no receipt number yet"), (without_gowns, "no gowns")):
        response = client.get(reverse(f"printing:{name}", args=[drop_off.pk]))
        assert response.status_code == 409
        assert words in response.content.decode()


@pytest.mark.parametrize("name", ["receipt", "receipt_pdf"])
def test_who_may_print_a_receipt(
    make_drop_off: MAKE_DROP_OFF,
    coordinator: Person,
    volunteer: Person,
    packer: Person,
    inspector: Person,
    sign_in: SIGN_IN,
    name: str,
) -> None:
    """The drop-off's own driver, packers, inspectors and the coordinator print it; another driver never heard of it."""
    address = reverse(f"printing:{name}", args=[make_drop_off().pk])
    other = reverse(f"printing:{name}", args=[make_drop_off(driver=None, receipt_number="R2").pk])
    driver = Person.objects.get(name="Driver")
    assert sign_in(driver).get(address).status_code == 200
    assert sign_in(driver).get(other).status_code == 404
    for person in (packer, inspector, coordinator):
        assert sign_in(person).get(other).status_code == 200
    assert sign_in(volunteer).get(address).status_code == 403


def test_long_names_and_many_gowns_stay_on_the_paper(
    make_drop_off: MAKE_DROP_OFF, driver: Person, sign_in: SIGN_IN, group: Group
) -> None:
    """The longest names of ward, hospital and group and ninety gowns in large print stay inside the margins.

    Where they take a second page, the total stands there with the place to sign.
    """
    driver.paper_size, driver.has_large_print = "Letter", True
    driver.save()
    group.name, group.telephone = "Donaudampfschifffahrtsgesellschaft " * 3 + "XVIIIIIIIII", "W" * 40
    group.save()
    ward = WardFactory(name="W" * 120)
    ward.hospital.name = "Kinderkrankenhausneugeborenenstation" * 3
    ward.hospital.save()
    drop_off = make_drop_off(worn=90, memorial=1, ward=ward)
    pdf = opened(sign_in(driver), reverse("printing:receipt_pdf", args=[drop_off.pk]))
    assert [past_the_edge(page) for page in pdf.pages] == [[]] * len(pdf.pages)
    first, second = (written(page) for page in pdf.pages[:2])
    assert "G00-001" in first
    assert "Receivedby" not in first
    assert second.index("Inall:ninety90") < second.index("Receivedby(signature)")
