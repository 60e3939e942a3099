"""How a stitch is worked, picture by picture: the thread so far, and the needle in the pleat it takes up next.

A stitch comes out of the cloth beside the pleat it starts from, lies over that pleat and the next, and goes in on
the far side of the next: over two pleats, as the planner reckons floss. The needle points back along the row.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor
from typing import Literal

from gowngroup.catalog.drawing.chart_frame import in_mm
from gowngroup.planning.smocking import Move

Point = tuple[float, float]
Pose = Literal["next", "up", "down", "none"]

ROOM_MM, MOST_PLEAT_MM, ROW_MM = 100.0, 9.0, 11.0
FASTENINGS = 2
# Shares of a pleat's width.
TUBE, EDGE, LIFT = 0.42, 0.8, 0.13
THREAD, INNER, GAP, NEEDLE_HALF = 0.24, 0.13, 0.14, 0.075
TIP, EYE, LOOP, UPRIGHT, RING = 0.9, 1.7, 0.55, 0.95, 0.16
ROOM_FOR_NUMBERS = 1.2  # of their size, for two figures with a little air


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureOf:
    """What a picture shows: a run of stitches of which `done_count` are made, and where the needle is.

    `pose` next: the needle is in the next pleat; up, down: it comes out, goes in, beside the pleat reached.
    `ring_count` pleats after that one are marked, `repeat_count` stitches bracketed. `earlier` are stitches of the
    other half of the row. Pleats are numbered from where the run starts. `is_fastened` shows the folds of the wrong
    side, moves as seen there, and the tiny stitches that hold the thread.
    """

    moves: tuple[Move, ...]
    done_count: int
    pose: Pose = "next"
    ring_count: int = 0
    earlier: tuple[Move, ...] = ()
    pleats: tuple[int, int]
    rows: tuple[float, float]
    repeat_count: int = 0
    is_fastened: bool = False

    @property
    def way(self) -> int:
        """1 where the run is worked to the right, −1 to the left."""
        return 1 if self.moves[0].to_pleat > self.moves[0].from_pleat else -1

    @property
    def places(self) -> tuple[tuple[int, float], ...]:
        """The pleats in the order taken up, with their rows."""
        first = self.moves[0]
        return (
            (first.from_pleat, first.from_row),
            *((move.to_pleat, move.to_row) for move in self.moves),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A number beside a row or under a pleat."""

    number: int
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StitchPicture:
    """What an SVG of one step needs, in mm: stitches made are hollow, `newest` is the last of them, filled in."""

    width_mm: float
    height_mm: float
    letter_mm: float
    anchor: str
    pleats: str
    rows: str
    row_marks: tuple[Mark, ...]
    pleat_marks: tuple[Mark, ...]
    stitches: str
    newest: str
    stitch_mm: float
    hollow_mm: float
    fastening: str
    thread: str
    thread_mm: float
    needle: str
    hidden: str
    rings: str
    bracket: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    of: PictureOf
    letter_mm: float
    room_mm: float

    @property
    def pleat_mm(self) -> float:
        count = self.of.pleats[1] - self.of.pleats[0] + 1
        return min((self.room_mm - self.margin_mm) / (count + EDGE), MOST_PLEAT_MM)

    @property
    def margin_mm(self) -> float:
        """Room for the numbers of the rows, on the side the work comes from."""
        return 1.1 * self.letter_mm

    def x(self, pleat: float) -> float:
        left_mm = self.margin_mm if self.of.way > 0 else EDGE * self.pleat_mm
        return left_mm + (pleat - self.of.pleats[0] + 0.5) * self.pleat_mm

    def y(self, row: float) -> float:
        return EDGE * self.pleat_mm + (row - self.of.rows[0]) * ROW_MM

    @property
    def low_mm(self) -> float:
        """Where the pleats end below."""
        return self.y(self.of.rows[1]) + EDGE * self.pleat_mm

    @property
    def width_mm(self) -> float:
        count = self.of.pleats[1] - self.of.pleats[0] + 1
        return self.margin_mm + (count + EDGE) * self.pleat_mm

    def beside(self, place: tuple[int, float], way: int) -> Point:
        """The valley beside a pleat on the side that the work comes from: where the thread comes out of it."""
        return self.x(place[0] - 0.5 * way), self.y(place[1])

    @property
    def lift_mm(self) -> float:
        return LIFT * self.pleat_mm


def stitch_picture(of: PictureOf, *, letter_mm: float, room_mm: float = ROOM_MM) -> StitchPicture:
    """One picture no wider than its room, its numbers `letter_mm` high."""
    frame = _Frame(of=of, letter_mm=letter_mm, room_mm=room_mm)
    numbers_mm = 1.35 * letter_mm + (1.6 if of.repeat_count else 0.0)
    needle, hidden = _needle(frame)
    stitches, newest = _stitches(frame)
    return StitchPicture(
        width_mm=round(frame.width_mm, 2),
        height_mm=round(frame.low_mm + (0.4 if of.is_fastened else numbers_mm), 2),
        letter_mm=letter_mm,
        anchor="end" if of.way > 0 else "start",
        pleats=_pleats(frame),
        rows=_rows(frame),
        row_marks=_row_marks(frame),
        pleat_marks=() if of.is_fastened else _pleat_marks(frame),
        stitches=stitches,
        newest=newest,
        stitch_mm=round(THREAD * frame.pleat_mm, 2),
        hollow_mm=round(INNER * frame.pleat_mm, 2),
        fastening=_fastening(frame),
        thread=_working_thread(frame),
        thread_mm=round(0.55 * THREAD * frame.pleat_mm, 2),
        needle=needle,
        hidden=hidden,
        rings=_rings(frame),
        bracket=_bracket(frame),
    )


def _line(points: Sequence[Point]) -> str:
    return "M" + "L".join(f"{in_mm(x)} {in_mm(y)}" for x, y in points)


def _pleats(frame: _Frame) -> str:
    """Each pleat as a tube seen from the front, open below; from behind, the folds between them."""
    aside = -0.5 * frame.of.way if frame.of.is_fastened else 0.0
    first, last = frame.of.pleats
    if frame.of.is_fastened:
        first, last = (first + 1, last) if frame.of.way > 0 else (first, last - 1)
    half, top = TUBE * frame.pleat_mm, 0.5 * TUBE * frame.pleat_mm
    return "".join(
        f"M{in_mm(frame.x(pleat + aside) - half)} {in_mm(frame.low_mm)}V{in_mm(top + 0.2)}"
        f"q{in_mm(half)} {in_mm(-top)} {in_mm(2 * half)} 0V{in_mm(frame.low_mm)}"
        for pleat in range(first, last + 1)
    )


def _whole_rows(frame: _Frame) -> list[int]:
    low, high = frame.of.rows
    return [row for row in range(floor(low), floor(high) + 1) if low <= row <= high]


def _rows(frame: _Frame) -> str:
    first, last = frame.x(frame.of.pleats[0] - 0.5), frame.x(frame.of.pleats[1] + 0.5)
    return "".join(_line([(first, frame.y(row)), (last, frame.y(row))]) for row in _whole_rows(frame))


def _row_marks(frame: _Frame) -> tuple[Mark, ...]:
    x = frame.margin_mm - 1.0 if frame.of.way > 0 else frame.width_mm - frame.margin_mm + 1.0
    return tuple(
        Mark(number=row, x_mm=round(x, 2), y_mm=round(frame.y(row) + frame.letter_mm / 3, 2))
        for row in _whole_rows(frame)
    )


def _pleat_marks(frame: _Frame) -> tuple[Mark, ...]:
    """Under every pleat, or every other where they would touch."""
    step = 1 if frame.pleat_mm >= ROOM_FOR_NUMBERS * frame.letter_mm or len(frame.of.places) < 10 else 2
    y = frame.low_mm + (1.6 if frame.of.repeat_count else 0.0) + frame.letter_mm
    return tuple(
        Mark(number=number, x_mm=round(frame.x(pleat), 2), y_mm=round(y, 2))
        for number, (pleat, _row) in enumerate(frame.of.places, start=1)
        if step == 1 or number % 2
    )


def _stitches(frame: _Frame) -> tuple[str, str]:
    """The stitches made, the newest apart; they do not show on the wrong side."""
    of = frame.of
    if of.is_fastened:
        return "", ""
    made = _paths(frame, of.moves[: of.done_count])
    before = _paths(frame, of.earlier)
    count = len(made) - 1 if of.pose == "next" and made else len(made)
    return "".join((*before, *made[:count])), "".join(made[count:])


def _paths(frame: _Frame, run: Sequence[Move]) -> list[str]:
    """A stitch ends on its thread's side of the needle and starts on the other side of the stitch before it."""
    befores = (None, *run)[: len(run)]
    return [_stitch(frame, before, move) for before, move in zip(befores, run, strict=True)]


def _stitch(frame: _Frame, before: Move | None, move: Move) -> str:
    way, gap = _way(move), GAP * frame.pleat_mm
    start = _aside(frame, frame.beside((move.from_pleat, move.from_row), way), _start(before, move))
    end = _aside(frame, frame.beside((move.to_pleat + way, move.to_row), way), _side(move))
    return _line([(start[0] + way * gap, start[1]), (end[0] - way * gap, end[1])])


def _way(move: Move) -> int:
    return 1 if move.to_pleat > move.from_pleat else -1


def _side(move: Move) -> int:
    """Which way the thread lies from the needle: −1 above, 1 below."""
    return -1 if move.thread == "above" else 1


def _start(before: Move | None, move: Move) -> int:
    return _side(move) if before is None else -_side(before)


def _aside(frame: _Frame, point: Point, side: int) -> Point:
    return point[0], point[1] + side * frame.lift_mm


def _working_thread(frame: _Frame) -> str:
    """The thread from where it came out to the eye, on its side of the needle."""
    of, pleat_mm = frame.of, frame.pleat_mm
    out = frame.beside(of.places[of.done_count], of.way)
    if of.pose == "down":
        eye = (out[0] + of.way * 0.45 * UPRIGHT * pleat_mm, out[1] - UPRIGHT * pleat_mm)
        loop = (out[0] + of.way * 1.2 * pleat_mm, out[1] - 0.2 * pleat_mm)
        return f"M{_at(out)}Q{_at(loop)} {_at(eye)}"
    if of.pose != "next":
        return ""
    move = of.moves[of.done_count]
    side = _side(move)
    before = of.moves[of.done_count - 1] if of.done_count else None
    start = _aside(frame, out, _start(before, move))
    needle_y, entry_x = frame.y(move.to_row), frame.x(move.to_pleat + 0.5 * of.way)
    under = (entry_x, needle_y + side * LOOP * pleat_mm)
    eye = (entry_x + of.way * (EYE - 0.2) * pleat_mm, needle_y)
    leave = (start[0] + of.way * 0.7 * pleat_mm, start[1] + side * 0.12 * pleat_mm)
    come = (under[0] - of.way * 0.8 * pleat_mm, under[1])
    turn = (eye[0] + of.way * 0.5 * pleat_mm, needle_y + side * 0.5 * pleat_mm)
    return f"M{_at(start)}C{_at(leave)} {_at(come)} {_at(under)}S{_at(turn)} {_at(eye)}"


def _at(point: Point) -> str:
    return f"{in_mm(point[0])} {in_mm(point[1])}"


def _needle(frame: _Frame) -> tuple[str, str]:
    """The needle where it is seen, and where it is behind the cloth."""
    of, pleat_mm = frame.of, frame.pleat_mm
    if of.pose == "none":
        return "", ""
    if of.pose != "next":
        return _upright(frame)
    move = of.moves[of.done_count]
    y, half = frame.y(move.to_row), NEEDLE_HALF * pleat_mm
    entry, leave = (frame.x(move.to_pleat + side * 0.5 * of.way) for side in (1, -1))
    tip, end = leave - of.way * TIP * pleat_mm, entry + of.way * EYE * pleat_mm
    hidden = "".join(_line([(entry, y + side), (leave, y + side)]) for side in (-half, half))
    neck = tip + of.way * 0.5 * pleat_mm
    point = _line([(tip, y), (neck, y - half), (leave, y - half), (leave, y + half), (neck, y + half)])
    shaft = _line([(entry, y - half), (end, y - half), (end, y + half), (entry, y + half)])
    return f"{point}Z{shaft}Z", hidden


def _upright(frame: _Frame) -> tuple[str, str]:
    """A needle that comes out of the cloth beside the pleat reached, or goes in there."""
    of, pleat_mm = frame.of, frame.pleat_mm
    x, y = frame.beside(of.places[of.done_count], of.way)
    lean, reach, half = of.way * 0.45, UPRIGHT * pleat_mm, NEEDLE_HALF * pleat_mm
    high = (x + lean * reach, y - reach)
    low = (x - lean * 0.8 * reach, y + 0.8 * reach)
    if of.pose == "up":
        seen = _line([(x - half, y), (high[0], high[1]), (x + half, y)])
        hidden = "".join(_line([(x + side, y), (low[0] + side, low[1])]) for side in (-half, half))
        return f"{seen}Z", hidden
    seen = _line([(x - half, y), (high[0] - half, high[1]), (high[0] + half, high[1]), (x + half, y)])
    hidden = "".join(_line([(x + side, y), low]) for side in (-half, half))
    return f"{seen}Z", hidden


def _rings(frame: _Frame) -> str:
    """A small ring on each pleat that the next stitches of the same kind take up."""
    of = frame.of
    after = of.moves[of.done_count + 1 : of.done_count + 1 + of.ring_count]
    return "".join(
        _ring(frame.x(move.to_pleat), frame.y(move.to_row), RING * frame.pleat_mm) for move in after
    )


def _ring(x: float, y: float, radius: float) -> str:
    """A circle as four curves, which every engine draws round."""
    r, k = radius, 0.5523 * radius
    return (
        f"M{_at((x - r, y))}C{_at((x - r, y - k))} {_at((x - k, y - r))} {_at((x, y - r))}"
        f"S{_at((x + r, y - k))} {_at((x + r, y))}S{_at((x + k, y + r))} {_at((x, y + r))}"
        f"S{_at((x - r, y + k))} {_at((x - r, y))}Z"
    )


def _fastening(frame: _Frame) -> str:
    """Tiny stitches one over the other across the fold where the thread is, seen from the wrong side."""
    if not frame.of.is_fastened:
        return ""
    x, y = frame.beside(frame.of.places[frame.of.done_count], frame.of.way)
    half, low = 0.3 * frame.pleat_mm, 0.3 * frame.pleat_mm
    return "".join(_line([(x - half, y + at * low), (x + half, y + at * low)]) for at in range(FASTENINGS))


def _bracket(frame: _Frame) -> str:
    """Under the pleats of one repeat, from the first stitch on."""
    if not frame.of.repeat_count:
        return ""
    places, way = frame.of.places, frame.of.way
    (first, _), (last, _) = (frame.beside(places[at], way) for at in (0, frame.of.repeat_count))
    return f"M{in_mm(first)} {in_mm(frame.low_mm + 0.8)}v1H{in_mm(last)}v-1"
