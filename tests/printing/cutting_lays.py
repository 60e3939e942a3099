"""Lays laid by hand in rows, stored as plans are, so that their cutting sheets need no database."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

from gowngroup.batches.models import Batch, Kit, Lay, Plan
from gowngroup.catalog.planner import GownNeed, GownPiece, need_to_document
from gowngroup.people.models import Group
from gowngroup.planning.allocation import LotCut
from gowngroup.planning.batch_plan import BatchPlan, to_document
from gowngroup.planning.drafting.piece import Piece
from gowngroup.planning.lay.values import ClothLay, Flaw, LayPiece, PlacedPiece, Strip, outline_size_mm
from gowngroup.printing.planner.cutting import CuttingSheet, cutting_sheet
from gowngroup.printing.planner.pattern import PAPERS, PatternPaper
from gowngroup.records.reader import Reader, current_reader, reading_as
from gowngroup.stock.models import Lot

A4, LETTER = PAPERS
SELVEDGE_MM = 10.0
CLOTH = Strip(usable_width_mm=1100.0, length_mm=60_000.0)
SHOWY = replace(CLOTH, has_nap=True, repeat_mm=320.0, flaws=(Flaw(from_mm=400.0, to_mm=450.0),))
# Name, outline, how many: a panel, a pair of backs, two sleeves, four yokes and a strip on the bias.
GOWN: tuple[tuple[str, tuple[tuple[float, float], ...], int], ...] = (
    ("front", ((0, 0), (420, 0), (440, 360), (-20, 360)), 1),
    ("back", ((0, 0), (210, 0), (230, 360), (0, 360)), 2),
    ("sleeve", ((30, 0), (190, 0), (220, 150), (0, 150)), 2),
    ("yoke", ((0, 0), (90, 0), (90, 61), (0, 61)), 4),
    ("binding", ((0, 120), (18, 102), (138, 222), (120, 240)), 1),
)


def pieces_of(kit_key: str, gown: Iterable[tuple[str, Any, int]] = GOWN) -> Iterator[LayPiece]:
    """The pieces of a kit of one gown."""
    for name, outline, count in gown:
        for number in range(1, count + 1):
            key = f"{kit_key}/{name}/{number}"
            yield LayPiece(key=key, kit_key=kit_key, name=name, number=number, outline=outline)


def in_rows(pieces: Sequence[LayPiece], strip: Strip, *, is_kit_by_kit: bool = False) -> ClothLay:
    """Pieces side by side in rows, each row below the last and clear of flaws; a kit may begin a row of its own."""
    places: list[PlacedPiece] = []
    x_mm, y_mm, row_mm, kit = 0.0, 0.0, 0.0, ""
    for piece in pieces:
        wide_mm, long_mm = outline_size_mm(piece.outline)
        begins = is_kit_by_kit and kit not in ("", piece.kit_key)
        if x_mm + wide_mm > strip.usable_width_mm or begins:
            x_mm, y_mm, row_mm = 0.0, y_mm + row_mm, 0.0
        for flaw in strip.flaws:
            if not x_mm and flaw.from_mm < y_mm + 500 and y_mm < flaw.to_mm:
                y_mm = flaw.to_mm
        places.append(PlacedPiece(piece_key=piece.key, x_mm=x_mm, y_mm=y_mm, is_turned=len(places) % 5 == 4))
        x_mm, row_mm, kit = x_mm + wide_mm, max(row_mm, long_mm), piece.kit_key
    engine = "kit by kit" if is_kit_by_kit else "rows"
    return ClothLay(placements=tuple(places), length_mm=y_mm + row_mm + 4.2, used_share=0.8, engine=engine)


def cut_of(kit_count: int, strip: Strip = CLOTH, *, is_kit_by_kit: bool = False, **changes: Any) -> LotCut:
    """The lay of so many kits of one gown each."""
    gown = changes.pop("gown", GOWN)
    pieces = tuple(piece for number in range(1, kit_count + 1) for piece in pieces_of(str(number), gown))
    return LotCut(
        lot_key="1",
        kit_keys=tuple(str(number) for number in range(1, kit_count + 1)),
        strip=strip,
        pieces=pieces,
        lay=in_rows(pieces, strip, is_kit_by_kit=is_kit_by_kit),
        left_mm=0.0,
        is_left_useful=False,
        **{"before_cutting": "nothing"} | changes,
    )


def lay_of(cut: LotCut, *, lot_state: str = Lot.State.MEASURED, design: str = "Yoke gown") -> Lay:
    """A lay with its plan, as if it had been stored; nothing is saved."""
    plan = Plan(
        batch=Batch(month=date(2026, 3, 1)),
        number=1,
        made_at=datetime(2026, 2, 25, tzinfo=UTC),
        document=_document(cut, design),
    )
    return Lay(pk=7, plan=plan, number=3, lot=Lot(pk=1, code="L12345", state=lot_state), length_um=1)


def _document(cut: LotCut, design: str) -> dict[str, Any]:
    empty: dict[str, Any] = dict.fromkeys(
        ("kits", "moves", "unmade", "bias", "trims", "floss", "thread", "notions", "shortages"), ()
    )
    plan = BatchPlan(format_version=1, engines=("rows",), cuts=(cut,), minutes=0.0, **empty)
    needs = tuple(dict.fromkeys((piece.name, piece.outline) for piece in cut.pieces))
    counts = [max(each.number for each in cut.pieces if each.name == name) for name, _outline in needs]
    need = GownNeed(
        revision_id=1,
        size_id=1,
        purpose="worn",
        pieces=tuple(
            _gown_piece(name, outline, count) for (name, outline), count in zip(needs, counts, strict=True)
        ),
    )
    kit = {"revision_id": 1, "size_id": 1, "purpose": "worn", "gown_count": 1}
    return {
        "format_version": 1,
        "plan": to_document(plan),
        "kits": [{"key": key, **kit} for key in cut.kit_keys],
        "designs": [{"design": design, "length_um": 360_000, **need_to_document(need)}],
        "lots": {
            "1": {
                "code": "L12345",
                "material": "White batiste",
                "place": "shelf 2",
                "selvedge_um": round(SELVEDGE_MM * 1000),
            }
        },
    }


def _gown_piece(name: str, outline: Any, count: int) -> GownPiece:
    pattern = Piece(
        name=name,
        count=count,
        edges=(),
        cut_polygon=outline,
        grain_line=((0.0, 0.0), (0.0, 10.0)),
        notches=(),
        is_pair=name == "back",
        is_symmetric=False,
        is_bias=name == "binding",
        may_turn=True,
    )
    return GownPiece(name=name, part="", pattern=pattern)


def sheet_of(lay: Lay, *, paper: PatternPaper = A4, kits: Iterable[Kit] = (), **reader: Any) -> CuttingSheet:
    """The cutting sheet of a lay for a reader."""
    with reading_as(Reader(paper_size=paper.name, **reader)):
        return cutting_sheet(lay, kits, paper, has_large_print=current_reader().has_large_print)


def context_of(lay: Lay, *, paper: PatternPaper = A4, **reader: Any) -> dict[str, object]:
    """What the sheet's template is given."""
    return {
        "lay": lay,
        "sheet": sheet_of(lay, paper=paper, **reader),
        "paper": paper,
        "group": Group(name="Test circle"),
        "reader": Reader(paper_size=paper.name, **reader),
    }
