"""Words inside the pattern: never wider than reckoned, broken where they must be, and always somewhere."""

import unicodedata
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import font_source_sans_pro
import pytest
import shapely
from django.http import Http404
from django.test import RequestFactory
from fontTools.ttLib import TTFont

from gowngroup.catalog.actions import start_catalog
from gowngroup.catalog.models import DesignSize
from gowngroup.catalog.planner import GownNeed, gown_need
from gowngroup.people.models import Person
from gowngroup.planning.drafting import Notch
from gowngroup.planning.rectangles import RectanglePiece, rectangle_as_piece
from gowngroup.printing.planner.pattern import PAPERS, USUAL_MM, heading, pattern_of, tiled_pattern
from gowngroup.printing.planner.pattern.drawing import SQUARES_MM
from gowngroup.printing.planner.pattern.labels import Label, words_box
from gowngroup.printing.planner.pattern.laid import laid_out
from gowngroup.printing.planner.pattern.lines import piece_lines
from gowngroup.printing.planner.pattern.pattern import Pattern
from gowngroup.printing.planner.pattern.tile_words import tile_words
from gowngroup.printing.planner.pattern.words import text_width_mm, wrapped
from gowngroup.printing.views.pattern import pattern as pattern_page

NAMES = (
    "front panel, to be smocked (every second one turned over) 12 345 67890",
    "Belegstreifenverstärkungsstückchenzuschnittvorlage",
    "Mieczysława Grzegżółka, ŁÓDŹ",
    "Nguyễn Thị Hương, mặt trước",
    "Πίσω κομμάτι με σούρα",
    "Передняя деталь ЖЩШЮ",
    "WWWWMMMM@@%%&&mmmwww……——½¾",
    "rtrtrtfr-(/)",
    "0123456789+=",
    "NHUOQDNHUOQD",
    "dpqbhudpqbhu",
)


@pytest.fixture(scope="module")
def advances() -> dict[str, float]:
    """Widths of letters in the font file itself, in shares of the type size."""
    folder = Path(font_source_sans_pro.__file__).parent
    font = TTFont(next(folder.rglob("SourceSansPro-Semibold.ttf")))
    return {
        chr(code): font["hmtx"][glyph][0] / font["head"].unitsPerEm
        for code, glyph in font.getBestCmap().items()
    }


@pytest.fixture
def yoke(coordinator: Person, at: datetime) -> DesignSize:
    start_catalog(by=coordinator, at=at)
    return DesignSize.objects.select_related("revision__design", "revision__chart", "size").get(
        revision__design__name__startswith="Yoke", size__upper_mass_g=1500
    )


def need_of(row: DesignSize) -> GownNeed:
    return gown_need(revision=row.revision, size=row.size)


def made(row: DesignSize, need: GownNeed) -> Pattern:
    return pattern_of(need, design_size=row, purpose="worn", size="for a baby up to 40 cm", type_mm=USUAL_MM)


@pytest.mark.parametrize("name", NAMES)
def test_words_are_never_wider_than_reckoned(name: str, advances: dict[str, float]) -> None:
    """The width reckoned for a line is at least that of its letters in the font's own file, and not twice as much."""
    real_mm = 10 * sum(advances[letter] for letter in unicodedata.normalize("NFC", name))
    assert real_mm <= text_width_mm(name, 10.0) <= 2 * real_mm


def test_letters_the_face_lacks_take_room_too() -> None:
    """Letters of other scripts count as wide as high; a combining mark takes no room of its own."""
    assert text_width_mm("אב漢", 10.0) >= 30
    assert text_width_mm("e\u0301", 10.0) == text_width_mm("e", 10.0)


@pytest.mark.parametrize("name", NAMES)
def test_lines_keep_their_width_and_lose_nothing(name: str) -> None:
    """Set to forty millimetres no line is wider, and every letter is still there in its order."""
    lines = wrapped(name, 40.0, 5.0)
    assert all(text_width_mm(line, 5.0) <= 40.0 for line in lines)
    assert "".join(lines).replace(" ", "") == name.replace(" ", "")


def test_a_hard_space_is_never_broken() -> None:
    """A number stays with its unit."""
    assert wrapped("up to 2500\u00a0g", 16.0, 4.0)[-1] == "2500\u00a0g"


def test_a_long_design_name_is_cut_short_above_tiles(yoke: DesignSize) -> None:
    """A name of eighty wide letters is cut short, so that the heading of a tile keeps its three lines."""
    pattern = made(yoke, need_of(yoke))
    assert heading(pattern, PAPERS[0]) == pattern.design
    short = heading(replace(pattern, design="W" * 80), PAPERS[0])
    assert short.endswith("W…")
    assert text_width_mm(short, USUAL_MM) < 2 * 194.0


def test_words_without_room_still_stand_on_the_page(yoke: DesignSize) -> None:
    """A label longer than any place there is stands over the lines, inside the frame of its tile."""
    pattern = made(yoke, need_of(yoke))
    label = Label(texts=("word " * 120,), type_mm=USUAL_MM)
    crowded = replace(pattern, pieces=(replace(pattern.pieces[4], label=label),))
    laid = laid_out(crowded, PAPERS[0], has_large_print=False)
    (words,) = tile_words(laid).values()
    assert len(words) > 30
    assert all(0 < each.x_mm < laid.sheet.tile.width_mm for each in words)


def test_squares_keep_off_the_words(yoke: DesignSize) -> None:
    """On a full tile a test square lies over a line rather than over words (common practice, no source)."""
    small = DesignSize.objects.get(revision=yoke.revision, size__upper_mass_g=750)
    tiled = tiled_pattern(made(small, need_of(small)), PAPERS[0], has_large_print=False)
    assert len(tiled.pages) == 5
    for page in tiled.pages:
        taken = shapely.union_all([shapely.box(*words_box(each, USUAL_MM)) for each in page.words])
        for square, (_name, side_mm) in zip(page.squares, SQUARES_MM, strict=True):
            middle = shapely.Point(square.words.x_mm, square.words.y_mm - 0.35 * USUAL_MM)
            assert not taken.intersects(middle.buffer(side_mm / 2 - 1.0, cap_style="square"))


def test_rows_only_on_the_pieces_they_were_drafted_for(yoke: DesignSize) -> None:
    """Where the draft of today cuts other pieces, or can no longer be made, no pleater row is drawn on the old ones."""
    need = need_of(yoke)
    assert made(yoke, need).rows
    for overrides in ({"length_mm": 290.0}, {"pleat_count": 75.0}):
        yoke.overrides = overrides
        assert made(yoke, need).rows == ()


def test_a_piece_without_allowance_has_no_seam_line() -> None:
    """A rectangle entered with its seams has a cutting line alone; a notch without an allowance is no stroke."""
    piece = rectangle_as_piece(RectanglePiece(name="a", count=1, width_mm=100.0, length_mm=50.0))
    notch = Notch(edge="a", seam_point=(50.0, 0.0), cut_point=(50.0, 0.0))
    lines = piece_lines(replace(piece, notches=(notch,)), ())
    assert lines.seam == ()
    assert lines.notch == ()
    assert len(lines.cut) == 1


def test_a_design_made_for_nobody(yoke: DesignSize, packer: Person) -> None:
    """A revision that is made neither to wear nor as a memorial gown has no pattern."""
    type(yoke.revision).objects.update(is_for_worn=False, is_for_memorial=False)
    request = RequestFactory().get("/")
    request.user = packer
    with pytest.raises(Http404):
        pattern_page(request, yoke.revision_id, yoke.size_id)
