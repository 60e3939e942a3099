"""Labels of bags, boxes, kits and lots: what they say, what their codes open, who gets which."""

from typing import Any
from urllib.parse import urlencode

import pytest
import zxingcpp
from django.conf import settings
from django.test import Client
from django.urls import reverse
from PIL import Image, ImageFilter

from gowngroup.deliveries.models import DropOff
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Person
from gowngroup.printing.label_queries import boxes_by_key
from gowngroup.printing.label_sheets import LABEL_SHEETS, LabelSheet
from gowngroup.printing.planner.label_words import (
    Bag,
    LabelWords,
    bag_words,
    bags_of,
    box_words,
    gown_words,
    lot_words,
)
from gowngroup.printing.planner.labels import LabelTooSmall, label_pages
from gowngroup.stock.models import Lot
from tests.factories import LotFactory, MaterialFactory, SizeFactory, WardFactory
from tests.printing.conftest import MAKE_DROP_OFF, MAKE_GOWN, MAKE_KIT, SIGN_IN
from tests.printing.reading import decoded, opened, said

LONG_WORD = "Donaudampfschifffahrtsgesellschaftskapitän"
CAUTION = "Keep the plastic bag away from babies and children: danger of suffocation."


def address(kind: str, *keys: str, name: str = "printing:labels_pdf", **more: object) -> str:
    query = {"kind": kind, "sheet": "a4-3x7", "start": 1, "item": keys} | more
    return f"{reverse(name)}?{urlencode(query, doseq=True)}"


def squeezed(words: str) -> str:
    return words.replace(" ", "").replace("\u00a0", "")


@pytest.fixture
def lot(db: None) -> Lot:
    """A lot of cloth in its place, given by somebody."""
    material = MaterialFactory(name="batiste", shade="white")
    made: Lot = LotFactory(material=material, place="shelf 3, left", on_hand_amount=1_000_000)
    return made


@pytest.fixture
def drop_off(make_drop_off: MAKE_DROP_OFF) -> DropOff:
    """A drop-off of two gowns in box 1 and a closed box 2."""
    made = make_drop_off(worn=2, memorial=1, ward=WardFactory(name="Ward Seven"))
    made.gown_rows.filter(gown__purpose="memorial").update(box_number=2)
    return made


def texts(words: LabelWords) -> list[str]:
    return [text.text for text in words.texts if text.text]


@pytest.mark.parametrize("kind", ["kit", "shelf", "box", "bag"])
def test_code_of_a_label_opens_its_page(
    kind: str, make_kit: MAKE_KIT, lot: Lot, drop_off: DropOff, packer: Person, sign_in: SIGN_IN
) -> None:
    """An independent decoder reads the page of the kit, lot, drop-off or gown at 150 and 300 dpi (ISO/IEC 18004)."""
    kit, gown = make_kit(), Gown.objects.filter(purpose="memorial").get()
    key, page_name, value = {
        "kit": (kit.code, "batches:kit_page", kit.code),
        "shelf": (lot.code, "stock:lot_page", lot.code),
        "box": (f"{drop_off.pk}-1", "deliveries:drop_off_page", drop_off.pk),
        "bag": (gown.code, "gowns:gown_page", gown.code),
    }[kind]
    page = opened(sign_in(packer), address(kind, key)).pages[0]
    for dpi in (150, 300):
        assert decoded(page, dpi) == [f"{settings.SITE_ADDRESS}{reverse(page_name, args=[value])}"]


def photocopied(page: Any, dpi: int) -> Image.Image:
    """The picture of a page as a worn photocopier gives it: grey, blurred by 0.15 mm, turned by 2°."""
    picture: Image.Image = (
        page.to_image(resolution=dpi).original.convert("L").point(lambda grey: 70 + grey * 0.6)
    )
    return picture.filter(ImageFilter.GaussianBlur(0.15 * dpi / 25.4)).rotate(2, fillcolor=223)


@pytest.mark.parametrize("sheet", ["a4-3x7", "a4-5x13", "letter-3x10", "tape-a4"])
def test_code_is_read_from_a_photocopy(
    sheet: str, make_gown: MAKE_GOWN, packer: Person, sign_in: SIGN_IN
) -> None:
    """The smallest codes, too, are read by an independent decoder from a grey, blurred, crooked copy."""
    gown = make_gown()
    page = opened(sign_in(packer), address("gown", gown.code, sheet=sheet)).pages[0]
    for dpi in (150, 300):
        (code,) = zxingcpp.read_barcodes(photocopied(page, dpi))
        assert code.text == f"{settings.SITE_ADDRESS}{reverse('gowns:gown_page', args=[gown.code])}"


def test_kit_label_says_nothing_of_the_purpose(make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN) -> None:
    """A kit's label tells code, size, count and cloth; nobody at the pick-up sees whom its gowns are for."""
    kit = make_kit(purpose="memorial", gown_count=2)
    text = said(opened(sign_in(packer), address("kit", kit.code)))
    for words in (
        f"Kit {kit.code[:3]}-{kit.code[3:]}",
        "for a baby up to 46\u00a0cm",
        "2 gowns",
        "Panel gown",
    ):
        assert squeezed(words) in text
    assert "die" not in text
    assert "memorial" not in text


def test_shelf_label_says_what_lies_where(lot: Lot) -> None:
    """A lot's label tells its code, what it is, where it lies; never who gave it or how much is left."""
    words = texts(lot_words(lot))
    assert words[1:3] == ["batiste, white", "shelf 3, left"]
    assert words[0] == f"{lot.code[:3]}-{lot.code[3:]}"
    assert any("cotton, wash at 60\u00a0°C" in each for each in words)


def test_bag_label_says_contents_and_caution(make_gown: MAKE_GOWN) -> None:
    """A bag's label tells how many gowns of which size, their codes, and the caution about suffocation."""
    words = texts(bag_words(Bag(gowns=(make_gown(), make_gown()))))
    assert words[:3] == ["2 gowns for a baby up to 46\u00a0cm", "to wear", "G00-001, G00-002"]
    assert CAUTION in words


def test_memorial_bag_says_gently_what_the_gown_does_not(make_gown: MAKE_GOWN) -> None:
    """The bag of a memorial gown carries code, wash and fibre, since the gown carries no label."""
    words = texts(bag_words(Bag(gowns=(make_gown(purpose="memorial"),))))
    assert words[1] == "for babies who die, before or soon after birth"
    assert "G00-001" in words
    assert words[-1] == "cotton, wash at 60\u00a0°C"
    assert not [each for each in words if "memorial" in each.lower()]


def test_unknown_cloth_leaves_room_to_write(make_gown: MAKE_GOWN) -> None:
    """A gown of somebody's own cloth has wash and fibre written in by hand, never left out."""
    words = texts(gown_words(make_gown(outer_lot=None), group_line=""))
    assert words[1:3] == ["wash at ____\u00a0°C", "fibre ____"]


def test_bags_never_mix(make_gown: MAKE_GOWN) -> None:
    """Gowns of other sizes or purposes go into bags of their own, and no bag holds more than asked."""
    small = SizeFactory(lower_mass_g=500, upper_mass_g=900)
    gowns = [make_gown() for _number in range(3)]
    gowns += [make_gown(size=small), make_gown(purpose="memorial")]
    bags = bags_of(gowns, most=2)
    assert [len(bag.gowns) for bag in bags] == [2, 1, 1, 1]
    assert all(len({(gown.size_id, gown.purpose) for gown in bag.gowns}) == 1 for bag in bags)


def test_box_label_says_where_it_goes(drop_off: DropOff) -> None:
    """An open box tells ward, day, number and contents; the closed box says only how many gowns it holds."""
    boxes = boxes_by_key([f"{drop_off.pk}-1", "x-1", "999999-1"])
    first, closed = (texts(box_words(boxes[f"{drop_off.pk}-{number}"])) for number in (1, 2))
    assert first[0] == "Box 1 of 2"
    assert first[1].startswith("Ward Seven")
    assert first[2:4] == ["12 March 2026", "2 gowns for a baby up to 46\u00a0cm"]
    assert closed[3:5] == ["closed box", "1 gown"]
    assert not [each for each in closed if "baby" in each or "babies" in each]


@pytest.mark.parametrize("sheet", LABEL_SHEETS[:-1], ids=lambda sheet: sheet.key)
def test_usual_labels_fit_every_sheet_but_the_smallest(
    sheet: LabelSheet, lot: Lot, drop_off: DropOff
) -> None:
    """A bag of one gown, a box and a lot with usual names fit on each generic sheet of 21 mm height or more."""
    bag = Bag(gowns=(Gown.objects.filter(purpose="memorial").get(),))
    said = [bag_words(bag), lot_words(lot)]
    (page,) = label_pages(said, sheet=sheet)
    assert len(page.labels) == 2
    assert all(label.setting.type_pt >= 6 for label in page.labels)


def test_caution_is_never_left_out(make_gown: MAKE_GOWN) -> None:
    """Labels too small for the caution are refused, whatever else might be left out."""
    with pytest.raises(LabelTooSmall):
        label_pages([bag_words(Bag(gowns=(make_gown(),)))], sheet=LABEL_SHEETS[-1])


def test_long_words_are_broken(lot: Lot) -> None:
    """The longest name of a material is broken into lines within its label, and all of it stays."""
    lot.material.name = LONG_WORD + LONG_WORD[:30]
    (page,) = label_pages([lot_words(lot)], sheet=LABEL_SHEETS[0])
    name = next(text for text in page.labels[0].setting.texts if "Donau" in text.lines[0])
    assert "".join(name.lines).replace(" ", "") == f"{lot.material.name},white"


@pytest.mark.parametrize(
    ("kind", "state", "words"),
    [("kit", "written off", "gets no label: it is written off"), ("bag", "washed", "not ready for its bag")],
)
def test_what_gets_no_label_is_told(
    kind: str,
    state: str,
    words: str,
    make_kit: MAKE_KIT,
    make_gown: MAKE_GOWN,
    packer: Person,
    sign_in: SIGN_IN,
) -> None:
    """A kit that is gone and a gown that has not passed are refused with their state."""
    row: Any = make_kit(state=state) if kind == "kit" else make_gown(state=state)
    answer = sign_in(packer).get(address(kind, row.code, name="printing:label_sheets"))
    assert answer.status_code == 422
    assert words in answer.content.decode()


@pytest.mark.parametrize("key", ["77-1", "x", "1-"])
def test_unknown_box_is_told(key: str, packer: Person, sign_in: SIGN_IN, drop_off: DropOff) -> None:
    """A box that is not there gets a sentence, not a broken page."""
    answer = sign_in(packer).get(address("box", key, name="printing:label_sheets"))
    assert answer.status_code == 422
    assert f"nothing with the code {key} here" in answer.content.decode()


def test_labels_of_one_drop_off_are_ticked(drop_off: DropOff, inspector: Person, sign_in: SIGN_IN) -> None:
    """From a drop-off's page all its boxes, or all its gowns for their bags, are ticked and nothing else."""
    client: Client = sign_in(inspector)
    for kind, count in (("box", 2), ("bag", 3)):
        text = client.get(f"{reverse('printing:labels')}?kind={kind}&drop_off={drop_off.pk}").content.decode()
        assert text.count(" checked") == count
        assert text.count('name="item"') == count


@pytest.mark.parametrize("kind", ["kit", "shelf"])
def test_inspector_prints_no_labels_of_stock(kind: str, inspector: Person, sign_in: SIGN_IN) -> None:
    """Labels of kits and lots are for those who may open them."""
    assert sign_in(inspector).get(f"{reverse('printing:labels')}?kind={kind}").status_code == 403


@pytest.mark.parametrize("kind", ["kit", "shelf", "bag", "box"])
def test_every_kind_has_its_page(
    kind: str,
    make_kit: MAKE_KIT,
    lot: Lot,
    make_gown: MAKE_GOWN,
    drop_off: DropOff,
    packer: Person,
    sign_in: SIGN_IN,
) -> None:
    """The page of each kind offers what may get its label, and finds it by its words."""
    make_gown(state="passed", passed_at=drop_off.gown_rows.all()[0].gown.passed_at)
    drop_off.state = DropOff.State.PACKING
    drop_off.save()
    words = {"kit": make_kit().code, "shelf": "batiste", "bag": "Panel", "box": "Seven"}[kind]
    text = sign_in(packer).get(f"{reverse('printing:labels')}?kind={kind}&search={words}").content.decode()
    assert 'name="item"' in text
