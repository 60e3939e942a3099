"""The full-size pattern of a gown: its pieces with every line on them, and what is written on each."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.catalog.models import DesignSize
from gowngroup.catalog.planner import GownNeed, GownPiece, draft_of, planner_settings
from gowngroup.planning.drafting import CannotDraft, Draft
from gowngroup.planning.geometry import bounding_box_mm
from gowngroup.planning.pleater_rows import (
    RunningRow,
    armhole_template,
    running_rows,
    smocked_piece_names,
)
from gowngroup.planning.tiling import SheetPiece, turned_outline
from gowngroup.printing.planner.pattern.labels import Label, label_of
from gowngroup.printing.planner.pattern.lines import PieceLines, piece_lines, template_lines
from gowngroup.printing.templatetags.sheets import fine_length
from gowngroup.records.errors import Refusal
from gowngroup.records.templatetags.gown import mm_length
from gowngroup.records.written import known

LEVEL_MM = 1.0  # a row end that is closer to the side lies level with it
UPRIGHT = (0.0, 90.0)
BIAS = (45.0, -45.0)  # a strip cut on the bias lies straight on paper, its grain aslant


class NoPattern(Refusal):
    """This size has no pieces that could be drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternPiece:
    """One piece of the pattern: numbered as in the list, with its lines and what is written on it."""

    number: int
    name: str
    cut_words: str
    lines: PieceLines
    label: Label
    sheet_piece: SheetPiece

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width across the cloth and length along it; of a strip on the bias its own length and width."""
        turns_deg = self.sheet_piece.turns_deg
        upright = 0.0 if 0.0 in turns_deg else turns_deg[0]
        _left, _top, right, bottom = bounding_box_mm(turned_outline(self.sheet_piece.outline, upright))
        return right, bottom

    @property
    def key(self) -> str:
        """The piece's key on the sheet."""
        return self.sheet_piece.key


@dataclass(frozen=True, slots=True, kw_only=True)
class RowLine:
    """One row of the pleating guide in words."""

    name: str
    depth: str
    end: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """A gown's pattern: pieces, the rows to thread, and what keeps the gown from being made."""

    design: str
    size: str
    pieces: tuple[PatternPiece, ...]
    rows: tuple[RowLine, ...]
    need: GownNeed
    type_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Writing:
    """What every label ends with, and the size of the type."""

    about: str
    type_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pleated:
    """A draft with the rows that run across each of its smocked pieces."""

    draft: Draft
    rows: dict[str, tuple[RunningRow, ...]]


def pattern_of(
    need: GownNeed, *, design_size: DesignSize, purpose: str, size: str, type_mm: float
) -> Pattern:
    """The pattern of a gown's need; raises NoPattern where no piece is known.

    Rows are drawn on the pieces where the draft of today still has those very pieces.
    """
    design = str(design_size.revision.design)
    writing = _Writing(about=f"{design}, {size}", type_mm=type_mm)
    if not need.pieces:
        raise NoPattern(" ".join(need.faults) or _("No pieces have been entered for this size yet."))
    pleated = _pleated(need, design_size, purpose)
    pieces = [_piece(number, piece, pleated, writing) for number, piece in enumerate(need.pieces, start=1)]
    return Pattern(
        design=design,
        size=size,
        pieces=(*pieces, *_template(len(pieces) + 1, pleated, writing)),
        rows=_row_lines(pleated, need),
        need=need,
        type_mm=type_mm,
    )


def _pleated(need: GownNeed, design_size: DesignSize, purpose: str) -> _Pleated | None:
    if not design_size.revision.design.is_drafted():
        return None
    settings = planner_settings()
    try:
        draft = draft_of(design_size, purpose, settings)
    except CannotDraft:
        return None
    patterns = {piece.part: piece.pattern for piece in need.pieces}
    names = smocked_piece_names(draft)
    if any(patterns.get(name) != draft.piece(name) for name in names):
        return None
    holding = settings.pleater.holding_row_count
    return _Pleated(
        draft=draft,
        rows={name: running_rows(draft, draft.piece(name), holding_row_count=holding) for name in names},
    )


def _piece(number: int, piece: GownPiece, pleated: _Pleated | None, writing: _Writing) -> PatternPiece:
    rows = pleated.rows.get(piece.part, ()) if pleated else ()
    return _drawn(
        number=number,
        name=known(piece.name),
        cut_words=_cut_words(piece),
        lines=piece_lines(piece.pattern, rows),
        turns_deg=_turns_deg(piece),
        writing=writing,
    )


def _drawn(
    *,
    number: int,
    name: str,
    cut_words: str,
    lines: PieceLines,
    turns_deg: tuple[float, ...],
    writing: _Writing,
) -> PatternPiece:
    """A piece with its label, and how it may lie on the sheet."""
    texts = (f"{number}  {name}", cut_words, writing.about)
    label = label_of(texts, lines, turns_deg=turns_deg, type_mm=writing.type_mm)
    sheet_piece = SheetPiece(
        key=str(number), outline=lines.outline, turns_deg=turns_deg, caption_mm=label.caption_mm
    )
    return PatternPiece(
        number=number, name=name, cut_words=cut_words, lines=lines, label=label, sheet_piece=sheet_piece
    )


def _turns_deg(piece: GownPiece) -> tuple[float, ...]:
    """The ways round a piece may be drawn, the one that lies widest first."""
    boxes = {
        angle_deg: bounding_box_mm(turned_outline(piece.outline, angle_deg))
        for angle_deg in (BIAS if piece.pattern.is_bias else UPRIGHT)
    }
    return tuple(sorted(boxes, key=lambda angle_deg: -boxes[angle_deg][2]))


def _cut_words(piece: GownPiece) -> str:
    if piece.pattern.is_pair and piece.count > 1:
        return ngettext(
            "Cut %(count)d from the gown’s cloth, every second one turned over",
            "Cut %(count)d from the gown’s cloth, every second one turned over",
            piece.count,
        ) % {"count": piece.count}
    return ngettext(
        "Cut %(count)d from the gown’s cloth", "Cut %(count)d from the gown’s cloth", piece.count
    ) % {"count": piece.count}


def _template(number: int, pleated: _Pleated | None, writing: _Writing) -> Sequence[PatternPiece]:
    """The armhole template as one more piece, where rows end at an armhole."""
    if pleated is None or pleated.draft.panel is None:
        return ()
    template = armhole_template(pleated.draft.piece("front panel"), pleated.rows["front panel"])
    if template is None:
        return ()
    return (
        _drawn(
            number=number,
            name=_("armhole template"),
            cut_words=_("Of paper or card, not of cloth: where each row ends"),
            lines=template_lines(template),
            turns_deg=(0.0,),
            writing=writing,
        ),
    )


def _row_lines(pleated: _Pleated | None, need: GownNeed) -> tuple[RowLine, ...]:
    rows = next(iter(pleated.rows.values()), ()) if pleated else ()
    return tuple(
        RowLine(
            name=str(row.number) if row.number else _("holding"),
            depth=_depth(row),
            end=_end(row, is_strip=pleated is not None and pleated.draft.panel is None, need=need),
        )
        for row in rows
    )


def _depth(row: RunningRow) -> str:
    if row.depth_mm < 0:
        return _("%(length)s above") % {"length": fine_length(-row.depth_mm)}
    return fine_length(row.depth_mm)


def _end(row: RunningRow, *, is_strip: bool, need: GownNeed) -> str:
    if is_strip:
        return _("runs on from piece to piece, all round")
    if not row.in_from_side_mm or need.pleating is None:
        return _("at the side")
    if row.in_from_side_mm < LEVEL_MM:
        return _("at the armhole, level with the side")
    pleats = round(row.in_from_side_mm / need.pleating.take_up_mm)
    where = ngettext(
        "at the armhole, %(length)s or %(count)d pleat short of the side",
        "at the armhole, %(length)s or %(count)d pleats short of the side",
        pleats,
    )
    return where % {"length": mm_length(row.in_from_side_mm), "count": pleats}
