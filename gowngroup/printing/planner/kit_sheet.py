"""What stands on a kit sheet."""

from dataclasses import dataclass
from functools import cached_property

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.models import Kit, Stage
from gowngroup.batches.planner.snapshots import KitSnapshot, kit_snapshot
from gowngroup.batches.templatetags.kits import usual_hours
from gowngroup.catalog.drawing import ChartDrawing, GownDrawing, gown_drawing
from gowngroup.catalog.planner import GownNeed
from gowngroup.people.models import Group
from gowngroup.people.queries import the_group
from gowngroup.planning.smocking import PleaterProfile
from gowngroup.printing import first_page, plain_gowns, words
from gowngroup.printing.addresses import page_address
from gowngroup.printing.gown import PrintedGown, printed_gown
from gowngroup.printing.pieces import PrintedPieces, printed_pieces
from gowngroup.printing.planner import kit_lines, kit_room, kit_stages
from gowngroup.printing.planner.kit_chart import KitChart, kit_chart
from gowngroup.printing.planner.kit_guide import PrintedGuide, first_row_mm, printed_guide
from gowngroup.printing.planner.kit_rules import ward_rules
from gowngroup.printing.qr import QrCode, qr_code
from gowngroup.records.reader import current_reader
from gowngroup.records.templatetags.gown import hours, spaced
from gowngroup.records.written import known

QR_SYMBOL_MM = 22.0
GOWN_WIDTH_MM, SMALL_GOWN_WIDTH_MM = 56.0, 40.0


@dataclass(frozen=True, kw_only=True)
class KitSheet:
    """Everything a kit sheet says; its drawings are made to the room their page leaves them."""

    kit: Kit
    group: Group
    need: GownNeed
    pleater: PleaterProfile | None
    qr: QrCode
    gown_drawing: GownDrawing | None
    guide: PrintedGuide | None
    chart: KitChart | None
    gowns: str
    size: str
    notes: tuple[str, ...]
    pieces: tuple[kit_lines.PieceLine, ...]
    floss: tuple[kit_lines.FlossLine, ...]
    trims: tuple[kit_lines.TrimLine, ...]
    measures: tuple[kit_lines.MeasureLine, ...]
    steps: tuple[str, ...]
    ward_rules: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def is_whole(self) -> bool:
        """Is it for a gown from start to finish?"""
        return self.kit.stage == Stage.WHOLE

    @property
    def stage_title(self) -> str:
        """Which stage it is for."""
        return kit_stages.stage_title(self.kit)

    @property
    def rows(self) -> tuple[kit_lines.PieceLine | kit_lines.TrimLine, ...]:
        """Pieces, then trims."""
        return (*self.pieces, *self.trims)

    @property
    def names(self) -> list[str]:
        """Pieces and trims by name, pieces numbered where they are drawn."""
        return [self._numbered(at, row.name) for at, row in enumerate(self.rows, start=1)]

    def _numbered(self, number: int, name: str) -> str:
        return f"{number}. {name}" if self.has_outlines and number <= len(self.pieces) else name

    @property
    def table(self) -> list[tuple[str, int, str]]:
        """Pieces and trims line by line: name, how many, width and length."""
        return [(name, row.kit_count, row.measures) for name, row in zip(self.names, self.rows, strict=True)]

    @property
    def list_heading(self) -> str:
        """What stands over the names of the pieces."""
        return _("For %(gowns)s, cut out") % {"gowns": self.gowns}

    @property
    def list_lead(self) -> str:
        """What running text says first of the pieces and trims."""
        if self.first.list_form == "counts":
            return self._counts_lead
        return self._text_lead

    @property
    def _text_lead(self) -> str:
        return _("For %(gowns)s, cut out, how many and width × length:") % {"gowns": self.gowns}

    @property
    def _counts_lead(self) -> str:
        return _("For %(gowns)s, cut out, how many; measures on the next page:") % {"gowns": self.gowns}

    @property
    def list_in_words(self) -> list[tuple[str, str]]:
        """Pieces and trims as running text, each name with what follows it."""
        return self._in_words(self.first.list_form)

    def _in_words(self, form: kit_room.ListForm) -> list[tuple[str, str]]:
        return [
            (self._numbered(at, row.short_name), str(row.kit_count) if form == "counts" else row.text)
            for at, row in enumerate(self.rows, start=1)
        ]

    def list_text(self, form: kit_room.ListForm) -> str:
        """All that is written of pieces and trims in place of their table."""
        if form == "overleaf":
            return self.list_in_short
        lead = self._counts_lead if form == "counts" else self._text_lead
        return " ".join((lead, *(f"{name}: {text};" for name, text in self._in_words(form))))

    @property
    def list_in_short(self) -> str:
        """How many pieces and trims there are, where their list stands overleaf."""
        pieces = sum(piece.kit_count for piece in self.pieces)
        trims = sum(trim.kit_count for trim in self.trims)
        parts = [ngettext("%(count)d piece cut out", "%(count)d pieces cut out", pieces) % {"count": pieces}]
        parts += [ngettext("%(count)d trim", "%(count)d trims", trims) % {"count": trims}] if trims else []
        return _("%(parts)s for %(gowns)s: their list is on the next page.") % {
            "parts": ", ".join(parts),
            "gowns": self.gowns,
        }

    @property
    def cloth(self) -> str:
        """Which cloth the kit is cut from."""
        lot = self.kit.outer_lot
        return _("Cloth: %(cloth)s, lot %(lot)s.") % {"cloth": lot.material, "lot": spaced(lot.code)}

    @cached_property
    def first(self) -> kit_room.FirstPage:
        """What the first page has room for."""
        return kit_room.first_page_of(self)

    @cached_property
    def gown(self) -> PrintedGown | None:
        """The gown drawn as large as the first page has room for."""
        if self.gown_drawing is None:
            return None
        return printed_gown(
            self.gown_drawing,
            name=self.kit.design_revision.design.name,
            size=self.size,
            width_mm=SMALL_GOWN_WIDTH_MM if current_reader().has_large_print else GOWN_WIDTH_MM,
            height_mm=self.first.gown_mm,
        )

    @property
    def has_list_overleaf(self) -> bool:
        """Do the measures of pieces and trims stand on the next page?"""
        return self.first.list_form in ("counts", "overleaf")

    @property
    def has_chart_first(self) -> bool:
        """Does the chart stand on the first page?"""
        return self.first.chart_form == "drawn"

    @property
    def has_floss_overleaf(self) -> bool:
        """Does the list of floss stand with the chart on the next page?"""
        return self.first.chart_form == "overleaf"

    @cached_property
    def chart_detail(self) -> ChartDrawing | None:
        """The middle of the chart, as large as the first page has room for, or larger overleaf."""
        if self.chart is None:
            return None
        if self.has_chart_first:
            return self.chart.detail(self.first.drawing_mm)
        return self.chart.detail(kit_room.overleaf_drawing_mm(self.chart.least_mm))

    @cached_property
    def strip(self) -> tuple[ChartDrawing, ...]:
        """The whole chart, small, where its sides differ from its middle or there is room for it."""
        if self.chart is None:
            return ()
        has_place = (
            not self.is_whole or self.chart.needs_strip or kit_room.has_room_for(self, self.chart.strip_mm)
        )
        return self.chart.strip() if has_place else ()

    @property
    def has_outlines(self) -> bool:
        """May the pieces be drawn to tell them apart, since no chart takes their place?"""
        return self.need.smocking is None and bool(self.pieces)

    @cached_property
    def outlines(self) -> PrintedPieces | None:
        """The pieces to tell apart, where the first page has room for them."""
        if not self.has_outlines or self.first.chart_form != "drawn":
            return None
        return printed_pieces(
            self.need.pieces, width_mm=first_page.text_width_mm(), height_mm=self.first.drawing_mm
        )

    @property
    def pleating(self) -> str:
        """How to pleat, in short, and how wide the smocking is in the end."""
        guide = self.need.pleating
        if guide is None or self.pleater is None or not kit_stages.PARTS[self.kit.stage].has_guide:
            return ""
        return " ".join(
            each
            for each in (
                ""
                if self.kit.is_pleated
                else kit_stages.pleating_in_short(guide, self.pleater, self.first_row_mm),
                self.block_width if self.is_whole else "",
            )
            if each
        )

    @property
    def has_pleating_first(self) -> bool:
        """Does the first page say how to pleat, or only the guide on the next one?"""
        return bool(self.pleating) and self.first.list_form != "overleaf"

    @property
    def pleating_text(self) -> str:
        """The same with the word that stands before it."""
        return f"{_('Pleating:')} {self.pleating}"

    @property
    def first_row_mm(self) -> float | None:
        """How far row 1 lies below the cut edge, where that is known."""
        return self.guide.first_row_mm if self.guide else None

    @property
    def has_whole_blocks(self) -> bool:
        """Does each block that does not fit on a page go to the next one as a whole?"""
        return kit_room.keeps_blocks_whole(self)

    @property
    def stitches(self) -> tuple[kit_lines.StitchLine, ...]:
        """The rows of the chart as they are sewn with the reader's hand."""
        return kit_lines.stitch_lines(self.chart.compiled.chart.rows) if self.chart else ()

    @property
    def detail_title(self) -> str:
        """The middle of the chart in words, for who cannot see it."""
        return _("The middle of the smocking chart: %(rows)s") % {"rows": self._rows_in_words}

    @property
    def strip_title(self) -> str:
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
    def block_width(self) -> str:
        """To which width the smocking is blocked."""
        return kit_stages.smocked_width(self.need)

    @property
    def stitch_cards(self) -> str:
        """Where to see how the stitches of the chart are worked."""
        if self.chart is None:
            return ""
        return _(
            "How each stitch is worked, drawn step by step: see the stitch cards. Ask us for them on paper, or open them from this kit’s page."
        )

    @property
    def goes_out(self) -> str:
        """What a stage ends with, and where it goes."""
        return kit_stages.goes_out(self.kit, self.group)

    @property
    def chart_key(self) -> str:
        """What the lines of the chart mean, as its caption says it."""
        wrong_side = _("sewn on the wrong side, drawn as it would show through.")
        has_wrong_side = self.chart is not None and any(
            row.is_back_smocking for row in self.chart.compiled.chart.rows
        )
        said = (
            _("thread above the needle;"),
            _("thread below."),
            wrong_side if has_wrong_side else "",
            _("Upright: a pleat. Dotted: a pleating thread. Black arrow: where a row starts."),
        )
        return " ".join(each for each in said if each)

    @property
    def chart_is_overleaf(self) -> str:
        """Where the chart is, when the first page has no room for it."""
        return _("The chart is on the next page.")

    @property
    def needle(self) -> str:
        """Which needle, and when there is too little floss."""
        usual = _("Crewel needle, size 7 to 9 (8 does for most).")
        return " ".join(each for each in (usual, self.heavy_floss) if each)

    @property
    def heavy_floss(self) -> str:
        """What a worker with a looser hand may need more, or nothing."""
        more = [line for line in self.floss if line.heavy_cut_count > line.cut_count]
        if not more:
            return ""
        counts = ", ".join(f"{line.role} {line.heavy_cut_count}" for line in more)
        return _("A loose hand may need more floss (%(counts)s cuts): ring us.") % {"counts": counts}


def kit_sheet(kit: Kit) -> KitSheet:
    """What the sheet of a kit says, from the plan it was cut from; without one it says so on its first page."""
    snapshot = kit_snapshot(kit)
    need = snapshot.need if snapshot else _unplanned(kit)
    parts = kit_stages.PARTS[kit.stage]
    size = words.size_as_length(snapshot.body_length_um if snapshot else kit.size.body_length_um)
    group = the_group()
    return KitSheet(
        kit=kit,
        group=group,
        need=need,
        pleater=snapshot.pleater if snapshot else None,
        qr=qr_code(page_address("batches:kit_page", kit.code), symbol_mm=QR_SYMBOL_MM),
        gown_drawing=gown_drawing(need),
        guide=_guide(kit, snapshot) if snapshot and parts.has_guide else None,
        chart=kit_chart(need.smocking) if need.smocking and parts.has_chart else None,
        gowns=words.gowns_in_words(kit.gown_count),
        size=size,
        notes=tuple(note for note in _notes(kit, need) if note),
        pieces=_pieces(kit, need) if parts.has_pieces else (),
        floss=_floss(kit, snapshot) if snapshot and parts.has_chart else (),
        trims=_trims(kit, snapshot) if snapshot else (),
        measures=kit_lines.measure_lines(need) if parts.has_measures else (),
        steps=_steps(kit, snapshot, need),
        ward_rules=ward_rules(kit),
        cautions=plain_gowns.cautions_of(kit.stage, is_smocked=need.smocking is not None),
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


def _notes(kit: Kit, need: GownNeed) -> tuple[str, ...]:
    """What the head of the sheet says below the size."""
    return (
        kit_stages.stage_title(kit),
        kit_stages.comes_in(kit, need),
        _gentle_words() if kit.is_memorial() else _day_and_hours(kit, need),
    )


def _gentle_words() -> str:
    return _(
        "For babies who die, before or soon after birth. Take all the time you need; you may give the kit back"
        " at any time and need not say why."
    )


def _day_and_hours(kit: Kit, need: GownNeed) -> str:
    day, range_, along_min = kit.due_on, usual_hours(kit), _companions_min(kit, need)
    said = (
        _("Please bring it back by %(day)s.") % {"day": words.day_in_words(day)} if day else "",
        _("It usually takes %(range)s.") % {"range": range_} if range_ else "",
        _("About %(time)s of it is for what goes along with the gowns.") % {"time": hours(along_min)}
        if along_min and range_
        else "",
    )
    return " ".join(each for each in said if each)


def _companions_min(kit: Kit, need: GownNeed) -> int:
    """Minutes of the kit's time that go into what is cut along with its gowns; none where it is not made up."""
    if kit.stage not in (Stage.WHOLE, Stage.MAKE_UP):
        return 0
    along_min = sum(time.usual_min for time in need.stage_times if time.stage == "companions")
    return round(along_min * kit.gown_count)


def _pieces(kit: Kit, need: GownNeed) -> tuple[kit_lines.PieceLine, ...]:
    of_stage = kit_stages.pieces_of_stage(kit, need.pieces) if need.smocking else need.pieces
    return tuple(kit_lines.piece_line(piece, kit.gown_count) for piece in of_stage)


def _trims(kit: Kit, snapshot: KitSnapshot) -> tuple[kit_lines.TrimLine, ...]:
    """All of them, or those that are sewn on before a strip round the neck is pleated."""
    lines = kit_lines.trim_lines(snapshot.need, kit.gown_count, snapshot.materials)
    if kit_stages.PARTS[kit.stage].has_trims:
        return lines
    is_strip = kit_stages.pleated_parts(snapshot.need.pieces) == kit_stages.ROUND_THE_NECK
    return tuple(line for line in lines if line.length_mm and is_strip and kit.stage == Stage.PLEAT)


def _floss(kit: Kit, snapshot: KitSnapshot) -> tuple[kit_lines.FlossLine, ...]:
    return kit_lines.floss_lines(snapshot.need, kit.gown_count, snapshot.materials, snapshot.floss_cut_mm)


def _steps(kit: Kit, snapshot: KitSnapshot | None, need: GownNeed) -> tuple[str, ...]:
    """The design's own order of work or the usual one, as far as the kit's stage goes."""
    is_smocked = need.smocking is not None
    own = tuple(map(known, snapshot.order_of_work)) if snapshot else ()
    steps = own or plain_gowns.steps_of(kit.design_revision.design.kind, is_smocked=is_smocked)
    ends = snapshot.stage_ends if snapshot and own else ()
    of_stage = kit_stages.steps_of_stage(kit.stage, steps, ends) if is_smocked else steps
    seams = () if kit.stage in (Stage.PLEAT, Stage.SMOCK) else words.seam_steps(need)
    return (*seams, *of_stage)


def _guide(kit: Kit, snapshot: KitSnapshot) -> PrintedGuide | None:
    return printed_guide(
        snapshot.need,
        snapshot.pleater,
        first_row_mm=first_row_mm(snapshot.need, kit.design_revision, kit.size, snapshot.figures),
    )
