"""Patterns on tiles of paper: nothing split that need not be, nothing lost, nothing printed twice for nothing."""

import math
from itertools import combinations

import pytest
import shapely

from gowngroup.planning.geometry import PolygonPoints
from gowngroup.planning.tiling import (
    NothingToArrange,
    Placed,
    Room,
    Sheet,
    SheetPiece,
    TileSize,
    arrange,
    clipped,
    free_corner,
    is_clear,
    joins_of,
    one_page,
    polygon_on,
    turned_outline,
)
from tests.planning.drafts import usual

A4 = TileSize(width_mm=193.0, height_mm=260.0, overlap_mm=10.0)
HANDY = (SheetPiece(key="a", outline=((0.0, 0.0), (90.0, 0.0), (90.0, 40.0), (0.0, 40.0))),)


def box(key: str, width_mm: float, height_mm: float, **more: object) -> SheetPiece:
    corners = ((0.0, 0.0), (width_mm, 0.0), (width_mm, height_mm), (0.0, height_mm))
    return SheetPiece(key=key, outline=corners, **more)  # type: ignore[arg-type]


def pieces_of(kind: str, mass_g: float) -> tuple[SheetPiece, ...]:
    """The pieces of a drafted gown, strips on the bias laid straight."""
    return tuple(
        SheetPiece(
            key=piece.name,
            outline=piece.cut_polygon,
            turns_deg=(45.0, -45.0) if piece.is_bias else (0.0, 90.0),
            caption_mm=(90.0, 18.0) if piece.is_bias else (0.0, 0.0),
        )
        for piece in usual(kind, mass_g).pieces
    )


def on_sheet(sheet: Sheet, pieces: tuple[SheetPiece, ...]) -> dict[str, PolygonPoints]:
    return {piece.key: sheet.place(piece.key).on_sheet(piece.outline) for piece in pieces}


@pytest.mark.parametrize(("kind", "mass_g"), [("yoke", 1500), ("round-neck", 2500), ("wrap", 250)])
def test_every_piece_is_shown_whole(kind: str, mass_g: float) -> None:
    """The tiles a piece is listed on show all of it, and no two pieces lie on one another."""
    pieces = pieces_of(kind, mass_g)
    sheet = arrange(pieces, A4)
    shapes = {key: shapely.Polygon(outline) for key, outline in on_sheet(sheet, pieces).items()}
    for piece in pieces:
        tiles = [tile for tile in sheet.tiles if piece.key in tile.piece_keys]
        shown = shapely.union_all([shapely.box(*A4.box(tile.column, tile.row)) for tile in tiles])
        assert shown.buffer(1e-6).covers(shapes[piece.key])
    assert all(one.disjoint(other) for one, other in combinations(shapes.values(), 2))


def test_no_tile_is_printed_for_nothing() -> None:
    """Each printed tile shows a piece; the others are named as empty, and together they are all of the sheet."""
    sheet = arrange(pieces_of("round-neck", 2500), A4)
    assert all(tile.piece_keys for tile in sheet.tiles)
    assert len(sheet.tiles) + len(sheet.empty_cells) == sheet.column_count * sheet.row_count
    assert [tile.number for tile in sheet.tiles] == list(range(1, len(sheet.tiles) + 1))


def test_fewer_tiles_than_the_pieces_by_themselves() -> None:
    """Together the pieces of a gown take fewer pages than each on pages of its own."""
    pieces = pieces_of("yoke", 1500)
    alone = sum(len(arrange((piece,), A4).tiles) for piece in pieces)
    assert len(arrange(pieces, A4).tiles) < alone


def test_a_piece_that_fits_one_tile_is_not_split() -> None:
    """Twelve pieces of half a tile each take six tiles, every one whole on one of them."""
    pieces = tuple(box(str(number), 180.0, 120.0) for number in range(12))
    sheet = arrange(pieces, A4)
    assert len(sheet.tiles) == 6
    assert sorted(key for tile in sheet.tiles for key in tile.piece_keys) == sorted(p.key for p in pieces)


def test_a_piece_goes_round_the_edge_of_a_tile() -> None:
    """Below a piece over two tiles, two small ones lie each whole on one of them, not side by side over the edge."""
    small = [box(key, 120.0, 90.0, turns_deg=(0.0,)) for key in ("b", "c")]
    sheet = arrange((box("a", 370.0, 150.0, turns_deg=(0.0,)), *small), A4)
    assert [sum(piece.key in tile.piece_keys for tile in sheet.tiles) for piece in small] == [1, 1]
    assert len(sheet.tiles) == 2


def test_a_piece_is_turned_where_that_saves_a_page() -> None:
    """A piece as long as a page and wider than one is laid along the page, and straight to the last digit."""
    sheet = arrange((box("a", 250.0, 100.0),), A4)
    assert len(sheet.tiles) == 1
    assert {round(x, 9) for x, _ in on_sheet(sheet, (box("a", 250.0, 100.0),))["a"]} == {2.0, 102.0}


def test_a_wide_piece_is_split_over_the_fewest() -> None:
    """Two steps of a tile and one overlap are two tiles, a hair more is three."""
    wide_mm, gap_mm = 2 * A4.step_x_mm + A4.overlap_mm, 4.0
    fitting = box("a", wide_mm - gap_mm, 255.0, turns_deg=(0.0,))
    larger = box("a", wide_mm - gap_mm + 0.01, 255.0, turns_deg=(0.0,))
    assert [len(arrange((piece,), A4).tiles) for piece in (fitting, larger)] == [2, 3]


def test_a_tile_a_slanting_piece_never_touches_is_left_out() -> None:
    """A triangle over three by three tiles needs only those it touches."""
    triangle = ((0.0, 0.0), (540.0, 0.0), (0.0, 740.0))
    piece = SheetPiece(key="a", outline=triangle, turns_deg=(0.0,))
    sheet = arrange((piece,), A4)
    assert (sheet.column_count, sheet.row_count) == (3, 3)
    assert (2, 2) in sheet.empty_cells
    assert sheet.size_mm == (3 * A4.step_x_mm + 10, 3 * A4.step_y_mm + 10)


def test_words_below_or_beside_a_piece_keep_their_room() -> None:
    """Words of a slender piece stand below it or beside it, clear of all other pieces."""
    pieces = (box("strip", 20.0, 250.0, turns_deg=(0.0,), caption_mm=(80.0, 20.0)), box("other", 80.0, 250.0))
    sheet = arrange(pieces, A4)
    x, y = sheet.place("strip").caption
    words = shapely.box(x, y, x + 80.0, y + 20.0)
    assert len(sheet.tiles) == 1
    assert all(words.disjoint(shapely.Polygon(outline)) for outline in on_sheet(sheet, pieces).values())


@pytest.mark.parametrize(
    "pieces",
    [
        (box("other", 185.0, 200.0), box("strip", 700.0, 24.0, caption_mm=(100.0, 20.0))),
        (box("other", 185.0, 90.0), box("strip", 300.0, 24.0, caption_mm=(100.0, 20.0))),
        # Put where it saves most, the strip would have its words beyond the tiles that show it.
        (box("other", 240.0, 160.0), box("strip", 260.0, 20.0, caption_mm=(100.0, 20.0))),
        (box("other", 110.0, 240.0), box("strip", 260.0, 24.0, caption_mm=(100.0, 20.0))),
        (box("other", 193.0, 150.0), box("strip", 100.0, 60.0, caption_mm=(150.0, 50.0))),
    ],
)
def test_one_tile_shows_the_words_whole(pieces: tuple[SheetPiece, ...]) -> None:
    """However a strip lies, one of its tiles has room for all the words below or beside it, slid along if need be."""
    sheet = arrange(pieces, A4)
    place, (width_mm, height_mm) = sheet.place("strip"), pieces[1].caption_mm
    x, y = place.caption
    starts = (min(max(x, A4.box(tile.column, 0)[0] + 2), x + place.caption_slide_mm) for tile in sheet.tiles)
    assert any(
        shapely.box(*A4.box(tile.column, tile.row)).covers(
            shapely.box(start, y, start + width_mm, y + height_mm)
        )
        for tile, start in zip(sheet.tiles, starts, strict=True)
        if "strip" in tile.piece_keys
    )


def test_nothing_to_arrange() -> None:
    """Without pieces there is no sheet and no page."""
    with pytest.raises(NothingToArrange):
        arrange((), A4)
    with pytest.raises(NothingToArrange):
        one_page(())


def test_a_piece_that_is_not_there() -> None:
    """Asking for a piece that is not on the sheet is an error of its own."""
    with pytest.raises(KeyError):
        arrange(HANDY, A4).place("b")


def test_tiles_are_joined_where_a_piece_runs_across() -> None:
    """A piece over two by two tiles joins four pairs, lettered; a piece beside it joins none."""
    pieces = (box("large", 360.0, 500.0), box("small", 150.0, 240.0))
    sheet = arrange(pieces, A4)
    joins = joins_of(sheet, on_sheet(sheet, pieces))
    large = {tile.number for tile in sheet.tiles if "large" in tile.piece_keys}
    assert [join.letter for join in joins] == ["A", "B", "C", "D"]
    assert all({join.first, join.second} <= large for join in joins)
    for join in joins:
        left, top, right, bottom = join.strip
        across = right - left if join.side == "right" else bottom - top
        assert across == pytest.approx(10.0)


def test_letters_go_on_after_z() -> None:
    """The 27th join is AA."""
    piece = box("a", 1000.0, 900.0)
    sheet = arrange((piece,), A4)
    letters = [join.letter for join in joins_of(sheet, on_sheet(sheet, (piece,)))]
    assert letters[25:28] == ["Z", "AA", "AB"]


def test_clipped_lines_add_up_to_the_whole() -> None:
    """What tiles show of a slanting line is the line, each part measured from its tile's corner."""
    line = ((3.0, 5.0), (400.0, 500.0))
    boxes = [A4.box(column, row) for column in range(3) for row in range(2)]
    parts = [
        shapely.LineString([(x + left, y + top) for x, y in part])
        for left, top, right, bottom in boxes
        for part in clipped([line], (left, top, right, bottom))
    ]
    whole = shapely.LineString(line)
    assert shapely.union_all(parts).buffer(1e-6).covers(whole)
    assert all(whole.buffer(1e-6).covers(part) for part in parts)
    assert clipped([((193.0, 260.0), (300.0, 400.0))], A4.box(0, 0)) == ()


def test_room_keeps_clear_of_lines_and_boxes() -> None:
    """The nearest free place is clear of lines and boxes by more than a millimetre; none is none."""
    room = Room(
        area=polygon_on(((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)), (0.0, 0.0, 90.0, 90.0)),
        lines=(((0.0, 50.0), (100.0, 50.0)),),
        boxes=((0.0, 0.0, 40.0, 40.0),),
    )
    corner = free_corner(room.free, (40.0, 30.0), near=(0.0, 0.0))
    assert corner is not None
    assert corner[0] >= 40.0
    assert corner[1] + 30.0 <= 48.5
    assert free_corner(room.free, (80.0, 49.0), near=(0.0, 0.0)) is None
    assert free_corner(shapely.Polygon(), (1.0, 1.0), near=(0.0, 0.0)) is None


def test_clear_of_every_line() -> None:
    """A box is clear only where no line touches it."""
    lines = [((0.0, 0.0), (10.0, 10.0))]
    assert is_clear((6.0, 0.0, 9.0, 2.0), lines)
    assert not is_clear((4.0, 4.0, 9.0, 6.0), lines)


def test_one_page_holds_all() -> None:
    """On one large page no two pieces touch and all lie within the size it names."""
    pieces = pieces_of("yoke", 1500)
    places, (width_mm, height_mm) = one_page(pieces)
    by_key = {place.key: place for place in places}
    shapes = [shapely.Polygon(by_key[piece.key].on_sheet(piece.outline)) for piece in pieces]
    page = shapely.box(0.0, 0.0, width_mm, height_mm).buffer(1e-6)
    assert width_mm <= 800.0
    assert all(page.covers(shape) for shape in shapes)
    assert all(one.disjoint(other) for one, other in combinations(shapes, 2))


def test_one_page_as_wide_as_its_widest_piece() -> None:
    """A piece wider than a roll of paper makes the page as wide as itself."""
    _, size_mm = one_page((box("a", 1200.0, 300.0),))
    assert size_mm == pytest.approx((1200.0, 300.0))


def test_turning_keeps_lengths() -> None:
    """An outline turned aslant keeps the length of its sides and starts at the corner of its box."""
    turned = turned_outline(((5.0, 5.0), (25.0, 5.0), (25.0, 15.0)), 30.0)
    assert math.dist(turned[0], turned[1]) == pytest.approx(20.0)
    assert math.dist(turned[1], turned[2]) == pytest.approx(10.0)
    assert min(x for x, _ in turned) == pytest.approx(0.0)
    place = Placed(key="", angle_deg=180.0, move_x_mm=10.0, move_y_mm=10.0, caption=(0.0, 0.0))
    assert place.on_sheet([(1.0, 2.0)]) == ((9.0, 8.0),)
