"""What stands on a kit sheet."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import chain

from django.utils.translation import gettext as _

from gowngroup.batches.models import Kit, Stage
from gowngroup.batches.planner.snapshots import KitSnapshot, kit_snapshot
from gowngroup.catalog.drawing import ChartDrawing, chart_detail, gown_drawing, whole_chart
from gowngroup.catalog.planner import GownNeed
from gowngroup.people.queries import the_group
from gowngroup.planning.smocking import PleaterProfile
from gowngroup.printing import first_page, plain_gowns, queries, words
from gowngroup.printing.addresses import page_address
from gowngroup.printing.gown import PrintedGown, printed_gown
from gowngroup.printing.pieces import PrintedPieces, printed_pieces
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
    pleater: PleaterProfile | None
    qr: QrCode
    gown: PrintedGown | None
    gowns: str
    size: str
    pieces: tuple[kit_lines.PieceLine, ...]
    floss: tuple[kit_lines.FlossLine, ...]
    trims: tuple[kit_lines.TrimLine, ...]
    measures: tuple[kit_lines.MeasureLine, ...]
    stitches: tuple[kit_lines.StitchLine, ...]
    detail: ChartDrawing | None
    whole: tuple[ChartDrawing, ...]
    outlines: PrintedPieces | None
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
    def companions_min(self) -> int:
        """Minutes of the kit's time that go into what is cut along with its gowns; none where it is not made up."""
        if self.kit.stage not in (Stage.WHOLE, Stage.MAKE_UP):
            return 0
        along_min = sum(time.usual_min for time in self.need.stage_times if time.stage == "companions")
        return round(along_min * self.kit.gown_count)

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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tables:
    """The tables of a sheet that the kit's plan fills."""

    pieces: tuple[kit_lines.PieceLine, ...] = ()
    floss: tuple[kit_lines.FlossLine, ...] = ()
    trims: tuple[kit_lines.TrimLine, ...] = ()

    @property
    def rows(self) -> list[str]:
        """Pieces and trims as running text."""
        return [*(piece.text for piece in self.pieces), *(trim.text for trim in self.trims)]


def kit_sheet(kit: Kit) -> KitSheet:
    """What the sheet of a kit says, from the plan it was cut from; without one it says so on its first page."""
    snapshot = kit_snapshot(kit)
    need = snapshot.need if snapshot else _unplanned(kit)
    tables = _tables(snapshot, kit.gown_count) if snapshot else _Tables()
    revision = kit.design_revision
    size = words.size_as_length(snapshot.body_length_um if snapshot else kit.size.body_length_um)
    is_smocked = need.smocking is not None
    steps = (snapshot.order_of_work if snapshot else ()) or plain_gowns.steps_of(
        revision.design.kind, is_smocked=is_smocked
    )
    steps = (*words.seam_steps(need), *steps)
    gown = _gown(need, revision.design.name, size)
    detail_mm = first_page.chart_height_mm(
        group=the_group().name,
        design=revision.design.name,
        rows=tables.rows,
        floss_count=len(tables.floss),
        steps=steps,
        drawing_mm=gown.height_mm if gown else 0.0,
    )
    return KitSheet(
        kit=kit,
        need=need,
        pleater=snapshot.pleater if snapshot else None,
        qr=qr_code(page_address("batches:kit_page", kit.code), symbol_mm=QR_SYMBOL_MM),
        gown=gown,
        gowns=words.gowns_in_words(kit.gown_count),
        size=size,
        pieces=tables.pieces,
        floss=tables.floss,
        trims=tables.trims,
        measures=kit_lines.measure_lines(need),
        stitches=kit_lines.stitch_lines(need),
        detail=_detail(need, detail_mm),
        whole=_whole(need),
        outlines=_outlines(need, detail_mm),
        steps=steps,
        ward_rules=_ward_rules(kit),
        cautions=plain_gowns.cautions_of(is_smocked=is_smocked),
    )


def _unplanned(kit: Kit) -> GownNeed:
    return GownNeed(
        revision_id=kit.design_revision_id,
        size_id=kit.size_id,
        purpose=kit.purpose,
        faults=(
            _(
                "The plan this kit was cut from cannot be read, so its pieces, measures and chart are missing"
                " here. Please ask the coordinator."
            ),
        ),
    )


def _tables(snapshot: KitSnapshot, gown_count: int) -> _Tables:
    need, materials = snapshot.need, snapshot.materials
    return _Tables(
        pieces=tuple(kit_lines.piece_line(piece, gown_count) for piece in need.pieces),
        floss=kit_lines.floss_lines(need, gown_count, materials, snapshot.floss_cut_mm),
        trims=kit_lines.trim_lines(need, gown_count, materials),
    )


def _detail(need: GownNeed, height_mm: float) -> ChartDrawing | None:
    if need.smocking is None:
        return None
    return chart_detail(need.smocking, width_mm=first_page.text_width_mm(), height_mm=height_mm)


def _whole(need: GownNeed) -> tuple[ChartDrawing, ...]:
    if need.smocking is None:
        return ()
    return whole_chart(need.smocking, width_mm=first_page.text_width_mm(), height_mm=WHOLE_HEIGHT_MM)


def _outlines(need: GownNeed, height_mm: float) -> PrintedPieces | None:
    """The pieces to tell apart, where no chart takes their place."""
    if need.smocking is not None or not need.pieces:
        return None
    return printed_pieces(need.pieces, width_mm=first_page.text_width_mm(), height_mm=height_mm)


def _gown(need: GownNeed, name: str, size: str) -> PrintedGown | None:
    drawing = gown_drawing(need)
    if drawing is None:
        return None
    return printed_gown(
        drawing,
        name=name,
        size=size,
        width_mm=GOWN_WIDTH_MM,
        height_mm=GOWN_HEIGHT_MM,
    )


def _ward_rules(kit: Kit) -> tuple[str, ...]:
    """The rules of the ward a matched set is for, else those all wards share that take this size, then each ward's own."""
    line = kit.matched_set.request_line if kit.matched_set else None
    wards = [line.request.ward] if line else list(queries.wards_served(kit.size))
    rules = {ward: _rules_of(ward) for ward in wards}
    shared = [rule for rule in dict.fromkeys(chain.from_iterable(rules.values())) if _is_shared(rule, rules)]
    own = {ward: [rule for rule in found if rule not in shared] for ward, found in rules.items()}
    return (
        *shared,
        *(
            _("%(ward)s: %(rules)s") % {"ward": ward, "rules": " ".join(map(_closed, found))}
            for ward, found in own.items()
            if found
        ),
    )


def _rules_of(ward: Ward) -> list[str]:
    return [rule for text in ward.rules.splitlines() if (rule := text.strip())]


def _is_shared(rule: str, rules: Mapping[Ward, list[str]]) -> bool:
    return all(rule in found for found in rules.values())


def _closed(rule: str) -> str:
    """A rule with a stop at its end, so that another may follow."""
    return rule if rule[-1] in ".!?" else f"{rule}."
