"""What stands on a kit sheet."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.batches.models import Kit
from gowngroup.catalog.drawing import gown_drawing
from gowngroup.catalog.planner import GownNeed, PlannerSettings, gown_need, planner_settings
from gowngroup.people.queries import the_group
from gowngroup.printing import chart, first_page, queries, words
from gowngroup.printing.addresses import page_address
from gowngroup.printing.gown import PrintedGown, printed_gown
from gowngroup.printing.planner import kit_lines
from gowngroup.printing.qr import QrCode, qr_code
from gowngroup.wards.models import Ward

QR_SYMBOL_MM = 22.0
GOWN_WIDTH_MM, GOWN_HEIGHT_MM = 56.0, 54.0
WHOLE_HEIGHT_MM = 110.0


@dataclass(frozen=True, slots=True, kw_only=True)
class KitSheet:
    """Everything a kit sheet says."""

    kit: Kit
    need: GownNeed
    settings: PlannerSettings
    qr: QrCode
    gown: PrintedGown | None
    gowns: str
    size: str
    pieces: tuple[kit_lines.PieceLine, ...]
    floss: tuple[kit_lines.FlossLine, ...]
    trims: tuple[kit_lines.TrimLine, ...]
    measures: tuple[kit_lines.MeasureLine, ...]
    stitches: tuple[kit_lines.StitchLine, ...]
    detail: chart.ChartDrawing | None
    whole: tuple[chart.ChartDrawing, ...]
    steps: tuple[str, ...]
    ward_rules: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def is_crowded(self) -> bool:
        """Are pieces and trims written as running text to save the first page?"""
        return first_page.is_crowded(
            [*(piece.text for piece in self.pieces), *(trim.text for trim in self.trims)]
        )

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
    gown = _gown(need, kit)
    pieces = tuple(kit_lines.piece_line(piece, kit.gown_count) for piece in need.pieces)
    floss = kit_lines.floss_lines(need, kit, materials, settings.figures)
    trims = kit_lines.trim_lines(need, kit, materials)
    steps = tuple(str(step) for step in revision.order_of_work) or words.usual_steps(revision.design.kind)
    detail_mm = first_page.chart_height_mm(
        group=the_group().name,
        design=revision.design.name,
        rows=[*(piece.text for piece in pieces), *(trim.text for trim in trims)],
        floss_count=len(floss),
        steps=steps,
        drawing_mm=gown.height_mm if gown else 0.0,
    )
    return KitSheet(
        kit=kit,
        need=need,
        settings=settings,
        qr=qr_code(page_address("batches:kit_page", kit.code), symbol_mm=QR_SYMBOL_MM),
        gown=gown,
        gowns=words.gowns_in_words(kit.gown_count),
        size=words.size_as_length(kit.size),
        pieces=pieces,
        floss=floss,
        trims=trims,
        measures=kit_lines.measure_lines(need),
        stitches=kit_lines.stitch_lines(kit) if need.smocking else (),
        detail=_detail(need, detail_mm),
        whole=_whole(need),
        steps=steps,
        ward_rules=_ward_rules(kit),
        cautions=words.cautions(),
    )


def _detail(need: GownNeed, height_mm: float) -> chart.ChartDrawing | None:
    if need.smocking is None:
        return None
    return chart.chart_detail(need.smocking, width_mm=first_page.text_width_mm(), height_mm=height_mm)


def _whole(need: GownNeed) -> tuple[chart.ChartDrawing, ...]:
    if need.smocking is None:
        return ()
    return chart.whole_chart(need.smocking, width_mm=first_page.text_width_mm(), height_mm=WHOLE_HEIGHT_MM)


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
