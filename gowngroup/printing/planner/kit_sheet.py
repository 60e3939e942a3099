"""What stands on a kit sheet."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from django.utils.translation import gettext as _

from gowngroup.batches.models import Kit
from gowngroup.catalog.drawing import gown_drawing
from gowngroup.catalog.models import ChartRow, MaterialKind
from gowngroup.catalog.planner import GownNeed, GownPiece, gown_need, planner_settings
from gowngroup.printing import chart, queries, words
from gowngroup.printing.addresses import page_address
from gowngroup.printing.gown import PrintedGown, printed_gown
from gowngroup.printing.qr import QrCode, qr_code
from gowngroup.wards.models import Ward

QR_SYMBOL_MM = 22.0
TEXT_WIDTH_MM = 182.0
GOWN_WIDTH_MM, GOWN_HEIGHT_MM = 56.0, 54.0
DETAIL_HEIGHT_MM, WHOLE_HEIGHT_MM = 46.0, 120.0
# Common practice, no source: how far a finished measure may be off.
TOLERANCES_MM = {"neck_mm": 5.0, "chest_mm": 10.0, "length_mm": 10.0, "smocked_width_mm": 5.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceLine:
    """One piece with its counts and cutting measures."""

    name: str
    per_gown_count: int
    kit_count: int
    width_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossLine:
    """One floss of the chart: its shade, strands, cuts wound for the kit and how its line is drawn."""

    role: str
    shade: str
    strand_count: int
    cut_count: int
    heavy_cut_count: int
    cut_mm: float
    dash: str

    @property
    def drawn_as(self) -> str:
        """The line's look in words."""
        return chart.dash_name(self.dash)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimLine:
    """Lace, ribbon or a notion, where it goes and how many lengths lie in the kit."""

    kind: str
    place: str
    material: str
    kit_count: int
    length_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureLine:
    """One finished measure and how far it may be off."""

    label: str
    length_mm: float
    tolerance_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StitchLine:
    """One row of the chart in words."""

    number: int
    stitch: str
    height: str
    floss_role: str
    strand_count: int
    starts: str
    is_back_smocking: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class KitSheet:
    """Everything a kit sheet says."""

    kit: Kit
    need: GownNeed
    qr: QrCode
    gown: PrintedGown | None
    gowns: str
    size: str
    pieces: tuple[PieceLine, ...]
    floss: tuple[FlossLine, ...]
    trims: tuple[TrimLine, ...]
    measures: tuple[MeasureLine, ...]
    stitches: tuple[StitchLine, ...]
    detail: chart.ChartDrawing | None
    whole: tuple[chart.ChartDrawing, ...]
    steps: tuple[str, ...]
    ward_rules: tuple[str, ...]
    cautions: tuple[str, ...]
    holding_row_count: int
    spare_each_side_count: int

    @property
    def detail_title(self) -> str:
        """The middle of the chart in words, for who cannot see it."""
        return _("The middle of the smocking chart: %(rows)s") % {"rows": self._rows_in_words}

    @property
    def whole_title(self) -> str:
        """The whole chart in words."""
        return _("The whole smocking chart over %(count)d pleats: %(rows)s") % {
            "count": self.need.pleating.pleat_count if self.need.pleating else 0,
            "rows": self._rows_in_words,
        }

    @property
    def _rows_in_words(self) -> str:
        return "; ".join(f"{row.height}, {row.stitch}, {row.floss_role}" for row in self.stitches)

    @property
    def pleating_thread_um(self) -> int:
        """Pleating thread in all, as lengths are written."""
        return round(self.need.pleating.thread_mm * 1000) if self.need.pleating else 0

    @property
    def has_growing_rows(self) -> bool:
        """Do the rows differ in width, as round a neck?"""
        rows = self.need.pleating.rows if self.need.pleating else ()
        return len({round(row.finished_mm, 1) for row in rows}) > 1

    @property
    def heavy_floss(self) -> str:
        """What a worker with a looser hand may need more, or nothing."""
        more = [line for line in self.floss if line.heavy_cut_count > line.cut_count]
        if not more:
            return ""
        counts = ", ".join(f"{line.role} {line.heavy_cut_count}" for line in more)
        return _("A loose hand may take more floss (%(counts)s cuts); ring us and we send some.") % {
            "counts": counts
        }


def kit_sheet(kit: Kit) -> KitSheet:
    """What the sheet of a kit says; a gown that cannot be made says why on its first page."""
    settings = planner_settings()
    revision = kit.design_revision
    need = gown_need(revision=revision, size=kit.size, purpose=kit.purpose, settings=settings)
    materials = queries.materials_of(kit)
    compiled = need.smocking
    return KitSheet(
        kit=kit,
        need=need,
        qr=qr_code(page_address("batches:kit_page", kit.code), symbol_mm=QR_SYMBOL_MM),
        gown=_gown(need, kit),
        gowns=words.gowns_in_words(kit.gown_count),
        size=words.size_as_length(kit.size),
        pieces=tuple(_piece_line(piece, kit.gown_count) for piece in need.pieces),
        floss=_floss_lines(need, kit, materials, settings.figures),
        trims=_trim_lines(need, kit, materials),
        measures=_measure_lines(need),
        stitches=_stitch_lines(kit) if compiled else (),
        detail=chart.chart_detail(compiled, width_mm=TEXT_WIDTH_MM, height_mm=DETAIL_HEIGHT_MM)
        if compiled
        else None,
        whole=chart.whole_chart(compiled, width_mm=TEXT_WIDTH_MM, height_mm=WHOLE_HEIGHT_MM)
        if compiled
        else (),
        steps=tuple(str(step) for step in revision.order_of_work) or words.usual_steps(revision.design.kind),
        ward_rules=_ward_rules(kit),
        cautions=words.cautions(),
        holding_row_count=settings.pleater.holding_row_count,
        spare_each_side_count=settings.pleater.spare_each_side_count,
    )


def _gown(need: GownNeed, kit: Kit) -> PrintedGown | None:
    drawing = gown_drawing(need)
    if drawing is None:
        return None
    return printed_gown(
        drawing,
        name=kit.design_revision.design.name,
        size=words.size_as_length(kit.size),
        width_mm=GOWN_WIDTH_MM,
        height_mm=GOWN_HEIGHT_MM,
    )


def _piece_line(piece: GownPiece, gown_count: int) -> PieceLine:
    return PieceLine(
        name=piece.name,
        per_gown_count=piece.count,
        kit_count=piece.count * gown_count,
        width_mm=piece.width_mm,
        length_mm=piece.length_mm,
    )


def _floss_lines(
    need: GownNeed, kit: Kit, materials: Mapping[tuple[str, str], str], figures: Mapping[str, float]
) -> tuple[FlossLine, ...]:
    return tuple(
        FlossLine(
            role=floss.role,
            shade=materials.get(("floss", floss.role), ""),
            strand_count=floss.strand_count,
            cut_count=floss.cuts * kit.gown_count,
            heavy_cut_count=floss.heavy_cuts * kit.gown_count,
            cut_mm=figures["floss_cut_mm"],
            dash=chart.dash_of(floss.role),
        )
        for floss in need.floss
    )


def _trim_lines(need: GownNeed, kit: Kit, materials: Mapping[tuple[str, str], str]) -> tuple[TrimLine, ...]:
    trims = (
        TrimLine(
            kind=str(MaterialKind(trim.kind).label),
            place=trim.place,
            material=materials.get((trim.kind, trim.place), ""),
            kit_count=trim.count * kit.gown_count,
            length_mm=trim.length_mm,
        )
        for trim in need.trims
    )
    notions = (
        TrimLine(
            kind="",
            place=notion.place,
            material=materials.get(("notion", notion.place), ""),
            kit_count=notion.count * kit.gown_count,
            length_mm=None,
        )
        for notion in need.notions
    )
    return (*trims, *notions)


def _measure_lines(need: GownNeed) -> tuple[MeasureLine, ...]:
    return tuple(
        MeasureLine(
            label=measure.label, length_mm=measure.length_mm, tolerance_mm=TOLERANCES_MM.get(measure.key)
        )
        for measure in need.measures
    )


def _stitch_lines(kit: Kit) -> tuple[StitchLine, ...]:
    rows = kit.design_revision.chart.rows.all() if kit.design_revision.chart else ()
    return tuple(
        StitchLine(
            number=number,
            stitch=words.stitch_name(row),
            height=_height(row),
            floss_role=row.floss_role,
            strand_count=row.strand_count,
            starts=str(row.get_start_display()),
            is_back_smocking=row.is_back_smocking,
        )
        for number, row in enumerate(rows, start=1)
    )


def _height(row: ChartRow) -> str:
    """`row 2`, or `rows 2 to 2½`, in pleated rows from the top."""
    top = 1 + Fraction(row.top_half_space, 2)
    bottom = top + Fraction(row.rise_half_spaces, 2)
    if top == bottom:
        return _("row %(top)s") % {"top": _halves(top)}
    return _("rows %(top)s to %(bottom)s") % {"top": _halves(top), "bottom": _halves(bottom)}


def _halves(number: Fraction) -> str:
    whole = int(number)
    return f"{whole}½" if number != whole else str(whole)


def _ward_rules(kit: Kit) -> tuple[str, ...]:
    """The rules of the ward a matched set is for, else of every ward that takes this size."""
    line = kit.matched_set.request_line if kit.matched_set else None
    wards = [line.request.ward] if line else list(queries.wards_served(kit.size))
    rules: dict[str, list[Ward]] = {}
    for ward in wards:
        for rule in filter(None, (text.strip() for text in ward.rules.splitlines())):
            rules.setdefault(rule, []).append(ward)
    return tuple(
        rule if len(found) == len(wards) else f"{rule} ({'; '.join(map(str, found))})"
        for rule, found in rules.items()
    )
