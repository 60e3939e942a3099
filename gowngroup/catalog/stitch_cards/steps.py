"""A row of stitches taken apart into steps: what the needle does in each, in words and as a picture."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from math import ceil, floor

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.catalog.drawing.stitch_pictures import PictureOf, Pose
from gowngroup.catalog.drawing.stitch_tools import ToolPicture
from gowngroup.catalog.stitch_cards.rows import WorkedRow
from gowngroup.planning.smocking import CompiledChart, Move

ROOM_ROWS = 0.2  # row spaces above and below what is worked


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step: sentences to follow, what its picture (one of three kinds, or none) shows, and that in words."""

    sentences: tuple[str, ...]
    picture: PictureOf | None = None
    tool: ToolPicture | None = None
    chart: CompiledChart | None = None
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Phase:
    """Stitches of one kind one after another: level ones singly, those that climb or go down together."""

    first: int
    moves: tuple[Move, ...]


def phases(moves: Sequence[Move]) -> tuple[Phase, ...]:
    """One repeat taken apart; of a stitch that is always the same, two."""
    grouped = groupby(enumerate(moves), key=_kind)
    found = [list(group) for _key, group in grouped]
    return tuple(Phase(first=each[0][0], moves=tuple(move for _at, move in each)) for each in found)


def _kind(entry: tuple[int, Move]) -> tuple[int, float]:
    at, move = entry
    return (at, 0.0) if move.is_level else (-1, round(move.to_row - move.from_row, 6))


def stitch_steps(worked: WorkedRow) -> tuple[Step, ...]:
    """The steps of one repeat and what comes after it."""
    run = worked.run
    repeat = worked.compiled.row.repeat_pleats
    steps = [_step(worked, phase) for phase in phases(run[: max(repeat, 2)])]
    return (*steps, _again(worked, repeat), _in_the_chart(worked))


def _step(worked: WorkedRow, phase: Phase) -> Step:
    of = picture_of(worked, done_count=phase.first, ring_count=len(phase.moves) - 1)
    start = (start_sentence(of.way),) if phase.first == 0 else ()
    return Step(
        sentences=(*start, thread_sentence(phase.moves[0]), take_sentence(phase)),
        picture=of,
        label=" ".join(picture_words(of)),
    )


def _again(worked: WorkedRow, repeat: int) -> Step:
    of = picture_of(worked, done_count=len(worked.run), pose="none", repeat_count=repeat)
    sentence = (
        _("Then begin again: the repeat takes %(count)d pleats.") % {"count": repeat}
        if repeat > 1
        else _("Go on in the same way: each stitch is like the first.")
    )
    return Step(sentences=(sentence,), picture=of, label=" ".join(picture_words(of)))


def _in_the_chart(worked: WorkedRow) -> Step:
    return Step(
        sentences=(
            _("In the chart it is drawn like this."),
            _(
                "Thick line: thread above the needle. Thin line: thread below. The arrow is where the row starts."
            ),
        ),
        chart=worked.chart,
        label=_("Picture: the row as a chart shows it."),
    )


def picture_of(
    worked: WorkedRow,
    *,
    done_count: int,
    pose: Pose = "next",
    ring_count: int = 0,
    repeat_count: int = 0,
    is_fastened: bool = False,
) -> PictureOf:
    """A picture of the half worked first, with one pleat beside it at each end."""
    return PictureOf(
        moves=worked.run,
        done_count=done_count,
        pose=pose,
        ring_count=ring_count,
        pleats=pleats_beside(worked.run),
        rows=rows_beside(worked.run),
        repeat_count=repeat_count,
        is_fastened=is_fastened,
    )


def pleats_beside(*runs: Sequence[Move]) -> tuple[int, int]:
    """The pleats that runs are worked over, and one more at each end."""
    pleats = [pleat for run in runs for move in run for pleat in (move.from_pleat, move.to_pleat)]
    return min(pleats) - 1, max(pleats) + 1


def rows_beside(*runs: Sequence[Move]) -> tuple[float, float]:
    """The rows that runs are worked over, up to a whole row at either end, and a little more."""
    rows = [row for run in runs for move in run for row in (move.from_row, move.to_row)]
    return floor(min(rows)) - ROOM_ROWS, ceil(max(rows)) + ROOM_ROWS


def start_sentence(way: int) -> str:
    """Where the thread comes up for the first stitch."""
    if way > 0:
        return _("Bring the needle up on the left of pleat 1.")
    return _("Bring the needle up on the right of pleat 1.")


def thread_sentence(move: Move) -> str:
    """On which side of the needle the thread is laid."""
    return _("Thread above the needle.") if move.thread == "above" else _("Thread below the needle.")


def take_sentence(phase: Phase) -> str:
    """Which pleats are taken up, and how high; pleats are numbered from 1 where the work starts."""
    move, count = phase.moves[0], len(phase.moves)
    first = phase.first + 2
    if move.is_level:
        return _("Take up pleat %(pleat)d at the same height.") % {"pleat": first}
    values = {"pleat": first, "last": first + count - 1, "height": height_words(move)}
    if move.to_row < move.from_row:
        return (
            ngettext(
                "Take up pleat %(pleat)d, %(height)s higher.",
                "Take up pleats %(pleat)d to %(last)d one by one, each %(height)s higher than the last.",
                count,
            )
            % values
        )
    return (
        ngettext(
            "Take up pleat %(pleat)d, %(height)s lower.",
            "Take up pleats %(pleat)d to %(last)d one by one, each %(height)s lower than the last.",
            count,
        )
        % values
    )


def height_words(move: Move) -> str:
    """How far a stitch climbs, as a share of the space between two pleated rows."""
    share = Fraction(abs(move.to_row - move.from_row)).limit_denominator(12)
    words = {
        Fraction(1, 2): _("half a space"),
        Fraction(1, 3): _("a third of a space"),
        Fraction(1, 4): _("a quarter of a space"),
    }
    return words[share]


def picture_words(of: PictureOf) -> Iterator[str]:
    """What a picture shows, for whoever cannot see it."""
    yield ngettext(
        "Picture: %(count)d stitch is made.", "Picture: %(count)d stitches are made.", of.done_count
    ) % {"count": of.done_count}
    if of.pose == "next":
        yield _needle_words(of)
        side = of.moves[of.done_count].thread
        yield (
            _("The thread lies above the needle.")
            if side == "above"
            else _("The thread lies below the needle.")
        )
    elif of.pose == "up":
        yield _("The needle comes up beside pleat %(pleat)d.") % {"pleat": of.done_count + 1}
    elif of.pose == "down":
        yield _("The needle goes down to the wrong side beside pleat %(pleat)d.") % {
            "pleat": of.done_count + 1
        }


def _needle_words(of: PictureOf) -> str:
    pleat = {"pleat": of.done_count + 2}
    if of.way > 0:
        return _("The needle goes through pleat %(pleat)d and points to the left.") % pleat
    return _("The needle goes through pleat %(pleat)d and points to the right.") % pleat
