"""Whatever is typed into a printed field is printed as typed: nothing is read, fetched or run."""

import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from urllib.parse import urlencode

import pytest
from django.urls import reverse

from gowngroup.batches.models import MaterialChoice
from gowngroup.catalog.models import Need, RectanglePiece
from gowngroup.people.models import Group, Person
from gowngroup.printing import own_files
from gowngroup.records.models import TrailLine
from tests.factories import LotFactory, MaterialFactory, WardFactory
from tests.printing.conftest import MAKE_DROP_OFF, MAKE_GOWN, MAKE_KIT, SIGN_IN
from tests.printing.reading import opened, said
from tests.snapshots import store_snapshot

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
SECRET_FILES = ("/etc/passwd", "/etc/hosts")
_events: list[str] = []
_is_listening = False


def _listen(event: str, args: tuple[object, ...]) -> None:
    if not _is_listening:
        return
    if event == "open" and str(args[0]) in SECRET_FILES:
        _events.append(f"read {args[0]}")
    elif event in ("socket.connect", "socket.getaddrinfo", "urllib.Request"):
        _events.append(event)


sys.addaudithook(_listen)


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[str]]:
    """Every address the engine asks our files for; Python itself reports reads of secrets and connections."""
    global _is_listening  # noqa: PLW0603 - an audit hook cannot be taken away, only told to sleep
    addresses: list[str] = []
    serve = own_files.own_file

    def listed(url: str) -> tuple[bytes, str]:
        addresses.append(url)
        return serve(url)

    monkeypatch.setattr("gowngroup.printing.pdf.own_file", listed)
    _events.clear()
    _is_listening = True
    yield addresses
    _is_listening = False
    assert _events == []
    assert addresses
    assert all(url.startswith(f"{own_files.BASE_URL}static/") for url in addresses)


def squeezed(snippet: str) -> str:
    return snippet.replace(" ", "")


def set_group(group: Group, snippet: str) -> None:
    group.name, group.telephone, group.label_line = snippet, snippet[:40], snippet
    group.save()


@pytest.mark.parametrize("snippet", FOURS)
def test_kit_sheet(
    make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN, group: Group, asked: list[str], snippet: str
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


@pytest.mark.parametrize("snippet", SNIPPETS)
def test_labels(
    make_gown: MAKE_GOWN, packer: Person, sign_in: SIGN_IN, group: Group, asked: list[str], snippet: str
) -> None:
    """In the group's line on a label it is only text."""
    set_group(group, snippet)
    query = f"?sheet=a4-3x7&start=1&item={make_gown().code}"
    text = said(opened(sign_in(packer), reverse("printing:labels_pdf") + query))
    assert squeezed(snippet) in text


def test_shelf_labels(packer: Person, sign_in: SIGN_IN, group: Group, asked: list[str]) -> None:
    """In the name and shade of a material and the place of its lot it is only text on a label."""
    lots = [
        LotFactory(material=MaterialFactory(name=f"1{snippet}", shade=f"2{snippet}"), place=f"3{snippet}")
        for snippet in SNIPPETS
    ]
    query = {"kind": "shelf", "sheet": "letter-2x5", "start": 1, "item": [lot.code for lot in lots]}
    text = said(opened(sign_in(packer), f"{reverse('printing:labels_pdf')}?{urlencode(query, doseq=True)}"))
    for snippet in SNIPPETS:
        assert [mark for mark in (1, 2, 3) if f"{mark}{squeezed(snippet)}" not in text] == []


def test_box_and_kit_labels(
    make_drop_off: MAKE_DROP_OFF,
    make_kit: MAKE_KIT,
    packer: Person,
    sign_in: SIGN_IN,
    group: Group,
    asked: list[str],
) -> None:
    """In the names of ward and hospital and of a kit's design it is only text on a label."""
    for snippet in SNIPPETS[::4]:
        ward = WardFactory(name=f"1{snippet}")
        ward.hospital.name = f"2{snippet}"
        ward.hospital.save()
        kit, drop_off = make_kit(), make_drop_off(worn=1, ward=ward, receipt_number=None)
        kit.design_revision.design.name = f"3{snippet}"
        kit.design_revision.design.save()
        said_by = {}
        for kind, key in (("box", f"{drop_off.pk}-1"), ("kit", kit.code)):
            query = urlencode({"kind": kind, "sheet": "letter-2x5", "start": 1, "item": key})
            said_by[kind] = said(opened(sign_in(packer), f"{reverse('printing:labels_pdf')}?{query}"))
        assert f"1{squeezed(snippet)},2{squeezed(snippet)}" in said_by["box"]
        assert f"3{squeezed(snippet)}" in said_by["kit"]


@pytest.mark.parametrize("snippet", FOURS)
def test_receipt(
    make_drop_off: MAKE_DROP_OFF,
    packer: Person,
    sign_in: SIGN_IN,
    group: Group,
    asked: list[str],
    snippet: str,
) -> None:
    """In the names of group, ward and hospital and the receipt number it is only text."""
    set_group(group, snippet)
    ward = WardFactory(name=f"1{snippet}")
    ward.hospital.name = f"2{snippet}"
    ward.hospital.save()
    drop_off = make_drop_off(worn=1, ward=ward, receipt_number=f"3{snippet[:18]}")
    text = said(opened(sign_in(packer), reverse("printing:receipt_pdf", args=[drop_off.pk])))
    for words in (f"1{snippet}", f"2{snippet}", f"3{snippet[:18]}", snippet[:40]):
        assert squeezed(words) in text


@pytest.mark.parametrize(
    ("snippet", "name"), list(zip(FOURS, ["drop_off_packing_pdf", "drop_off_driver_pdf"] * 3, strict=False))
)
def test_drop_off_papers(
    make_drop_off: MAKE_DROP_OFF, packer: Person, sign_in: SIGN_IN, asked: list[str], snippet: str, name: str
) -> None:
    """In ward, hospital, address, packing and note on the papers of a drop-off it is only text."""
    ward = WardFactory(name=f"1{snippet[:110]}", packing=f"4{snippet}"[:200])
    ward.hospital.name, ward.hospital.address = f"2{snippet[:110]}", f"3{snippet}"
    ward.hospital.save()
    drop_off = make_drop_off(worn=1, ward=ward, note=f"5{snippet}")
    text = said(opened(sign_in(packer), reverse(f"printing:{name}", args=[drop_off.pk])))
    shown = (f"4{snippet}",) if "packing" in name else (f"3{snippet}", f"5{snippet}")
    for words in (f"1{snippet[:110]}", f"2{snippet[:110]}", *shown):
        assert squeezed(words) in text


def test_printing_leaves_no_trace(make_gown: MAKE_GOWN, packer: Person, sign_in: SIGN_IN) -> None:
    """Printing changes nothing: no line comes into the trail."""
    before = TrailLine.objects.count()
    gown = make_gown(received_at=datetime(2026, 3, 1, tzinfo=UTC))
    sign_in(packer).get(reverse("printing:labels_pdf") + f"?sheet=a4-3x7&start=1&item={gown.code}")
    assert TrailLine.objects.count() == before
