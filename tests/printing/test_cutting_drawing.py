"""A lay's drawing: its scale, where it breaks, and that each piece is numbered once where it can be read."""

from dataclasses import replace
from itertools import pairwise

import pytest
import shapely

from gowngroup.printing.planner.cutting.breaks import stretches
from gowngroup.printing.planner.cutting.labels import Note, beside, words_box
from gowngroup.printing.planner.cutting.scale import SMALLEST_SHARE, best_scale
from gowngroup.printing.planner.pattern import PatternPaper
from tests.printing.cutting_lays import A4, CLOTH, LETTER, SHOWY, cut_of, lay_of, sheet_of

POINT_MM = 25.4 / 72
PAPERS = pytest.mark.parametrize("paper", [A4, LETTER], ids=["A4", "Letter"])


@PAPERS
@pytest.mark.parametrize("width_mm", [1120.0, 1520.0])
def test_the_larger_way_of_the_paper(paper: PatternPaper, width_mm: float) -> None:
    """Cloth as wide as it is sold lies across the paper, where it is drawn larger, and fits its width."""
    scale = best_scale(paper, cloth_width_mm=width_mm, length_mm=6000.0, has_large_print=False)
    assert scale.is_across
    assert scale.width_mm <= max(paper.width_mm, paper.height_mm) - 20
    assert scale.denominator <= (5.5 if width_mm < 1200 else 7.5)


def test_a_narrow_strip_stands_upright() -> None:
    """A strip that is as large either way is drawn on fewer pages, upright."""
    assert not best_scale(A4, cloth_width_mm=200.0, length_mm=2000.0, has_large_print=False).is_across


@PAPERS
@pytest.mark.parametrize("kit_count", [1, 6, 30])
def test_every_piece_is_numbered_once(paper: PatternPaper, kit_count: int) -> None:
    """On all pages together each piece of the lay belongs to one page and its number stands there, told with its kit."""
    sheet = sheet_of(lay_of(cut_of(kit_count)), paper=paper)
    numbers = [number for drawing in sheet.drawings for number in drawing.numbers]
    assert sorted(numbers) == list(range(1, 10 * kit_count + 1))
    for drawing in sheet.drawings:
        said = [text.text for text in drawing.texts if text.anchor != "end"]
        for drawn in drawing.pieces:
            mark, number = drawn.piece.mark, str(drawn.piece.number)
            assert said.count(mark) + said.count(number) == drawn.belongs_here


def test_words_inside_pieces_stay_inside() -> None:
    """Every number set into a piece lies within its outline, none below 8 pt, and no two touch."""
    sheet = sheet_of(lay_of(cut_of(30, SHOWY)))
    for drawing in (each for each in sheet.drawings if each.numbers):
        boxes = [words_box(text) for text in drawing.texts if text.anchor == "middle"]
        smallest = min(text.type_mm for text in drawing.texts)
        assert smallest / POINT_MM >= 8
        tree = shapely.STRtree(boxes)
        pairs = [(a, b) for a, b in tree.query(boxes, predicate="overlaps").T if a < b]
        assert [p for p in pairs if boxes[p[0]].intersection(boxes[p[1]]).area > 0.5] == []


def test_a_strip_too_narrow_is_told_beside() -> None:
    """A strip of 8 mm holds no number; it is told next to it on free cloth or led to the margin, at 11 pt."""
    gown = (
        ("strip", ((0, 0), (8, 0), (8, 300), (0, 300)), 1),
        ("front", ((0, 0), (700, 0), (700, 300), (0, 300)), 1),
    )
    (drawing,) = sheet_of(lay_of(cut_of(2, gown=gown))).drawings
    (narrow,) = [text for text in drawing.texts if text.text == "1/1"]
    assert narrow.type_mm / POINT_MM >= 11
    assert drawing.dots or narrow.anchor == "middle"


def test_breaks_fall_between_pieces() -> None:
    """A lay in rows breaks between rows, within what a page shows, and each page overlaps its neighbour."""
    cut = cut_of(12)
    sheet = sheet_of(lay_of(cut))
    parts = stretches(sheet.pieces, length_mm=cut.lay.length_mm, scale=sheet.scale)
    assert len(parts) > 2
    assert (parts[0].from_mm, parts[-1].to_mm) == (0.0, cut.lay.length_mm)
    for one, other in pairwise(parts):
        assert one.to_mm == other.from_mm
        assert one.bottom_mm - other.top_mm == pytest.approx(2 * sheet.scale.overlap_mm)
        assert one.bottom_mm - one.top_mm <= sheet.scale.shown_mm + 0.1
        assert not [p for p in sheet.pieces if p.from_start_mm + 0.1 < one.to_mm < p.end_mm - 0.1]


def test_a_piece_longer_than_a_page() -> None:
    """A piece longer than any page is parted, drawn on each page it crosses and numbered on one."""
    gown = (("long", ((0, 0), (300, 0), (300, 2500), (0, 2500)), 1),)
    drawings = sheet_of(lay_of(cut_of(1, gown=gown))).drawings
    assert len(drawings) > 2
    assert all(len(drawing.pieces) == 1 for drawing in drawings)
    assert [drawing.numbers for drawing in drawings].count((1,)) == 1


def test_kit_by_kit_shows_each_stretch() -> None:
    """Cut kit by kit, each kit's beginning is lined and named in the drawing, and its stretch told with its list."""
    sheet = sheet_of(lay_of(cut_of(4, is_kit_by_kit=True)))
    assert sheet.is_kit_by_kit
    assert sheet.kits[0].stretch.startswith("from 0 cm to")
    said = [text.text for drawing in sheet.drawings for text in drawing.texts if text.anchor == "start"]
    assert all(f"kit {number}" in said for number in range(1, 5))
    assert not sheet_of(lay_of(cut_of(4))).is_kit_by_kit


def test_notes_never_touch() -> None:
    """Notes that all want the same height stand below one another inside the drawing."""
    notes = [Note(text=str(number), y_mm=50.0, point=(20.0, 50.0)) for number in range(30)]
    texts, leaders = beside(notes, x_mm=100.0, top_mm=10.0, bottom_mm=150.0, type_mm=3.9)
    heights = [text.y_mm for text in texts]
    assert min(b - a for a, b in pairwise(heights)) >= 3.9
    assert (min(heights) > 10.0, max(heights) < 150.5, len(leaders)) == (True, True, 30)


def test_smallest_type_is_8_pt() -> None:
    """The smallest share of the sheet's 11 pt is 8 pt."""
    assert 11.05 * SMALLEST_SHARE >= 8


def test_nap_repeat_and_flaws_are_marked() -> None:
    """Cloth with nap, repeat and flaw shows all three; plain cloth shows none."""
    showy, plain = (sheet_of(lay_of(cut_of(1, strip))).drawings[0] for strip in (SHOWY, CLOTH))
    assert all((showy.nap, showy.repeats, showy.flaws))
    assert not any((plain.nap, plain.repeats, plain.flaws))
    assert "flaw" in [text.text for text in showy.texts]


def test_large_print_keeps_to_the_paper() -> None:
    """At 14 pt the drawing still fits the paper, its words larger and the cloth no larger than before."""
    usual = sheet_of(lay_of(cut_of(3)))
    large = sheet_of(lay_of(cut_of(3)), has_large_print=True)
    assert large.scale.type_mm / POINT_MM >= 14
    assert large.scale.width_mm <= 277
    assert large.scale.denominator >= usual.scale.denominator


def test_good_selvedges_have_no_inner_line() -> None:
    """Without a selvedge to leave free there is no line inside the edge of the cloth."""
    lay = lay_of(cut_of(1))
    assert sheet_of(lay).drawings[0].usable
    lay.plan.document["lots"]["1"]["selvedge_um"] = 0
    sheet = sheet_of(lay)
    assert not sheet.drawings[0].usable
    assert sheet.pieces[0].from_selvedge_mm == 0


def test_turned_and_face_down() -> None:
    """A piece lies as its placement says; every second one of a pair is face down."""
    cut = cut_of(2)
    turned = {place.piece_key for place in cut.lay.placements if place.is_turned}
    for piece in sheet_of(lay_of(cut)).pieces:
        assert ("turned" in piece.lies) == (piece.key in turned)
        assert ("face down" in piece.lies) == piece.key.endswith("back/2")


def test_length_is_rounded_up_for_the_reader() -> None:
    """The length to measure off is rounded up to a millimetre, for a reader of inches to an eighth, never down."""
    cut = cut_of(1)
    lay = lay_of(replace(cut, lay=replace(cut.lay, length_mm=1000.0)))
    assert sheet_of(lay).length == "100 cm"
    assert sheet_of(lay, length_unit="in").length == "39 3/8 in"  # 1000 mm are 39.3701 in (ISO: 25.4 mm)
    lay = lay_of(replace(cut, lay=replace(cut.lay, length_mm=1000.3)))
    assert sheet_of(lay).length == "100.1 cm"
