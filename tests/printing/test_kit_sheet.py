"""The kit sheet: its first page alone is enough to sew from, and everything on it is right."""

import io
import re
from datetime import date
from itertools import product

import pikepdf
import pytest
import shapely
from django.urls import reverse

from gowngroup.batches.models import Kit, Plan
from gowngroup.catalog.actions import start_catalog
from gowngroup.catalog.models import ChartRow, DesignRevision, DesignSize, RectanglePiece, Size
from gowngroup.people.models import Person
from gowngroup.planning.figures import default_values
from gowngroup.printing.pdf import html_of
from gowngroup.printing.planner import kit_sheet
from gowngroup.printing.planner.kit_lines import trim_lines
from gowngroup.printing.planner.kit_sheet import KitSheet
from gowngroup.printing.sheets import TEMPLATE, sheet_context
from gowngroup.records.reader import Reader, reading_as
from tests.factories import KitFactory, WardFactory
from tests.printing.conftest import MAKE_KIT, SIGN_IN
from tests.printing.kit_sheets import printed, read
from tests.printing.reading import MM, opened, past_the_edge, said, written
from tests.snapshots import store_snapshot, store_snapshots


def address(kit: Kit, name: str = "printing:kit_sheet_pdf") -> str:
    return reverse(name, args=[kit.code])


def test_first_page_is_enough(make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN) -> None:
    """Page one says what to make, from what, in what order, with which needle and floss, and whom to ring."""
    kit = make_kit(gown_count=3)
    text = written(opened(sign_in(packer), address(kit)).pages[0])
    in_order = (
        "Testcircle", "Panelgown", "3gownsforababyupto46cm", "01234567890", "smockedfront3",
        "50.8×28.2cm", "sleeve6", "Rowstothread:6(4+2holding),9.5mmapart.", "Pleatstosmock:74,and3tospareateachend.",
        "Blockthesmockingto15cm.", f"oldrose{kit.code}", "cutsof45.7cm", "Crewelneedle,size7to9", "threadabovetheneedle;",
        "Pleatthepanel.", "Smockfromthecentre.", "Sewittogether.",
    )  # fmt: skip
    places = [text.find(words) for words in in_order]
    assert -1 not in places, [words for words, at in zip(in_order, places, strict=True) if at < 0]
    assert places == sorted(places)


def test_what_follows_the_first_page(usual_sheet: tuple[str, bytes]) -> None:
    """Then come pleating guide, measures, the ward's rules, cautions and the return slip, all on one more page."""
    pdf = read(usual_sheet[1])
    text = written(pdf.pages[1])
    in_order = (
        "Pleatingguide", "Rowstothread", "Spacebetweenrows9.5mm", "Pleatstosmock74", "3ateachend",
        "Flatwidth50.8cm", "Finishedmeasures", "Whatthewardasks", "Nolaceattheneck", "Nocords,ties",
        "thewarddecides", "Pleasebringthisback", "needlesandpinsaccountedfor",
    )  # fmt: skip
    places = [text.find(words) for words in in_order]
    assert -1 not in places, [words for words, at in zip(in_order, places, strict=True) if at < 0]
    assert places == sorted(places)
    assert len(pdf.pages) == 2


def test_floss_is_wound_with_a_spare_and_may_be_reported(
    make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN
) -> None:
    """Each floss has a spare length, the slip may say how it came out, and wrong-side rows say to turn over."""
    ChartRow.objects.filter(position=1).update(is_back_smocking=True, start="left")
    page = sign_in(packer).get(address(make_kit(), "printing:kit_sheet")).content.decode()
    assert page.count("1 spare") == 3
    assert "ran short, lengths sent on:" in page
    assert "Turn the work over for a row on the wrong side" in page


def test_code_is_large_enough(make_kit: MAKE_KIT) -> None:
    """The code's symbol is 20 mm or more, its modules 0.4 mm or more, with four modules free all round."""
    qr = kit_sheet(make_kit()).qr
    assert qr.size_mm - 8 * qr.module_mm >= 20
    assert qr.module_mm >= 0.4
    assert "M4 4.5h7" in qr.path


@pytest.fixture
def letter_sheet(make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN) -> tuple[str, bytes]:
    """Code and PDF of the sheet for somebody who reads inches on Letter paper, printed once for all who ask."""
    packer.paper_size, packer.length_unit = "Letter", "in"
    packer.save()
    return printed("letter", sign_in(packer), make_kit)


@pytest.mark.parametrize(
    ("sheet", "width_mm", "height_mm"), [("usual_sheet", 210, 297), ("letter_sheet", 215.9, 279.4)]
)
def test_readers_own_paper(
    request: pytest.FixtureRequest, sheet: str, width_mm: float, height_mm: float
) -> None:
    """The sheet is as large as the reader's paper (ISO 216 A4, ANSI/ASME Y14.1 Letter) and keeps to it."""
    for page in read(request.getfixturevalue(sheet)[1]).pages:
        assert float(page.width) / MM == pytest.approx(width_mm, abs=0.1)
        assert float(page.height) / MM == pytest.approx(height_mm, abs=0.1)
        assert past_the_edge(page) == []


def test_readers_own_unit(letter_sheet: tuple[str, bytes]) -> None:
    """Who reads inches finds the pieces and the row space in inches, eighths where it matters."""
    text = said(read(letter_sheet[1]))
    assert "20×111/8in" in text
    assert "Spacebetweenrows3/8in" in text
    assert "cutsof18in" in text


def test_tags_title_and_language(usual_sheet: tuple[str, bytes]) -> None:
    """The PDF is tagged for PDF/UA (ISO 14289-1) with title, language and words for each drawing."""
    code, content = usual_sheet
    with pikepdf.open(io.BytesIO(content)) as pdf:
        assert str(pdf.Root.Lang).startswith("en")
        assert bool(pdf.Root.MarkInfo.Marked)
        assert str(pdf.docinfo.Title) == f"Kit {code[:3]}-{code[3:]} – Test circle"
        with pdf.open_metadata() as metadata:
            assert metadata["pdfuaid:part"] == "1"
        figures = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure"]
        assert len(figures) >= 4
        assert all(str(figure.get("/Alt", "")) for figure in figures)


def test_fonts_are_our_own(usual_sheet: tuple[str, bytes]) -> None:
    """Only our own face is embedded, in the drawings too, and no letter is smaller than 11 pt."""
    pdf = read(usual_sheet[1])
    chars = [char for page in pdf.pages for char in page.chars]
    assert {char["fontname"].split("+")[-1].split("-")[0] for char in chars} == {"Source"} or all(
        "Source" in char["fontname"] for char in chars
    )
    assert min(char["size"] for char in chars) >= 10.99


def test_only_black_is_needed(usual_sheet: tuple[str, bytes]) -> None:
    """Every letter and line is black or grey."""
    for page in read(usual_sheet[1]).pages:
        for thing in (*page.chars, *page.lines, *page.curves, *page.rects):
            for colour in (thing.get("stroking_color"), thing.get("non_stroking_color")):
                assert not colour or len(set(colour)) == 1


def test_memorial_kit_in_gentle_words(make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN) -> None:
    """A memorial kit says so gently, sets no day, and never uses that word."""
    text = said(opened(sign_in(packer), address(make_kit(purpose="memorial", due_on=date(2026, 4, 1)))))
    assert "Forbabieswhodie,beforeorsoonafterbirth." in text
    assert "memorial" not in text.lower()
    assert "April" not in text


def test_no_volunteers_name_on_paper(make_kit: MAKE_KIT, volunteer: Person, sign_in: SIGN_IN) -> None:
    """The sheet carries the kit's code and day, never the name of who sews it."""
    kit = make_kit(state="claimed", holder=volunteer, due_on=date(2026, 4, 7))
    text = said(opened(sign_in(volunteer), address(kit)))
    assert "bringitbackby7April2026" in text
    assert volunteer.name not in text


def test_plan_that_cannot_be_read_is_said(make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN) -> None:
    """A plan that is missing, damaged or of another format gives a sheet that says so on top, and no error."""
    kit = make_kit()
    for document in ({}, {"format_version": 99}, {"format_version": 1, "designs": [{}]}):
        Plan.objects.filter(pk=kit.lay.plan_id).update(document=document)
        shown = words_on_screen(kit, packer, sign_in)
        assert "The plan this kit was cut from cannot be read" in shown, document
        assert "smocked front" not in shown, document
    text = written(opened(sign_in(packer), address(kit)).pages[0])
    assert "Theplanthiskitwascutfromcannotberead" in text
    assert "smockedfront" not in text


@pytest.mark.parametrize("name", ["printing:kit_sheet", "printing:kit_sheet_pdf"])
def test_who_may_print_a_kit_sheet(
    make_kit: MAKE_KIT,
    coordinator: Person,
    packer: Person,
    volunteer: Person,
    colleague: Person,
    driver: Person,
    sign_in: SIGN_IN,
    name: str,
) -> None:
    """Its holder, packers and the coordinator open it; for everybody else it does not exist."""
    page = address(make_kit(state="claimed", holder=volunteer), name)
    for person in (coordinator, packer, volunteer):
        assert sign_in(person).get(page).status_code == 200
    for person in (colleague, driver):
        assert sign_in(person).get(page).status_code == 404
    assert sign_in(packer).get(page.replace(page.split("/")[3][:6], "KNONE4")).status_code == 404


def test_page_carries_no_inline_style(make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN) -> None:
    """The sheet as a page keeps the strict policy: no style attribute, no script, and a way to the PDF."""
    kit = make_kit()
    text = sign_in(packer).get(address(kit, "printing:kit_sheet")).content.decode()
    assert "style=" not in text
    assert "<script" not in text
    assert address(kit) in text


@pytest.fixture
def catalog(coordinator: Person, at: object) -> None:
    start_catalog(by=coordinator, at=at)  # type: ignore[arg-type]


@pytest.mark.usefixtures("catalog", "group")
@pytest.mark.parametrize(
    ("design", "upper_mass_g", "reader", "page_count"),
    [
        ("Round", 4500, {}, 2),
        ("Yoke", 1500, {"language": "es"}, 2),
        ("Yoke", 1500, {"language": "es", "paper_size": "Letter", "has_large_print": True}, 4),
        ("Round", 2000, {"has_large_print": True, "is_left_handed": True}, 4),
        ("Wrap", 250, {}, 2),
    ],
    ids=["round", "yoke", "yoke large", "round large", "wrap"],
)
def test_usual_designs(
    packer: Person,
    sign_in: SIGN_IN,
    design: str,
    upper_mass_g: int,
    reader: dict[str, object],
    page_count: int,
) -> None:
    """The designs a group starts with have chart, floss and all steps on page one, on one leaf; in large print on two.

    Numbers of drawn pieces are of the size of the text, the slip to tear off is on no sheet by itself.
    """
    Person.objects.filter(pk=packer.pk).update(**reader)
    kit = store_snapshot(
        KitFactory(
            design_revision=DesignRevision.objects.get(design__name__startswith=design),
            size=Size.objects.get(upper_mass_g=upper_mass_g),
        )
    )
    assert kit_sheet(kit).need.faults == ()
    pdf = opened(sign_in(packer), address(kit))
    assert len(pdf.pages) <= page_count
    assert [past_the_edge(page) for page in pdf.pages] == [[]] * len(pdf.pages)
    least_pt = 14 if "has_large_print" in reader else 11
    assert min(char["size"] for page in pdf.pages for char in page.chars) > least_pt - 0.05
    slip = re.search("Pleasebringthis|Porfavor,traigaesto", written(pdf.pages[-1]))
    assert slip is not None
    assert slip.start() > 100
    with reading_as(Reader(**reader)):  # type: ignore[arg-type]
        sheet = kit_sheet(kit)
        assert [words for words in said_first(sheet) if words not in written(pdf.pages[0])] == []
        assert without_spaces(sheet.seams) in said(pdf)


def said_first(sheet: KitSheet) -> list[str]:
    """What the first page says of the stitches and in which order to work, without spaces."""
    rows = [line for row in sheet.chart.labels.lines for line in row] if sheet.chart else []
    said = (
        *rows,
        *(floss.shade for floss in sheet.floss),
        *sheet.chart_sentences,
        sheet.pleating,
        sheet.seams if sheet.has_seams_first else "",
        *sheet.steps,
    )
    return [without_spaces(words) for words in said]


def without_spaces(words: str) -> str:
    return words.replace(" ", "").replace("\u00a0", "")


@pytest.mark.usefixtures("catalog", "group")
def test_first_page_has_room_for_all_it_must_hold() -> None:
    """With all steps the chart and how to pleat, in usual and large print, whatever design, size, language, hand and paper.

    In usual print the pieces by name, too, which in large print may go overleaf: the kit comes cut.
    """
    rows = DesignSize.objects.select_related("revision__design", "size").order_by("size__upper_mass_g", "pk")
    prints = list(product(("en", "es"), ("A4", "Letter"), (True, False)))
    found, overleaf = [], dict[str, str]()
    for at, (row, kit) in enumerate(zip(rows, kits_of(*rows), strict=True)):
        is_largest = row == rows.filter(revision=row.revision).last()
        for language, paper, is_large in prints if is_largest else [prints[2 * at % 8]]:
            with reading_as(
                Reader(language=language, paper_size=paper, has_large_print=is_large, is_left_handed=is_large)
            ):
                sheet = kit_sheet(kit)
                forms = sheet.first.forms
                if not sheet.has_seams_first:
                    overleaf.setdefault(sheet.seams, html_of(TEMPLATE, sheet_context(kit)))
            assert_widths_are_the_plans(sheet)
            holds_chart = sheet.chart is None or forms.chart in ("drawn", "brief")
            if not holds_chart or (not forms.has_pleating if is_large else forms.list == "overleaf"):
                found.append((str(row), language, paper, is_large, forms))
    assert found == []
    assert overleaf
    assert [seams for seams, page in overleaf.items() if seams not in page] == []


SEWN = {
    "Round": ["seam", "binding_width", "neck", "back_hem", "sleeve_hem", "hem"],
    "Yoke": ["seam", "binding_width", "neck", "back_hem", "sleeve_hem", "hem"],
    "Wrap": ["seam"],
}


def assert_widths_are_the_plans(sheet: KitSheet) -> None:
    """Seams and hems are as wide as the figures (common practice, no source).

    Trims are counted for all the gowns of a kit. A strip on the bias is told by its own sides: four bindings wide, and together as large as its area (shapely).
    """
    gown_trims = [trim.count for trim in sheet.need.trims]
    gown_trims += [notion.count for notion in sheet.need.notions]
    assert [line.kit_count for line in trim_lines(sheet.need, 3, {})] == [3 * count for count in gown_trims]
    figures = default_values()
    keys = SEWN[re.split("[ -]", str(sheet.kit.design_revision))[0]]
    widths_mm = [figures.get(f"draft_{key}_allowance_mm") or figures[f"draft_{key}_mm"] for key in keys]
    assert [float(mm) for mm in re.findall("([0-9]+)\u00a0mm", sheet.seams)] == widths_mm
    for line, piece in zip(sheet.pieces, sheet.need.pieces, strict=True):
        if piece.pattern.is_bias:
            assert line.width_mm == pytest.approx(4 * figures["draft_binding_width_mm"])
            area_mm2 = shapely.Polygon(piece.outline).area
            assert line.width_mm * line.length_mm == pytest.approx(area_mm2, rel=1e-3)


def kits_of(*rows: DesignSize) -> list[Kit]:
    """A planned kit of each, with all that stands in the head of its sheet."""
    head = {"due_on": date(2026, 9, 27), "minutes_low": 255, "minutes_high": 630}
    return store_snapshots(*(KitFactory(design_revision=row.revision, size=row.size, **head) for row in rows))


def test_same_bytes_twice(make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN) -> None:
    """Printed again unchanged, the sheet is the same to the byte."""
    kit = make_kit()
    client = sign_in(packer)
    assert client.get(address(kit)).content == client.get(address(kit)).content


def test_rules_of_several_wards(make_kit: MAKE_KIT) -> None:
    """A rule every ward shares stands once; a rule of one ward names that ward."""
    kit = make_kit()
    ward = WardFactory(name="Ward Z", sizes=[kit.size], rules="Lies flat when open\n\nNo yellow")
    shared, first, last = kit_sheet(kit).ward_rules
    assert shared == "Lies flat when open"
    assert first.endswith(": No lace at the neck.")
    assert last == f"{ward}: No yellow."


def test_time_for_what_goes_along_is_said(
    make_kit: MAKE_KIT, revision: DesignRevision, packer: Person, sign_in: SIGN_IN
) -> None:
    """Two gowns with keepsake squares: 2 × 20 min are for them (common practice), none of it in a kit to smock only."""
    revision.companions = ["keepsakes"]
    revision.save()
    kit = make_kit(gown_count=2, minutes_low=600, minutes_high=900)
    assert "About 40 min of it is for what goes along" in words_on_screen(kit, packer, sign_in)
    Kit.objects.filter(pk=kit.pk).update(stage="smock")
    kit.refresh_from_db()
    assert "goes along with the gowns" not in words_on_screen(kit, packer, sign_in)


def words_on_screen(kit: Kit, packer: Person, sign_in: SIGN_IN) -> str:
    return sign_in(packer).get(address(kit, "printing:kit_sheet")).content.decode()


@pytest.fixture
def plain_kit(make_kit: MAKE_KIT, revision: DesignRevision) -> Kit:
    """Two gowns of a design without a chart and without an order of work of its own."""
    revision.chart = None
    revision.order_of_work = []
    revision.save()
    revision.sizes.update(pleat_count=None, smocked_width_um=None)
    RectanglePiece.objects.filter(part="smocked panel").update(part="front", name="front")
    return make_kit(gown_count=2)


def test_nobody_is_told_to_smock_a_gown_without_pleats(plain_kit: Kit) -> None:
    """A gown without smocking has an order of work and cautions without it, and its pieces drawn and numbered.

    Pieces entered as rectangles do not say how wide their seams are.
    """
    sheet = kit_sheet(plain_kit)
    assert sheet.seams == ""
    assert sheet.need.faults == ()
    assert not any(word in " ".join((*sheet.steps, *sheet.cautions)) for word in ("Smock", "smock", "Pleat"))
    assert any("Count needles and pins out" in caution for caution in sheet.cautions)
    assert sheet.outlines is not None
    assert [piece.number for piece in sheet.outlines.pieces] == [1, 2]


def test_pieces_are_drawn_and_numbered_on_the_first_page(
    plain_kit: Kit, packer: Person, sign_in: SIGN_IN
) -> None:
    """Where there is no chart the first page shows the pieces by their numbers in the list, in our own type."""
    pdf = opened(sign_in(packer), address(plain_kit))
    text = written(pdf.pages[0])
    assert text.index("1.front2") < text.index("2.sleeve4") < text.index("Thepieces")
    assert "Numberedasinthelistabove" in text
    assert {char["fontname"].split("+")[-1].split("-")[0] for char in pdf.pages[0].chars} == {"Source"}
    assert [past_the_edge(page) for page in pdf.pages] == [[]] * len(pdf.pages)


def test_smocked_gowns_show_their_chart_instead_of_the_pieces(make_kit: MAKE_KIT) -> None:
    """A smocked gown keeps the room for its chart, and pins stay out of it."""
    sheet = kit_sheet(make_kit())
    assert (sheet.outlines, sheet.chart_detail is None) == (None, False)
    assert any("No pins while smocking" in caution for caution in sheet.cautions)
