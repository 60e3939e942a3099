"""Duplicates are marked, and signed receipts are kept as PDF/A and served again byte for byte."""

import io
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pdfplumber
import pikepdf
import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from gowngroup.deliveries.models import DropOff
from gowngroup.people.models import Person
from gowngroup.printing import pdf
from gowngroup.printing.places import place
from gowngroup.printing.planner import Mark, mark_of
from gowngroup.records.models import TrailLine
from tests.printing.conftest import MAKE_DROP_OFF, SIGN_IN
from tests.printing.reading import written

# WeasyPrint leaves the file of its colour profile to be closed by Python.
pytestmark = pytest.mark.filterwarnings("ignore:unclosed file .*sRGB2014:ResourceWarning")
NOON = datetime(2026, 3, 12, 12, tzinfo=UTC)
DIFFERENCES = [
    {"size": 1, "band": "2000–2500 g", "purpose": "worn", "written": 3, "came": 2},
    {"remark": "Ask Ada Quillfeather"},
]
SIGNED = {
    "state": "received",
    "received_at": NOON,
    "signed_name": "Una Sparrowhawk",
    "differences": DIFFERENCES,
}


def receipt_text(client: Client, drop_off: DropOff) -> str:
    return client.get(reverse("printing:receipt", args=[drop_off.pk])).content.decode()


def put_on_file(client: Client, drop_off: DropOff) -> bytes:
    answer = client.post(reverse("printing:receipt_file", args=[drop_off.pk]), follow=True)
    assert answer["Content-Type"] == "application/pdf"
    return answer.content


def test_printing_notes_it_once_and_leads_to_the_pdf(
    make_drop_off: MAKE_DROP_OFF, driver: Person, sign_in: SIGN_IN
) -> None:
    """The button notes the print with a line in the trail and leads to the PDF; looking alone writes nothing."""
    drop_off, client = make_drop_off(state="on the way"), sign_in(driver)
    assert "Preview" in receipt_text(client, drop_off)
    assert not TrailLine.objects.filter(did="print_receipt").exists()
    answer = client.post(reverse("printing:receipt_print", args=[drop_off.pk]))
    assert answer["Location"] == reverse("printing:receipt_pdf", args=[drop_off.pk])
    assert TrailLine.objects.filter(did="print_receipt").count() == 1


def test_the_first_print_is_the_original_and_the_next_says_duplicate(
    make_drop_off: MAKE_DROP_OFF, driver: Person, sign_in: SIGN_IN
) -> None:
    """The first print bears no mark, the second says on both copies that it is a duplicate, and of when."""
    drop_off, client = make_drop_off(state="on the way"), sign_in(driver)
    with time_machine.travel(NOON, tick=False):
        client.post(reverse("printing:receipt_print", args=[drop_off.pk]))
        first = receipt_text(client, drop_off)
        client.post(reverse("printing:receipt_print", args=[drop_off.pk]))
        second = receipt_text(client, drop_off)
    assert 'class="mark"' not in first
    assert second.count("<strong>Duplicate</strong> First printed on 12 March 2026") == 2


@pytest.mark.parametrize(
    ("state", "prints", "minutes", "mark"),
    [
        ("packing", 0, 0, Mark.PREVIEW),
        ("on the way", 0, 0, Mark.PREVIEW),
        ("on the way", 1, 14, Mark.ORIGINAL),
        ("on the way", 1, 15, Mark.DUPLICATE),
        ("on the way", 2, 1, Mark.DUPLICATE),
        ("received", 0, 0, Mark.DUPLICATE),
        ("received", 1, 1, Mark.DUPLICATE),
    ],
)
def test_what_a_receipt_is(state: str, prints: int, minutes: int, mark: Mark) -> None:
    """A receipt is the original for a quarter of an hour after its first print; signed, it is a duplicate."""
    drop_off = DropOff(state=state, receipt_print_count=prints, receipt_printed_at=NOON if prints else None)
    assert mark_of(drop_off, at=NOON + timedelta(minutes=minutes)) == mark


@pytest.fixture
def signed(make_drop_off: MAKE_DROP_OFF) -> DropOff:
    return make_drop_off(worn=3, memorial=1, **SIGNED)


def test_on_file_as_pdf_a_without_names(signed: DropOff, driver: Person, sign_in: SIGN_IN) -> None:
    """The file is PDF/A-3b with the group's pages and what differed, and no name of who signed or of anybody.

    ISO 19005-3 asks for the claim in the metadata, an output intent with its profile, embedded fonts, an
    identifier and no encryption (from memory); read by pikepdf and pdfplumber, which did not make it.
    """
    content = put_on_file(sign_in(driver), signed)
    with pikepdf.open(io.BytesIO(content)) as opened:
        with opened.open_metadata() as metadata:
            assert (metadata["pdfaid:part"], metadata["pdfaid:conformance"]) == ("3", "B")
        intent = opened.Root.OutputIntents[0]
        assert (str(intent.S), int(intent.DestOutputProfile.N)) == ("/GTS_PDFA1", 3)
        assert "/ID" in opened.trailer
        assert not opened.is_encrypted
        assert opened.Root.MarkInfo.Marked
        assert all(_is_embedded(font) for page in opened.pages for font in page.Resources.Font.values())
    text = "".join(written(page) for page in pdfplumber.open(io.BytesIO(content)).pages)
    for words in ("R2026-0007", "Thegroup’scopy", "3written,2came", "signedforthison12March2026", "remark"):
        assert words in text
    for words in ("Quillfeather", "Sparrowhawk", "Theward’scopy", "Duplicate", "memorial"):
        assert words not in text


def _is_embedded(font: pikepdf.Object) -> bool:
    inner = font.DescendantFonts[0] if "/DescendantFonts" in font else font
    return bool({"/FontFile", "/FontFile2", "/FontFile3"} & set(inner.FontDescriptor.keys()))


def test_served_again_byte_for_byte_until_data_change(
    signed: DropOff, driver: Person, packer: Person, sign_in: SIGN_IN
) -> None:
    """Filing again serves the stored bytes, to whoever asks; a changed ward name makes version 2, and 1 stays."""
    address = reverse("printing:receipt_file", args=[signed.pk])
    first = put_on_file(sign_in(driver), signed)
    with time_machine.travel(NOON + timedelta(days=400)):
        assert put_on_file(sign_in(packer), signed) == first == sign_in(packer).get(address).content
    signed.ward.name = "Renamed ward"
    signed.ward.save()
    second = put_on_file(sign_in(driver), signed)
    client = sign_in(packer)
    assert second != first
    assert client.get(address, {"version": "1"}).content == first
    assert client.get(address, {"version": "2"}).content == second == client.get(address).content
    assert "On file, version 2" in receipt_text(client, signed)


@pytest.mark.parametrize("version", ["0", "3", "x", "-1", "٢", "9" * 30])
def test_a_version_that_never_was(signed: DropOff, packer: Person, sign_in: SIGN_IN, version: str) -> None:
    """A version not on file answers 404, however it is written."""
    address = reverse("printing:receipt_file", args=[signed.pk])
    assert sign_in(packer).get(address, {"version": version}).status_code == 404


def test_what_is_not_signed_is_not_filed(
    make_drop_off: MAKE_DROP_OFF, driver: Person, sign_in: SIGN_IN
) -> None:
    """Before the ward has signed nothing goes on file; looking for it leads back to the drop-off."""
    drop_off, client = make_drop_off(state="on the way"), sign_in(driver)
    address = reverse("printing:receipt_file", args=[drop_off.pk])
    refused = client.post(address)
    assert refused.status_code == 409
    assert "has not signed" in refused.content.decode()
    assert client.get(address)["Location"] == reverse("deliveries:drop_off_page", args=[drop_off.pk])
    assert not drop_off.receipt_files.exists()


def test_nothing_is_filed_while_the_printer_is_busy(
    signed: DropOff, driver: Person, sign_in: SIGN_IN, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While other sheets are being made nothing goes on file, and the page leads back to the receipt's button."""
    monkeypatch.setattr(pdf, "WAIT_S", 0.05)
    with place(wait_s=1), place(wait_s=1):
        answer = sign_in(driver).post(reverse("printing:receipt_file", args=[signed.pk]))
    assert answer.status_code == 503
    assert reverse("printing:receipt", args=[signed.pk]) in answer.content.decode()
    assert "Try again" not in answer.content.decode()
    assert not signed.receipt_files.exists()


def test_nothing_to_print_before_it_leaves(
    make_drop_off: MAKE_DROP_OFF, packer: Person, sign_in: SIGN_IN
) -> None:
    """The button refuses, with a reason, a drop-off that has no receipt or has not left."""
    for drop_off in (make_drop_off(receipt_number=None), make_drop_off(receipt_number="R2")):
        answer = sign_in(packer).post(reverse("printing:receipt_print", args=[drop_off.pk]))
        assert answer.status_code == 409
        drop_off.refresh_from_db()
        assert drop_off.receipt_print_count == 0


@pytest.mark.parametrize("act", [Client.get, Client.post])
@pytest.mark.parametrize("name", ["receipt_file", "receipt_print"])
def test_another_driver_never_heard_of_it(
    make_drop_off: MAKE_DROP_OFF, driver: Person, sign_in: SIGN_IN, name: str, act: Callable[..., object]
) -> None:
    """Another driver's receipt can neither be printed nor filed nor fetched."""
    other = make_drop_off(driver=None, **SIGNED)
    answer = act(sign_in(driver), reverse(f"printing:{name}", args=[other.pk]))
    assert answer.status_code == (405 if (name, act) == ("receipt_print", Client.get) else 404)  # type: ignore[attr-defined]
    other.refresh_from_db()
    assert other.receipt_print_count == 0
