"""What stands on a lay's cutting sheet, from its stored plan alone."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from django.utils.translation import gettext as _

from gowngroup.batches.models import Kit, Lay
from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.planning.allocation import LotCut
from gowngroup.planning.lay.folded import folded_stretch_mm
from gowngroup.planning.lay.kit_by_kit import ENGINE as KIT_BY_KIT
from gowngroup.planning.lay.values import SAME_MM
from gowngroup.printing import words
from gowngroup.printing.addresses import page_address
from gowngroup.printing.planner.cutting.drawing import Drawing, drawings_of, kit_stretches
from gowngroup.printing.planner.cutting.marks import bar_mm
from gowngroup.printing.planner.cutting.pieces import CutPiece, cut_pieces
from gowngroup.printing.planner.cutting.scale import Scale, best_scale
from gowngroup.printing.planner.pattern import PatternPaper
from gowngroup.printing.qr import QrCode, qr_code
from gowngroup.records.codes import spaced
from gowngroup.records.errors import Refusal
from gowngroup.records.reader import current_reader
from gowngroup.records.templatetags.gown import mm_length

STEPS_MM = {"cm": 1.0, "in": 25.4 / 8}  # what one measures off to


class NoCuttingSheet(Refusal):
    """The plan of a lay cannot be read, or knows nothing of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TickRow:
    """Pieces of a kit that are alike, each by its number."""

    name: str
    across_mm: float
    along_mm: float
    numbers: tuple[int, ...]

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self.numbers)


@dataclass(frozen=True, slots=True, kw_only=True)
class TickList:
    """A kit with what is cut for it; its stretch is told where the cloth is cut kit by kit."""

    kit_key: str
    code: str
    design: str
    gowns: str
    size: str
    stretch: str
    is_written_off: bool
    rows: tuple[TickRow, ...]

    @property
    def piece_count(self) -> int:
        """All its pieces."""
        return sum(row.count for row in self.rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingSheet:
    """Everything on the sheet of one lay; lengths in mm of cloth."""

    lot: Mapping[str, object]
    length: str
    usable_mm: float
    folded: str
    selvedge_mm: float
    repeat_mm: float
    has_nap: bool
    flaws: tuple[str, ...]
    wash_first: str
    scale: Scale
    drawings: tuple[Drawing, ...]
    kits: tuple[TickList, ...]
    pieces: tuple[CutPiece, ...]
    qr: QrCode

    @property
    def bar_mm(self) -> float:
        """Length of the scale bar on paper."""
        return bar_mm(self.scale)

    @property
    def bar_cloth_mm(self) -> float:
        """Length of cloth the scale bar stands for."""
        return self.bar_mm * self.scale.denominator

    @property
    def is_kit_by_kit(self) -> bool:
        """Has each kit a stretch of its own?"""
        return any(kit.stretch for kit in self.kits)


def cutting_sheet(
    lay: Lay, kits: Iterable[Kit], paper: PatternPaper, *, has_large_print: bool
) -> CuttingSheet:
    """The sheet of a lay on a paper; `kits` are its rows, for their codes. Raises NoCuttingSheet."""
    try:
        return _sheet(
            lay,
            StoredPlan.of(lay.plan),
            kits={str(kit.number): kit for kit in kits},
            paper=paper,
            has_large_print=has_large_print,
        )
    except (*UNREADABLE, StopIteration) as error:
        raise NoCuttingSheet(
            _(
                "The plan of this lay cannot be read, so there is no cutting sheet. Please ask the coordinator."
            )
        ) from error


def _sheet(
    lay: Lay,
    stored: StoredPlan,
    *,
    kits: Mapping[str, Kit],
    paper: PatternPaper,
    has_large_print: bool,
) -> CuttingSheet:
    cut = next(each for each in stored.plan.cuts if each.lot_key == str(lay.lot_id))
    lot, strip = stored.lot(cut.lot_key), cut.strip
    pieces = cut_pieces(stored, cut)
    selvedge_mm = lot["selvedge_um"] / 1000
    length = length_to_measure(cut.lay.length_mm)
    folded_mm = folded_stretch_mm(cut.pieces, strip, cut.lay)
    scale = best_scale(
        paper,
        cloth_width_mm=strip.usable_width_mm + 2 * selvedge_mm,
        length_mm=cut.lay.length_mm,
        has_large_print=has_large_print,
    )
    return CuttingSheet(
        lot=lot,
        length=length,
        usable_mm=strip.usable_width_mm,
        folded=length_to_measure(folded_mm) if folded_mm else "",
        selvedge_mm=selvedge_mm,
        repeat_mm=strip.repeat_mm,
        has_nap=strip.has_nap,
        flaws=tuple(_stretch(flaw.from_mm, flaw.to_mm) for flaw in strip.flaws),
        wash_first=_wash_first(lay, cut, length),
        scale=scale,
        drawings=drawings_of(cut, pieces, scale, selvedge_mm=selvedge_mm, length_words=length),
        kits=tuple(_tick_lists(stored, cut, pieces, kits)),
        pieces=pieces,
        qr=qr_code(page_address("batches:lay_page", str(lay.pk)), symbol_mm=18),
    )


def length_to_measure(length_mm: float) -> str:
    """A length rounded up to what the reader measures to: millimetres or eighths of an inch."""
    step_mm = STEPS_MM[current_reader().length_unit]
    return mm_length(ceil((length_mm - SAME_MM) / step_mm) * step_mm)


def _stretch(from_mm: float, to_mm: float) -> str:
    return _("from %(start)s to %(end)s") % {"start": mm_length(from_mm), "end": mm_length(to_mm)}


def _wash_first(lay: Lay, cut: LotCut, length: str) -> str:
    """What must be done before this cloth is cut; empty where it had been measured before it was planned."""
    if cut.before_cutting == "nothing" and lay.lot.can_be_cut():
        return ""
    first = (
        _("Measure it first.") if cut.before_cutting == "measure" else _("Wash, dry and measure it first.")
    )
    needed = _(
        "This lay needs %(length)s of length and %(width)s between the selvedges. If the cloth is shorter or "
        "narrower than that, do not cut; plan it anew."
    ) % {"length": length, "width": mm_length(cut.strip.usable_width_mm)}
    return f"{first} {needed}"


def _tick_lists(
    stored: StoredPlan, cut: LotCut, pieces: Sequence[CutPiece], kits: Mapping[str, Kit]
) -> Iterator[TickList]:
    found = {key: _stretch(start, end) for key, start, end in kit_stretches(pieces)}
    for key in sorted(found, key=lambda each: (len(each), each)):
        design, kit = stored.design_of(key), kits.get(key)
        yield TickList(
            kit_key=key,
            code=spaced(kit.code) if kit else "",
            design=design["design"],
            gowns=words.gowns_in_words(stored.kits[key]["gown_count"]),
            size=words.size_as_length(design["length_um"]),
            stretch=found[key] if cut.lay.engine == KIT_BY_KIT else "",
            is_written_off=kit is not None and kit.state == Kit.State.WRITTEN_OFF,
            rows=tuple(_tick_rows(piece for piece in pieces if piece.kit_key == key)),
        )


def _tick_rows(pieces: Iterable[CutPiece]) -> Iterator[TickRow]:
    """Pieces of one name and measure in one row, by name."""
    alike: dict[tuple[str, float, float], list[int]] = {}
    for piece in pieces:
        likeness = (piece.name, round(piece.across_mm, 1), round(piece.along_mm, 1))
        alike.setdefault(likeness, []).append(piece.number)
    for (name, across_mm, along_mm), numbers in sorted(alike.items()):
        yield TickRow(name=name, across_mm=across_mm, along_mm=along_mm, numbers=tuple(numbers))
