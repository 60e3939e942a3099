"""A lay drawn to scale over as many pages as it takes, each piece numbered once; lengths in mm on paper."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from shapely import Polygon, get_parts

from gowngroup.planning.allocation import LotCut
from gowngroup.planning.geometry import Point
from gowngroup.planning.lay.kit_by_kit import ENGINE as KIT_BY_KIT
from gowngroup.planning.tiling import Line, Shape, clipped, polygon_on
from gowngroup.printing.lean_lines import TOLD_APART_MM, lean_line
from gowngroup.printing.planner.cutting import marks
from gowngroup.printing.planner.cutting.breaks import Stretch, stretches
from gowngroup.printing.planner.cutting.labels import Note, Text, beside, inside, near, point_in, words_box
from gowngroup.printing.planner.cutting.pieces import CutPiece
from gowngroup.printing.planner.cutting.scale import Scale
from gowngroup.printing.planner.pattern.drawing import path_data
from gowngroup.records.written import written_number


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPiece:
    """What a page shows of a piece; it belongs to the page that shows most of it and is numbered there."""

    piece: CutPiece
    d: str
    belongs_here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """One page of a lay's drawing."""

    number: int
    scale: Scale
    height_mm: float
    pieces: tuple[DrawnPiece, ...]
    edges: str
    usable: str
    fold: str
    ruler: str
    bar: str
    nap: str
    repeats: str
    flaws: str
    ends: str
    breaks: str
    kits: str
    leaders: str
    dots: tuple[Point, ...]
    texts: tuple[Text, ...]

    @property
    def width_mm(self) -> float:
        """How wide it is."""
        return self.scale.width_mm

    @property
    def own_outlines(self) -> str:
        """The outlines of the pieces that belong to this page, as one path."""
        return "".join(drawn.d for drawn in self.pieces if drawn.belongs_here)

    @property
    def other_outlines(self) -> str:
        """What is seen here of pieces that belong to another page, as one path."""
        return "".join(drawn.d for drawn in self.pieces if not drawn.belongs_here)

    @property
    def numbers(self) -> tuple[int, ...]:
        """The numbers of the pieces that belong to this page."""
        return tuple(drawn.piece.number for drawn in self.pieces if drawn.belongs_here)

    @property
    def title(self) -> str:
        """The drawing in words, for who cannot see it."""
        return _("Drawing %(number)d, scale 1 : %(scale)s. Pieces: %(pieces)s.") % {
            "number": self.number,
            "scale": written_number(f"{self.scale.denominator:g}"),
            "pieces": ", ".join(map(str, self.numbers)),
        }


def drawings_of(
    cut: LotCut, pieces: Sequence[CutPiece], scale: Scale, *, selvedge_mm: float, length_words: str
) -> tuple[Drawing, ...]:
    """The pages of a lay: long ones broken between pieces where that can be, each break shown on both its pages."""
    parts = stretches(pieces, length_mm=cut.lay.length_mm, scale=scale)
    starts = dict(_kit_starts(cut, pieces))
    home = {piece.key: max(parts, key=lambda part: part.holds_mm(piece)) for piece in pieces}
    return tuple(
        _drawing(
            marks.Sheet(cut, part, scale, selvedge_mm),
            [piece for piece in pieces if part.shows(piece)],
            number=number,
            own_keys={piece.key for piece in pieces if home[piece.key] is part},
            kit_starts=starts,
            foot=_foot(number, len(parts), length_words),
        )
        for number, part in enumerate(parts, start=1)
    )


def _foot(number: int, count: int, length_words: str) -> str:
    if number == count:
        return _("Cut across here: %(length)s from the start edge") % {"length": length_words}
    return _("Goes on at mark %(mark)s in drawing %(number)d") % {"mark": _mark(number), "number": number + 1}


def _mark(number: int) -> str:
    """Breaks are lettered; after Z come AA, AB and so on."""
    head, last = divmod(number - 1, 26)
    return (_mark(head) if head else "") + chr(ord("A") + last)


def _drawing(
    sheet: marks.Sheet,
    pieces: Sequence[CutPiece],
    *,
    number: int,
    own_keys: set[str],
    kit_starts: Mapping[str, float],
    foot: str,
) -> Drawing:
    own = [piece for piece in pieces if piece.key in own_keys]
    labels = {piece.key: inside(piece, _seen(sheet, piece), sheet.scale.type_mm) for piece in own}
    flaw_lines, flaw_notes = marks.flaws(sheet)
    kit_lines, kit_notes = _kit_lines(sheet, kit_starts)
    break_lines, break_notes = _breaks(sheet, number)
    unlabelled = [piece for piece in own if not labels[piece.key]]
    near_texts, led = _outside(
        sheet, unlabelled, pieces, [text for found in labels.values() for text in found]
    )
    note_texts, leaders = beside(
        [*led, *flaw_notes, *kit_notes, *break_notes],
        x_mm=sheet.scale.notes_mm,
        top_mm=sheet.scale.head_mm,
        bottom_mm=sheet.end_mm,
        type_mm=sheet.scale.type_mm,
    )
    ruler_lines, ruler_texts = marks.ruler(sheet)
    bar_lines, bar_texts = marks.scale_bar(sheet)
    return Drawing(
        number=number,
        scale=sheet.scale,
        height_mm=sheet.height_mm,
        pieces=tuple(_drawn(sheet, piece, belongs_here=piece.key in own_keys) for piece in pieces),
        edges=path_data(marks.selvedges(sheet)),
        usable=path_data(marks.usable(sheet)),
        fold=path_data(marks.fold(sheet)),
        ruler=path_data(ruler_lines),
        bar=path_data(bar_lines),
        nap=path_data(marks.nap_arrow(sheet)),
        repeats=path_data(marks.repeats(sheet)),
        flaws=path_data(flaw_lines),
        ends=path_data(_ends(sheet)),
        breaks=path_data(break_lines),
        kits=path_data(kit_lines),
        leaders=path_data(leaders),
        dots=tuple(start for start, _end in leaders),
        texts=(
            *(text for found in labels.values() for text in found),
            *near_texts,
            *note_texts,
            *ruler_texts,
            *bar_texts,
            *marks.side_words(sheet),
            marks.end_words(sheet, foot),
        ),
    )


def _on_paper(sheet: marks.Sheet, piece: CutPiece) -> Line:
    points = tuple((sheet.x(x), sheet.y(y)) for x, y in piece.outline)
    return (*points, points[0])


def _window(sheet: marks.Sheet) -> tuple[float, float, float, float]:
    return 0.0, sheet.scale.head_mm, sheet.scale.width_mm, sheet.end_mm


def _drawn(sheet: marks.Sheet, piece: CutPiece, *, belongs_here: bool) -> DrawnPiece:
    """A piece seen whole stays one closed line; else only what the page shows of it."""
    outline = _on_paper(sheet, piece)
    left, top, right, low = _window(sheet)
    is_whole = all(top - 1e-6 <= y <= low + 1e-6 for _x, y in outline)
    lines = [outline] if is_whole else [
        tuple((x + left, y + top) for x, y in line) for line in clipped([outline], (left, top, right, low))
    ]  # fmt: skip
    lean = [lean_line(line, TOLD_APART_MM) for line in lines]
    return DrawnPiece(piece=piece, d=path_data(lean), belongs_here=belongs_here)


def _seen(sheet: marks.Sheet, piece: CutPiece) -> Polygon:
    """What a page shows of a piece, the largest part where it is in several."""
    left, top, right, low = _window(sheet)
    outline = [(x - left, y - top) for x, y in _on_paper(sheet, piece)]
    seen = polygon_on(outline, (0.0, 0.0, right - left, low - top))
    parts = [part for part in get_parts(seen) if isinstance(part, Polygon)]
    largest = max(parts, key=lambda part: part.area)
    return Polygon([(x + left, y + top) for x, y in largest.exterior.coords])


def _outside(
    sheet: marks.Sheet, unlabelled: Sequence[CutPiece], pieces: Sequence[CutPiece], inner: Sequence[Text]
) -> tuple[tuple[Text, ...], tuple[Note, ...]]:
    """Pieces too narrow for their numbers: told on free cloth right beside them, else beside the cloth."""
    seen = {piece.key: _seen(sheet, piece) for piece in unlabelled}
    taken: list[Shape] = [Polygon(_on_paper(sheet, piece)) for piece in pieces] if unlabelled else []
    taken += marks.flawed(sheet)
    texts: list[Text] = []
    notes = []
    for piece in unlabelled:
        others = [*taken, *(words_box(text) for text in texts)]
        if text := near(
            seen[piece.key], piece.mark, others, cloth=marks.cloth(sheet), type_mm=sheet.scale.type_mm
        ):
            texts.append(text)
            continue
        words = [words_box(each) for each in (*inner, *texts)]
        point = point_in(seen[piece.key], words, sheet.scale.right_mm)
        notes.append(Note(text=piece.mark, y_mm=point[1], point=point))
    return tuple(texts), tuple(notes)


def _kit_lines(
    sheet: marks.Sheet, kit_starts: Mapping[str, float]
) -> tuple[tuple[Line, ...], tuple[Note, ...]]:
    """A line where each kit's stretch begins, and whose it is."""
    found = [(start, kit) for kit, start in kit_starts.items() if sheet.shows(start)]
    return (
        tuple(sheet.across(start, right_mm=3.0) for start, _kit in found),
        tuple(Note(text=_("kit %(kit)s") % {"kit": kit}, y_mm=sheet.y(start) + 2.0) for start, kit in found),
    )


def _kit_starts(cut: LotCut, pieces: Sequence[CutPiece]) -> Iterator[tuple[str, float]]:
    """Where each kit's stretch begins; nothing where the kits are cut together."""
    if cut.lay.engine == KIT_BY_KIT:
        yield from ((kit, start) for kit, start, _end in kit_stretches(pieces))


def kit_stretches(pieces: Sequence[CutPiece]) -> Iterator[tuple[str, float, float]]:
    """Each kit with where its pieces begin and end along the cloth, in mm, as they come."""
    for kit in dict.fromkeys(piece.kit_key for piece in pieces):
        own = [piece for piece in pieces if piece.kit_key == kit]
        yield kit, min(piece.from_start_mm for piece in own), max(piece.end_mm for piece in own)


def _ends(sheet: marks.Sheet) -> tuple[Line, ...]:
    """The start edge and where the lay is cut off, where the page shows them."""
    edges = (0.0, sheet.cut.lay.length_mm)
    return tuple(sheet.across(edge, left_mm=4.0, right_mm=3.0) for edge in edges if sheet.shows(edge))


def _breaks(sheet: marks.Sheet, number: int) -> tuple[tuple[Line, ...], tuple[Note, ...]]:
    """The marks at which this page meets the one before and the one after."""
    part: Stretch = sheet.stretch
    found = [(part.from_mm, _mark(number - 1))] if number > 1 else []
    found += [(part.to_mm, _mark(number))] if part.to_mm < sheet.cut.lay.length_mm else []
    return (
        tuple(sheet.across(place, left_mm=6.0, right_mm=3.0) for place, _letter in found),
        tuple(
            Note(text=_("mark %(mark)s") % {"mark": letter}, y_mm=sheet.y(place)) for place, letter in found
        ),
    )
