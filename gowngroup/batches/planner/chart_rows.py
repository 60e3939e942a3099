"""A kit's smocking chart row by row: what each row is, where it starts, what it takes, and how its stitches run."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.models import Kit
from gowngroup.batches.planner.snapshots import KitSnapshot, kit_snapshot
from gowngroup.catalog.drawing import dash_name, dash_of
from gowngroup.catalog.planner.chart_words import height_words
from gowngroup.catalog.planner.row_words import stitch_name
from gowngroup.catalog.planner.smocked import row_pitches_mm, width_of
from gowngroup.catalog.stitch_cards import card_key
from gowngroup.planning.floss import FlossRules, RowFloss, needlefuls_per_cut, row_floss
from gowngroup.planning.smocking import CompiledChart, CompiledRow, Move, mirrored


@dataclass(frozen=True, slots=True, kw_only=True)
class GuidedRow:
    """One row of a chart in words; `turns` tell one repeat stitch by stitch."""

    number: int
    stitch: str
    stitch_key: str
    height: str
    floss_role: str
    shade: str
    drawn_as: str
    strand_count: int
    cut_count: int
    needleful_count: int
    stitch_count: int
    repeat_pleats: int
    spare_each_side: int
    is_back_smocking: bool
    start: str
    turns: tuple[str, ...]

    @property
    def floss(self) -> str:
        """The floss by its letter and its shade: `A, old rose`."""
        return f"{self.floss_role}, {self.shade}" if self.shade else self.floss_role

    @property
    def in_short(self) -> str:
        """`Row 3: cable, floss A, old rose`."""
        return _("Row %(number)d: %(stitch)s, floss %(floss)s") % {
            "number": self.number,
            "stitch": self.stitch,
            "floss": self.floss,
        }

    @property
    def in_words(self) -> str:
        """The drawing of the row for who cannot see it."""
        stitches = ngettext("%(count)d stitch", "%(count)d stitches", self.stitch_count) % {
            "count": self.stitch_count
        }
        return _("%(row)s, %(stitches)s, at pleating thread %(height)s. %(start)s") % {
            "row": self.in_short,
            "stitches": stitches,
            "height": self.height,
            "start": self.start,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartGuide:
    """The chart of a kit as it is sewn with one hand, and its rows in words."""

    compiled: CompiledChart
    rows: tuple[GuidedRow, ...]
    is_left_handed: bool

    def row(self, number: int) -> GuidedRow | None:
        """A row by its number, counted from 1 at the top."""
        return self.rows[number - 1] if 1 <= number <= len(self.rows) else None


def chart_guide(kit: Kit, *, is_left_handed: bool) -> ChartGuide | None:
    """The chart a kit was planned with; none where it is not smocked or its plan cannot be read."""
    snapshot = kit_snapshot(kit)
    if snapshot is None or snapshot.need.smocking is None or snapshot.need.pleating is None:
        return None
    compiled = mirrored(snapshot.need.smocking) if is_left_handed else snapshot.need.smocking
    rows = zip(compiled.rows, _flosses(compiled, snapshot), strict=True)
    return ChartGuide(
        compiled=compiled,
        rows=tuple(
            _guided(number, row, taken, snapshot) for number, (row, taken) in enumerate(rows, start=1)
        ),
        is_left_handed=is_left_handed,
    )


def _flosses(compiled: CompiledChart, snapshot: KitSnapshot) -> Iterator[RowFloss]:
    """The floss each row takes, by the figures of the plan."""
    assert snapshot.need.pleating is not None  # noqa: S101 - a smocked gown is pleated
    rules = FlossRules.from_figures(snapshot.figures)
    pitches_mm = row_pitches_mm(compiled.chart, width_of(snapshot.need.pleating))
    for row, pitch_mm in zip(compiled.rows, pitches_mm, strict=True):
        yield row_floss(row, pitch_mm=pitch_mm, take_up_mm=snapshot.pleater.take_up_mm, rules=rules)


def _guided(number: int, row: CompiledRow, taken: RowFloss, snapshot: KitSnapshot) -> GuidedRow:
    per_cut = needlefuls_per_cut(taken.strand_count, FlossRules.from_figures(snapshot.figures))
    return GuidedRow(
        number=number,
        stitch=stitch_name(row.row),
        stitch_key=card_key(row.row.stitch, row.row.steps),
        height=_height(row),
        floss_role=row.row.floss_role,
        shade=_shade(snapshot.materials, row.row.floss_role),
        drawn_as=dash_name(dash_of(row.row.floss_role)),
        strand_count=row.row.strand_count,
        cut_count=ceil(taken.needlefuls / per_cut),
        needleful_count=taken.needlefuls,
        stitch_count=len(row.moves),
        repeat_pleats=row.row.repeat_pleats,
        spare_each_side=row.spare_each_side,
        is_back_smocking=row.row.is_back_smocking,
        start=_start(row),
        turns=_turns(row.runs[0][: row.row.repeat_pleats]) if row.runs else (),
    )


def _shade(materials: Mapping[tuple[str, str], str], role: str) -> str:
    return materials.get(("floss", role), "")


def _height(row: CompiledRow) -> str:
    """The pleating threads it lies at: `2`, or `2 to 2½`."""
    top, bottom = float(row.row.top_row), float(row.row.bottom_row)
    if top == bottom:
        return height_words(top)
    return _("%(top)s to %(bottom)s") % {"top": height_words(top), "bottom": height_words(bottom)}


def _start(row: CompiledRow) -> str:
    """Where the needle starts and which way it goes, as the drawing shows it."""
    if not row.moves:
        return ""
    is_rightward = row.moves[0].to_pleat > row.moves[0].from_pleat
    if len(row.runs) > 1:
        return (
            _(
                "Start at the centre and sew to the right edge; then a fresh thread, from the centre to the left edge."
            )
            if is_rightward
            else _(
                "Start at the centre and sew to the left edge; then a fresh thread, from the centre to the right edge."
            )
        )
    return (
        _("Start at the left edge and sew to the right.")
        if is_rightward
        else _("Start at the right edge and sew to the left.")
    )


def _turns(moves: Sequence[Move]) -> tuple[str, ...]:
    """One repeat in words, like stitches together: `3 stitches up, thread below the needle`."""
    return tuple(
        _turn(way, thread, len(list(alike)))
        for (way, thread), alike in groupby(moves, key=lambda move: (_way(move), move.thread))
    )


def _way(move: Move) -> str:
    if move.is_level:
        return "level"
    return "up" if move.to_row < move.from_row else "down"


def _turn(way: str, thread: str, count: int) -> str:
    return _turn_words(way, thread, count) % {"count": count}


def _turn_words(way: str, thread: str, count: int) -> str:
    if way == "level":
        if thread == "above":
            return ngettext(
                "%(count)d stitch level, thread above the needle",
                "%(count)d stitches level, thread above the needle",
                count,
            )
        return ngettext(
            "%(count)d stitch level, thread below the needle",
            "%(count)d stitches level, thread below the needle",
            count,
        )
    if way == "up":
        if thread == "above":
            return ngettext(
                "%(count)d stitch up, thread above the needle",
                "%(count)d stitches up, thread above the needle",
                count,
            )
        return ngettext(
            "%(count)d stitch up, thread below the needle",
            "%(count)d stitches up, thread below the needle",
            count,
        )
    if thread == "above":
        return ngettext(
            "%(count)d stitch down, thread above the needle",
            "%(count)d stitches down, thread above the needle",
            count,
        )
    return ngettext(
        "%(count)d stitch down, thread below the needle",
        "%(count)d stitches down, thread below the needle",
        count,
    )
