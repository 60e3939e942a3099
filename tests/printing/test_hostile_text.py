"""Whatever is typed into a printed field is printed as typed: nothing is read, fetched or run."""

import io
from collections.abc import Iterator
from datetime import UTC, datetime

import pdfplumber
import pytest
import weasyprint
from django.urls import reverse

from gowngroup.batches.models import MaterialChoice
from gowngroup.catalog.models import Need, RectanglePiece
from gowngroup.people.models import Group, Person
from gowngroup.printing.label_kinds import label_kind
from gowngroup.printing.label_queries import boxes_by_key
from gowngroup.printing.label_sheets import LABEL_SHEETS
from gowngroup.printing.pdf import html_of, pdf_of
from gowngroup.printing.planner.label_words import (
    LabelWords,
    box_words,
    gown_words,
    kit_words,
    lot_words,
)
from gowngroup.printing.planner.labels import label_pages
from gowngroup.printing.views.labels import _geometry
from gowngroup.records.models import TrailLine
from tests.factories import LotFactory, WardFactory
from tests.printing.conftest import MAKE_DROP_OFF, MAKE_GOWN, MAKE_KIT, SIGN_IN
from tests.printing.cutting_lays import context_of, cut_of, lay_of
from tests.printing.paper.here import PrintedHere
from tests.printing.paper.watch import listening, watched
from tests.printing.reading import opened, said
from tests.snapshots import store_snapshot

# WeasyPrint leaves the file of its colour profile to be closed by Python.
pytestmark = pytest.mark.filterwarnings("ignore:unclosed file .*sRGB2014:ResourceWarning")
SNIPPETS = (
    "<img src=file:///etc/passwd>",
    "<img src=http://127.0.0.1:9/a.png>",
    "<img src=data:image/png;base64,AAAA>",
    "<link rel=stylesheet href=file:///etc/hosts>",
    "<link rel=attachment href=file:///etc/passwd>",
    "<style>@import 'http://127.0.0.1:9/b'</style>",
    "<svg><image href='file:///etc/passwd'/></svg>",
    "<svg><use href='http://127.0.0.1:9/c#d'/></svg>",
    "<p style='background:url(file:///etc/hosts)'>",
    "}body{background:url(http://127.0.0.1:9/e)}",
    "<object data=file:///etc/passwd></object>",
    "<embed src=http://127.0.0.1:9/f>",
    "<iframe src=file:///etc/hosts></iframe>",
    "<base href=http://127.0.0.1:9/>",
    "<script>alert(1)</script>",
    "</title></style></p></svg><img src=x>",
    "&lt;img src=x&gt;&#60;b&#62;",
    "{{ settings.SECRET_KEY }}",
    "{% include '/etc/passwd' %}",
    "\"' onload=alert(1) x='",
)
# Four in each field of the large sheets: fewer to print, and what one opens the others must not close.
FOURS = tuple(" ".join(SNIPPETS[first::5]) for first in range(5))
SEVENS = tuple(" ".join(SNIPPETS[first::3]) for first in range(3))  # where fields take longer ones


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> Iterator[PrintedHere]:
    """Sheets made under watch."""
    with watched(monkeypatch) as printed:
        yield printed


def squeezed(snippet: str) -> str:
    return snippet.replace(" ", "")


def set_group(group: Group, snippet: str) -> None:
    group.name, group.telephone, group.label_line = snippet, snippet[:40], snippet
    group.save()


@pytest.mark.parametrize("snippet", SEVENS)
def test_kit_sheet(
    make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN, group: Group, asked: PrintedHere, snippet: str
) -> None:
    """In the names of group, design, piece, cloth, floss and trim, in steps and ward's rules it is only text."""
    set_group(group, snippet)
    kit = make_kit()
    revision, material = kit.design_revision, kit.outer_lot.material
    revision.design.name = f"1{snippet}"
    revision.design.save()
    revision.order_of_work = [f"2{snippet}"]
    revision.save()
    RectanglePiece.objects.filter(part="sleeve").update(name=f"3{snippet}")
    material.name, material.shade = f"4{snippet}", f"5{snippet}"
    material.save()
    floss = MaterialChoice.objects.filter(batch=kit.batch, part="A").get().material
    floss.name, floss.shade = f"6{snippet}", f"7{snippet}"
    floss.save()
    Need.objects.create(revision=revision, kind="notion", place=f"8{snippet}")
    WardFactory(sizes=[kit.size], name=snippet, rules=f"9{snippet}")
    store_snapshot(kit)
    text = said(opened(sign_in(packer), reverse("printing:kit_sheet_pdf", args=[kit.code])))
    missing = [mark for mark in range(1, 10) if f"{mark}{squeezed(snippet)}" not in text]
    assert missing == []
    assert squeezed(snippet[:40]) in text


def text_of_labels(said_on_them: list[LabelWords], asked: PrintedHere, group: Group) -> str:
    """What labels say on sheets of the largest."""
    sheet = next(sheet for sheet in LABEL_SHEETS if sheet.key == "letter-2x5")
    context = {"kind": label_kind("gown"), "group": group, **_geometry(sheet)}
    pdf_of(html_of("printing/labels.html", context | {"pages": label_pages(said_on_them, sheet=sheet)}))
    return said(pdfplumber.open(io.BytesIO(asked.sheets[-1].content)))


def test_gown_labels(make_gown: MAKE_GOWN, group: Group, asked: PrintedHere) -> None:
    """In the group's line on a label it is only text."""
    gown = make_gown()
    text = text_of_labels([gown_words(gown, group_line=snippet) for snippet in SNIPPETS], asked, group)
    assert [snippet for snippet in SNIPPETS if squeezed(snippet) not in text] == []


def test_shelf_labels(group: Group, asked: PrintedHere) -> None:
    """In the name and shade of a material and the place of its lot it is only text on a label."""
    lot, words = LotFactory(), []
    for snippet in SNIPPETS:
        lot.material.name, lot.material.shade, lot.place = f"1{snippet}", f"2{snippet}", f"3{snippet}"
        words.append(lot_words(lot))
    text = text_of_labels(words, asked, group)
    assert [f"{n}{each}" for each in SNIPPETS for n in "123" if f"{n}{squeezed(each)}" not in text] == []


def test_box_and_kit_labels(
    make_drop_off: MAKE_DROP_OFF, make_kit: MAKE_KIT, group: Group, asked: PrintedHere
) -> None:
    """In the names of ward and hospital and of a kit's design it is only text on a label."""
    kit, drop_off = make_kit(), make_drop_off(worn=1, ward=WardFactory(), receipt_number=None)
    (box,) = boxes_by_key([f"{drop_off.pk}-1"]).values()
    words = []
    for snippet in SNIPPETS:
        box.drop_off.ward.name, box.drop_off.ward.hospital.name = f"1{snippet}", f"2{snippet}"
        kit.design_revision.design.name = f"3{snippet}"
        words += [box_words(box), kit_words(kit)]
    text = text_of_labels(words, asked, group)
    for snippet in SNIPPETS:
        assert f"1{squeezed(snippet)},2{squeezed(snippet)}" in text
        assert f"3{squeezed(snippet)}" in text


def test_cutting_sheet(group: Group, asked: PrintedHere) -> None:
    """In the names of group, design, piece and cloth and in its place it is only text."""
    every = " ".join(SNIPPETS)
    gown = ((f"4{every}", ((0, 0), (420, 0), (440, 360), (-20, 360)), 1),)
    lay = lay_of(cut_of(1, gown=gown), design=f"2{every}")
    lay.plan.document["lots"]["1"] |= {"material": f"3{every}", "place": f"5{every}"}
    pdf_of(html_of("printing/cutting.html", context_of(lay) | {"group": Group(name=f"1{every}")}))
    text = said(pdfplumber.open(io.BytesIO(asked.sheets[-1].content)))
    assert [number for number in range(1, 6) if f"{number}{squeezed(every)}" not in text] == []


def test_stitch_card(packer: Person, sign_in: SIGN_IN, group: Group, asked: PrintedHere) -> None:
    """In the group's name and telephone number it is only text."""
    every = " ".join(SNIPPETS)
    set_group(group, f"1{every}")
    text = said(opened(sign_in(packer), reverse("printing:stitch_card_pdf", args=["needle"])))
    assert f"1{squeezed(every)}" in text


@pytest.mark.parametrize("snippet", FOURS)
def test_receipt(
    make_drop_off: MAKE_DROP_OFF,
    packer: Person,
    sign_in: SIGN_IN,
    group: Group,
    asked: PrintedHere,
    snippet: str,
) -> None:
    """In the names of group, ward and hospital and the receipt number it is only text, to be signed as on file."""
    set_group(group, snippet)
    ward = WardFactory(name=f"1{snippet[:110]}")
    ward.hospital.name = f"2{snippet[:110]}"
    ward.hospital.save()
    received = datetime(2026, 3, 12, tzinfo=UTC)
    number = f"3{snippet[:18]}"
    drop_off = make_drop_off(worn=1, ward=ward, receipt_number=number, state="received", received_at=received)
    client = sign_in(packer)
    client.get(reverse("printing:receipt_pdf", args=[drop_off.pk]))
    client.post(reverse("printing:receipt_file", args=[drop_off.pk]))
    assert len(asked.sheets) == 2
    for printed in asked.sheets:
        text = said(pdfplumber.open(io.BytesIO(printed.content)))
        for words in (f"1{snippet[:110]}", f"2{snippet[:110]}", number, snippet[:40]):
            assert squeezed(words) in text


@pytest.mark.parametrize("snippet", FOURS)
def test_drop_off_papers(
    make_drop_off: MAKE_DROP_OFF, packer: Person, sign_in: SIGN_IN, asked: PrintedHere, snippet: str
) -> None:
    """In ward, hospital, address, packing and note on the papers of a drop-off it is only text."""
    ward = WardFactory(name=f"1{snippet[:110]}", packing=f"4{snippet}"[:200])
    ward.hospital.name, ward.hospital.address = f"2{snippet[:110]}", f"3{snippet}"
    ward.hospital.save()
    drop_off, client = make_drop_off(worn=1, ward=ward, note=f"5{snippet}"), sign_in(packer)
    packing, driver = (
        said(opened(client, reverse(f"printing:{name}", args=[drop_off.pk])))
        for name in ("drop_off_packing_pdf", "drop_off_driver_pdf")
    )
    for words in (f"1{snippet[:110]}", f"2{snippet[:110]}"):
        assert squeezed(words) in packing
        assert squeezed(words) in driver
    assert squeezed(f"4{snippet}") in packing
    assert squeezed(f"3{snippet}") in driver
    assert squeezed(f"5{snippet}") in driver


@pytest.mark.usefixtures("engine_may_speak")
def test_the_naive_way_leaks() -> None:
    """The same snippets put in as markup, with the engine's own fetcher, read secrets and call out: we would notice."""
    with listening() as events:
        for snippet in SNIPPETS[:8]:
            weasyprint.HTML(string=f"<html><body>{snippet}", base_url="file:///").write_pdf()
    assert {"read /etc/passwd", "socket.connect"} <= set(events)


def test_printing_leaves_no_trace(make_gown: MAKE_GOWN, packer: Person, sign_in: SIGN_IN) -> None:
    """Printing changes nothing: no line comes into the trail."""
    before = TrailLine.objects.count()
    gown = make_gown(received_at=datetime(2026, 3, 1, tzinfo=UTC))
    sign_in(packer).get(reverse("printing:labels_pdf") + f"?sheet=a4-3x7&start=1&item={gown.code}")
    assert TrailLine.objects.count() == before
