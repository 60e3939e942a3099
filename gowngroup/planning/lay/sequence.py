"""The deterministic lay: a search through orders of boxes, each order put down by one fixed rule."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gowngroup.planning.geometry.polygon import bounding_box_mm
from gowngroup.planning.lay.chains import Block, Chainer, Copies, Form, single
from gowngroup.planning.lay.chance import Chance
from gowngroup.planning.lay.levels import SAME
from gowngroup.planning.lay.outlines import Piece, Placement, fitting_turns, turned
from gowngroup.planning.lay.skyline import Boxes, Ground, Laid, Order, put_down
from gowngroup.planning.lay.swelling import swollen

# How many of the next items a level chooses from: drawn anew for each trial.
WINDOWS = (8, 16, 32)
# A trial this much longer than the last may still be gone on from, less and less so as the search goes on.
SLACK_SHARE = 0.006
SWAP_SHARE = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """What is to be laid on what: outlines with their grain along x; flaws and repeat in mm along the strip."""

    pieces: tuple[Piece, ...]
    strip_width_mm: float
    gap_mm: float = 0.0
    flaws: tuple[tuple[float, float], ...] = ()
    repeat_mm: float = 0.0
    matched_ids: frozenset[str] = frozenset()

    @property
    def grown_mm(self) -> float:
        """Width of a strip on which the pieces, grown by half the gap, may touch each other and the edges."""
        return self.strip_width_mm + self.gap_mm


def search(ask: Ask, *, effort: int, seed: int = 1) -> tuple[Placement, ...]:
    """A place for every copy, none overlapping; the same whatever order the pieces come in.

    `effort` is how many boxes are put down in the whole search, at least each of them once by three plain rules.
    The pieces must have passed `refuse_bad`. Source: own search, simulated annealing on the order of boxes.
    """
    pieces = sorted(ask.pieces, key=lambda piece: (piece.outline, piece.turns, piece.id))
    copies = [copy for number, piece in enumerate(pieces) for copy in _copies(number, piece, ask)]
    if not copies:
        return ()
    heap = Heap(pieces, copies, ask)
    return tuple(_placements(heap, _improved(heap, effort, Chance(seed)), ask))


def _copies(number: int, piece: Piece, ask: Ask) -> list[Copies]:
    forms = tuple(_form(number, piece, turn, ask) for turn in fitting_turns(piece, ask.strip_width_mm))
    return [forms] * int(piece.quantity)


def _form(number: int, piece: Piece, turn: float, ask: Ask) -> Form:
    grown = swollen(turned(piece.outline, turn), ask.gap_mm / 2)
    start, low, end, high = bounding_box_mm(grown)
    width_mm = ask.grown_mm
    return Form(
        piece=number,
        turn=turn,
        outline=tuple((y - low, x - start) for x, y in grown),
        across=min((high - low) / width_mm, 1.0),
        along=(end - start) / width_mm,
        corner_mm=(start + ask.gap_mm / 2, low + ask.gap_mm / 2),
    )


class Heap:
    """Everything to lay: single copies, and bundles of slanting strips; numbered by form."""

    def __init__(self, pieces: Sequence[Piece], copies: Sequence[Copies], ask: Ask) -> None:
        self.pieces = pieces
        self._chainer = Chainer(ask.grown_mm)
        self._matched = ask.matched_ids
        repeat = ask.repeat_mm / ask.grown_mm
        bundles, singles = self._chainer.split(copies)
        self._forms = list(dict.fromkeys(form for copy in singles for form in copy))
        number_of = {form: number for number, form in enumerate(self._forms)}
        self.blocks: list[Block] = [*(single(form) for form in self._forms), *bundles]
        self.starts = [
            *(number_of[copy[0]] for copy in singles),
            *range(len(self._forms), len(self.blocks)),
        ]
        self.turns = {
            number_of[copy[0]]: [number_of[form] for form in copy] for copy in dict.fromkeys(singles)
        }
        matched = (
            frozenset(
                number for number, form in enumerate(self._forms) if pieces[form.piece].id in self._matched
            )
            if repeat
            else frozenset()
        )
        self.sizes = [
            (block.across, block.along + (repeat if number in matched else 0.0))
            for number, block in enumerate(self.blocks)
        ]
        self.boxes = Boxes(
            self.sizes, [self._twins(number) for number in range(len(self.blocks))], self._saved
        )
        gap = ask.gap_mm
        self.ground = Ground(
            flaws=tuple(
                sorted(((start + gap) / ask.grown_mm, end / ask.grown_mm) for start, end in ask.flaws)
            ),
            repeat=repeat,
            matched=matched,
        )

    def _twins(self, number: int) -> list[int]:
        """Forms of the same piece and the same size: a neighbour decides between them."""
        group = next((forms for forms in self.turns.values() if number in forms), [number])
        return [each for each in group if _is_same(self.sizes[each], self.sizes[number])]

    def _saved(self, left: int, right: int) -> float:
        """How much nearer than their boxes two forms may lie; no more than half of either, so that no third is met."""
        if max(left, right) >= len(self._forms):
            return 0.0
        one, two = self._forms[left], self._forms[right]
        saved = one.across - self._chainer.nearness(one, two)
        return min(max(saved, 0.0), one.across / 2, two.across / 2)


def _is_same(one: tuple[float, float], two: tuple[float, float]) -> bool:
    return abs(one[0] - two[0]) <= SAME and abs(one[1] - two[1]) <= SAME


def _first_orders(heap: Heap) -> Iterator[Order]:
    """Longest first, largest first, widest first."""
    sizes = [heap.sizes[form] for form in heap.starts]
    for key in (
        [(-along, -across) for across, along in sizes],
        [(-along * across, -along) for across, along in sizes],
        [(-across, -along) for across, along in sizes],
    ):
        yield [(item, heap.starts[item]) for item in sorted(range(len(sizes)), key=key.__getitem__)]


def _improved(heap: Heap, effort: int, chance: Chance) -> Laid:
    tries = [
        (put_down(order, heap.boxes, heap.ground, window=WINDOWS[-1]), order) for order in _first_orders(heap)
    ]
    best, order = min(tries, key=lambda each: each[0].length)
    current = best
    rounds = effort // len(order)
    for number in range(rounds):
        slack = SLACK_SHARE * (1 - number / rounds)
        tried = _changed(order, heap, chance)
        laid = put_down(
            tried,
            heap.boxes,
            heap.ground,
            window=WINDOWS[chance.below(len(WINDOWS))],
            limit=current.length * (1 + slack * chance.share()),
        )
        if laid.length < best.length:
            best = laid
        if laid.length <= current.length * (1 + slack):
            current, order = laid, tried
    return best


def _changed(order: Order, heap: Heap, chance: Chance) -> Order:
    """The order with two items swapped or one moved, or one of several quarter turns."""
    changed = list(order)
    one, two = chance.below(len(order)), chance.below(len(order))
    if chance.share() < SWAP_SHARE:
        changed[one], changed[two] = changed[two], changed[one]
    else:
        changed.insert(two, changed.pop(one))
    item, _ = changed[two]
    turns = heap.turns.get(heap.starts[item], ())
    if len(turns) > 1:
        changed[two] = item, turns[chance.below(len(turns))]
    return changed


def _placements(heap: Heap, laid: Laid, ask: Ask) -> Iterator[Placement]:
    for spot in laid.spots:
        for part in heap.blocks[spot.form].parts:
            start_mm, low_mm = part.form.corner_mm
            yield Placement(
                id=heap.pieces[part.form.piece].id,
                turn=part.form.turn,
                x_mm=spot.along * ask.grown_mm - start_mm,
                y_mm=(spot.across + part.across) * ask.grown_mm - low_mm,
            )
