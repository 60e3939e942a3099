"""What stands on a kit sheet."""

from dataclasses import dataclass
from functools import cached_property

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.models import Kit, Stage
from gowngroup.catalog.drawing import ChartDrawing, GownDrawing
from gowngroup.catalog.planner import GownNeed
from gowngroup.people.models import Group
from gowngroup.planning.smocking import PleaterProfile
from gowngroup.printing import first_page
from gowngroup.printing.gown import PrintedGown, printed_gown
from gowngroup.printing.pieces import PrintedPieces, printed_pieces
from gowngroup.printing.planner import kit_lines, kit_room, kit_stages
from gowngroup.printing.planner.kit_chart import KitChart
from gowngroup.printing.planner.kit_guide import PrintedGuide
from gowngroup.printing.qr import QrCode
from gowngroup.records.reader import current_reader
from gowngroup.records.templatetags.gown import spaced
from gowngroup.records.written import unbroken

GOWN_WIDTH_MM, SMALL_GOWN_WIDTH_MM, HEAD_GOWN_WIDTH_MM = 56.0, 40.0, 29.0


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
    seams: str
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
        if self.first.forms.list == "counts":
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
        return self._in_words(self.first.forms.list)

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
    def kit_in_short(self) -> str:
        """What is in the kit, where its list is overleaf and has no heading."""
        return " ".join((_("In the kit:"), self.list_in_short, self.cloth)) if self.rows else self.cloth

    @property
    def cloth(self) -> str:
        """Which cloth the kit is cut from."""
        lot = self.kit.outer_lot
        return _("Cloth: %(cloth)s, lot %(lot)s.") % {"cloth": lot.material, "lot": spaced(lot.code)}

    @property
    def ring_words(self) -> str:
        """What stands before the telephone number."""
        return _("Stuck? Ring us:")

    @cached_property
    def first(self) -> kit_room.FirstPage:
        """What the first page has room for."""
        return kit_room.first_page_of(self)

    @cached_property
    def gown(self) -> PrintedGown | None:
        """The gown drawn as large as its place has room for."""
        if self.gown_drawing is None:
            return None
        beside_mm = SMALL_GOWN_WIDTH_MM if current_reader().has_large_print else GOWN_WIDTH_MM
        return printed_gown(
            self.gown_drawing,
            name=self.kit.design_revision.design.name,
            size=self.size,
            width_mm=HEAD_GOWN_WIDTH_MM if self.first.forms.gown == "head" else beside_mm,
            height_mm=self.first.gown_mm,
        )

    @property
    def has_list_overleaf(self) -> bool:
        """Do the measures of pieces and trims stand on the next page?"""
        return bool(self.rows) and self.first.forms.list in ("counts", "overleaf")

    @property
    def has_seams_first(self) -> bool:
        """Does the first page say how wide seams are, or only the list on the next one?"""
        return bool(self.seams) and self.first.forms.has_seams

    @property
    def has_chart_first(self) -> bool:
        """Does the chart stand on the first page?"""
        return self.first.forms.chart in kit_room.DRAWN

    @property
    def has_floss_overleaf(self) -> bool:
        """Does the list of floss stand with the chart on the next page?"""
        return self.first.forms.chart == "overleaf"

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
        if not self.has_outlines or not self.has_chart_first:
            return None
        return printed_pieces(
            self.need.pieces,
            width_mm=first_page.text_width_mm(),
            height_mm=self.first.drawing_mm,
            letter_mm=first_page.type_mm(),
        )

    @property
    def outlines_note(self) -> str:
        """What stands below the drawing of the pieces."""
        return _("Numbered as in the list above, all to one scale. The thin line is the grain.")

    @property
    def pleating(self) -> str:
        """How to pleat, in short, and how wide the smocking is in the end."""
        guide = self.need.pleating
        if guide is None or self.pleater is None or not kit_stages.PARTS[self.kit.stage].has_guide:
            return ""
        said = " ".join(
            each
            for each in (
                ""
                if self.kit.is_pleated
                else kit_stages.pleating_in_short(guide, self.pleater, self.first_row_mm),
                self.block_width if self.is_whole else "",
            )
            if each
        )
        return unbroken(said)

    @property
    def has_pleating_first(self) -> bool:
        """Does the first page say how to pleat, or only the guide on the next one?"""
        return bool(self.pleating) and self.first.forms.has_pleating

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
    def chart_key(self) -> tuple[str, ...]:
        """What the lines of the chart mean: above, below, and on the wrong side."""
        has_wrong_side = self.chart is not None and any(
            row.is_back_smocking for row in self.chart.compiled.chart.rows
        )
        wrong_side = _("sewn on the wrong side, drawn as it would show through.")
        return (
            _("thread above the needle;"),
            _("thread below."),
            *((wrong_side,) if has_wrong_side else ()),
        )

    def chart_said(self, *, is_brief: bool) -> tuple[str, ...]:
        """What is said below the chart after its key; in brief only what nobody can do without, the needle included."""
        if self.chart is None:
            return ()
        if is_brief:
            return (*self.chart.sentences_in_brief, self.usual_needle)
        return (*self.chart.sentences, *self.chart.other_sentences)

    @property
    def is_chart_brief(self) -> bool:
        """Is little said of the chart on the first page?"""
        return self.first.forms.chart == "brief"

    @property
    def chart_sentences(self) -> tuple[str, ...]:
        """What is said below the chart after its key."""
        return self.chart_said(is_brief=self.is_chart_brief)

    @property
    def chart_rest(self) -> str:
        """What the first page had no room to say of its chart."""
        if self.chart is None or not self.is_chart_brief:
            return ""
        said = (_("More on the chart of page 1:"), *self.chart.other_sentences, self.heavy_floss)
        return " ".join(each for each in said if each)

    @property
    def chart_is_overleaf(self) -> str:
        """Where the chart is, when the first page has no room for it."""
        return _("The chart is on the next page.")

    @property
    def floss_is_overleaf(self) -> str:
        """Where chart and floss are, when the first page has room for neither."""
        return _("Smocking: needle, floss and chart are on the next page.")

    @property
    def pleating_is_overleaf(self) -> str:
        """Where it says how to pleat, when the first page names the pieces and has no room for more."""
        return _("Pleating: see the guide on the next page.")

    @property
    def usual_needle(self) -> str:
        """Which needle."""
        return _("Crewel needle, size 7 to 9 (8 does for most).")

    @property
    def needle(self) -> str:
        """What stands below the list of floss."""
        return " ".join(each for each in (self.usual_needle, self.heavy_floss) if each)

    @property
    def heavy_floss(self) -> str:
        """What a worker with a looser hand may need more, or nothing."""
        more = [line for line in self.floss if line.heavy_cut_count > line.cut_count]
        if not more:
            return ""
        counts = ", ".join(f"{line.role} {line.heavy_cut_count}" for line in more)
        return _("A loose hand may need more floss (%(counts)s cuts): ring us.") % {"counts": counts}
