"""The lines of a kit sheet's tables."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext, npgettext

from gowngroup.catalog import models
from gowngroup.catalog.drawing import dash_name, dash_of
from gowngroup.catalog.planner import GownNeed, GownPiece
from gowngroup.catalog.planner.row_words import row_height, start_name, stitch_name
from gowngroup.planning.smocking import ChartRow
from gowngroup.printing import words
from gowngroup.printing.pieces import own_size_mm
from gowngroup.records.reader import current_reader
from gowngroup.records.templatetags.gown import mm_length
from gowngroup.records.units import in_unit
from gowngroup.records.written import known

# Common practice, no source: how far a finished measure may be off.
TOLERANCES_MM = {"neck_mm": 5.0, "chest_mm": 10.0, "length_mm": 10.0, "smocked_width_mm": 5.0}


HARD_SPACE = "\u00a0"


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceLine:
    """One piece with its counts and cutting measures."""

    name: str
    per_gown_count: int
    kit_count: int
    width_mm: float
    length_mm: float

    @property
    def measures(self) -> str:
        """Width and length in the reader's unit: `12.5 × 6 cm`."""
        unit = current_reader().length_unit
        width, length = (in_unit(round(each * 1000), unit) for each in (self.width_mm, self.length_mm))
        return f"{width} × {length} {unit}".replace(" ", HARD_SPACE)

    @property
    def text(self) -> str:
        """What follows the name in running text."""
        return f"{self.kit_count} ({self.measures})"

    @property
    def short_name(self) -> str:
        """What it is, in running text."""
        return self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossLine:
    """One floss of the chart: its shade, strands, cuts wound for the kit and how its line is drawn."""

    role: str
    shade: str
    strand_count: int
    cut_count: int
    spare_count: int
    heavy_cut_count: int
    cut_mm: float
    dash: str

    @property
    def wound(self) -> str:
        """How many cuts lie in the kit, how long, and how many of them to spare."""
        cuts = ngettext("%(count)d cut of %(length)s", "%(count)d cuts of %(length)s", self.cut_count) % {
            "count": self.cut_count,
            "length": mm_length(self.cut_mm),
        }
        return self._with_spare(cuts)

    @property
    def text(self) -> str:
        """All that follows its letter in a line: `Stranded cotton, sage, 3 strands: 3 cuts of 45.7 cm, 1 spare`."""
        strands = ngettext("%(count)d strand", "%(count)d strands", self.strand_count)
        cuts = npgettext(
            "in a line", "%(count)d cut of %(length)s", "%(count)d cuts of %(length)s", self.cut_count
        )
        named = (self.shade, strands % {"count": self.strand_count})
        wound = self._with_spare(cuts % {"count": self.cut_count, "length": mm_length(self.cut_mm)})
        return f"{', '.join(each for each in named if each)}: {wound}"

    def _with_spare(self, cuts: str) -> str:
        spare = _("%(count)s spare") % {"count": self.spare_count} if self.spare_count else ""
        return ", ".join(each for each in (cuts, spare) if each)

    @property
    def drawn_as(self) -> str:
        """The line's look in words."""
        return dash_name(self.dash)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimLine:
    """Lace, ribbon or a notion, where it goes and how many lengths lie in the kit."""

    kind: str
    place: str
    material: str
    kit_count: int
    length_mm: float | None

    @property
    def name(self) -> str:
        """Where it goes, and what it is."""
        return f"{self.place}: {self.material or self.kind}" if self.material or self.kind else self.place

    @property
    def measures(self) -> str:
        """Its length in the reader's unit; nothing where it has none."""
        return "" if self.length_mm is None else mm_length(self.length_mm)

    @property
    def text(self) -> str:
        """What follows the short name in running text."""
        place = "" if self.short_name == self.place else self.place
        told = ", ".join(each for each in (self.measures, place) if each)
        return f"{self.kit_count} ({told})" if told else str(self.kit_count)

    @property
    def short_name(self) -> str:
        """What it is, in running text."""
        return self.material or self.kind or self.place


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
    repeat_pleats: int
    is_back_smocking: bool


def piece_line(piece: GownPiece, gown_count: int) -> PieceLine:
    """A piece, counted for all the gowns of a kit."""
    width_mm, length_mm = own_size_mm(piece)
    return PieceLine(
        name=known(piece.name),
        per_gown_count=piece.count,
        kit_count=piece.count * gown_count,
        width_mm=width_mm,
        length_mm=length_mm,
    )


def floss_lines(
    need: GownNeed, gown_count: int, materials: Mapping[tuple[str, str], str], cut_mm: float
) -> tuple[FlossLine, ...]:
    """The flosses of a gown, cuts counted for all the gowns of a kit."""
    return tuple(
        FlossLine(
            role=floss.role,
            shade=materials.get(("floss", floss.role), ""),
            strand_count=floss.strand_count,
            cut_count=floss.kit_cuts(gown_count),
            spare_count=floss.spare_cuts,
            heavy_cut_count=floss.heavy_cuts * gown_count,
            cut_mm=cut_mm,
            dash=dash_of(floss.role),
        )
        for floss in need.floss
    )


def trim_lines(
    need: GownNeed, gown_count: int, materials: Mapping[tuple[str, str], str]
) -> tuple[TrimLine, ...]:
    """Lace, ribbon and notions, counted for all the gowns of a kit."""
    trims = (
        TrimLine(
            kind=str(models.MaterialKind(trim.kind).label),
            place=words.trim_place(trim),
            material=materials.get((trim.kind, trim.place), ""),
            kit_count=trim.count * gown_count,
            length_mm=trim.length_mm,
        )
        for trim in need.trims
    )
    notions = (
        TrimLine(
            kind="",
            place=known(notion.place),
            material=materials.get(("notion", notion.place), ""),
            kit_count=notion.count * gown_count,
            length_mm=None,
        )
        for notion in need.notions
    )
    return (*trims, *notions)


def measure_lines(need: GownNeed) -> tuple[MeasureLine, ...]:
    """The finished measures with how far each may be off."""
    return tuple(
        MeasureLine(
            label=known(measure.label),
            length_mm=measure.length_mm,
            tolerance_mm=TOLERANCES_MM.get(measure.key),
        )
        for measure in need.measures
    )


def stitch_lines(rows: Sequence[ChartRow]) -> tuple[StitchLine, ...]:
    """The rows of a chart in words, from the top."""
    return tuple(
        StitchLine(
            number=number,
            stitch=stitch_name(row),
            height=row_height(row),
            floss_role=row.floss_role,
            strand_count=row.strand_count,
            starts=start_name(row),
            repeat_pleats=row.repeat_pleats,
            is_back_smocking=row.is_back_smocking,
        )
        for number, row in enumerate(rows, start=1)
    )
