"""Everything one lay is made of, as boxes numbered by form."""

from __future__ import annotations

from collections.abc import Sequence

from gowngroup.planning.lay.ask import Ask
from gowngroup.planning.lay.chains import Block, Chainer, Copies, single
from gowngroup.planning.lay.levels import SAME
from gowngroup.planning.lay.outlines import Piece
from gowngroup.planning.lay.skyline import Boxes, Ground


class Heap:
    """Everything to lay: single copies, and bundles of slanting strips; numbered by form."""

    def __init__(self, pieces: Sequence[Piece], copies: Sequence[Copies], ask: Ask) -> None:
        self.pieces = pieces
        self._chainer = Chainer(ask.grown_mm)
        repeat = ask.repeat_mm / ask.grown_mm
        matched_pieces = {n for n, piece in enumerate(pieces) if repeat and piece.id in ask.matched_ids}
        bundles, singles = self._chainer.split(copies, matched_pieces)
        self._forms = list(dict.fromkeys(form for copy in singles for form in copy))
        number_of = {form: number for number, form in enumerate(self._forms)}
        self.blocks: list[Block] = [*(single(form) for form in self._forms), *bundles]
        # The form each item starts in, and the forms it may change to.
        self.starts = [*(number_of[copy[0]] for copy in singles), *range(len(self._forms), len(self.blocks))]
        self.turns = {
            number_of[copy[0]]: [number_of[form] for form in copy] for copy in dict.fromkeys(singles)
        }
        matched = frozenset(number_of[form] for form in self._forms if form.piece in matched_pieces)
        self.sizes = [
            (block.across, block.along + (repeat if number in matched else 0.0))
            for number, block in enumerate(self.blocks)
        ]
        twins = [self._twins(number) for number in range(len(self.blocks))]
        self.boxes = Boxes(self.sizes, twins, self._saved)
        self.ground = Ground(flaws=_flaws(ask), repeat=repeat, matched=matched)

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


def _flaws(ask: Ask) -> tuple[tuple[float, float], ...]:
    """Flawed stretches as boxes grown by the gap meet them: one may reach a gap further than its piece."""
    return tuple(
        sorted(((start + ask.gap_mm) / ask.grown_mm, end / ask.grown_mm) for start, end in ask.flaws)
    )
