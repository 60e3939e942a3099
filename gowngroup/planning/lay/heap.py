"""Everything one lay is made of, as boxes numbered by form."""

from __future__ import annotations

from collections.abc import Sequence

from gowngroup.planning.lay.ask import Ask
from gowngroup.planning.lay.bundles import Bundle, Bundler, Copies, single
from gowngroup.planning.lay.contours import Contours
from gowngroup.planning.lay.levels import SAME
from gowngroup.planning.lay.outlines import Piece
from gowngroup.planning.lay.skyline import Boxes, Ground
from gowngroup.planning.lay.values import Outline


class Heap:
    """Everything to lay: single copies, and bundles of slanting strips; numbered by form."""

    def __init__(self, pieces: Sequence[Piece], copies: Sequence[Copies], ask: Ask) -> None:
        self.pieces = pieces
        bundler = Bundler(ask.grown_mm)
        repeat = ask.repeat_mm / ask.grown_mm
        matched_pieces = {n for n, piece in enumerate(pieces) if repeat and piece.id in ask.matched_ids}
        strips, singles = bundler.split(copies, matched_pieces)
        self._forms = list(dict.fromkeys(form for copy in singles for form in copy))
        number_of = {form: number for number, form in enumerate(self._forms)}
        self.bundles: list[Bundle] = [*(single(form) for form in self._forms), *strips]
        # The form each item starts in, and the forms it may change to.
        self.starts = [*(number_of[copy[0]] for copy in singles), *range(len(self._forms), len(self.bundles))]
        self.turns = {
            number_of[copy[0]]: [number_of[form] for form in copy] for copy in dict.fromkeys(singles)
        }
        matched = frozenset(number_of[form] for form in self._forms if form.piece in matched_pieces)
        self.sizes = [
            (bundle.across, bundle.along + (repeat if number in matched else 0.0))
            for number, bundle in enumerate(self.bundles)
        ]
        twins = [self._twins(number) for number in range(len(self.bundles))]
        shapes = [_outlines(bundle, ask.grown_mm) for bundle in self.bundles]
        sizes = [(bundle.across, bundle.along) for bundle in self.bundles]
        self.boxes = Boxes(
            sizes=self.sizes, twins=twins, contours=Contours(shapes, sizes, twins, moved=matched)
        )
        self.ground = Ground(flaws=_flaws(ask), repeat=repeat, matched=matched)

    def _twins(self, number: int) -> list[int]:
        """Forms of the same piece and the same size: a neighbour decides between them."""
        group = next((forms for forms in self.turns.values() if number in forms), [number])
        return [each for each in group if _is_same(self.sizes[each], self.sizes[number])]


def _outlines(bundle: Bundle, width_mm: float) -> list[Outline]:
    """The outlines of a bundle's parts within its box, as shares of the strip's width."""
    return [
        tuple((part.across + x / width_mm, y / width_mm) for x, y in part.form.outline)
        for part in bundle.parts
    ]


def _is_same(one: tuple[float, float], two: tuple[float, float]) -> bool:
    return abs(one[0] - two[0]) <= SAME and abs(one[1] - two[1]) <= SAME


def _flaws(ask: Ask) -> tuple[tuple[float, float], ...]:
    """Flawed stretches as boxes grown by the gap meet them: one may reach a gap further than its piece."""
    return tuple(
        sorted(((start + ask.gap_mm) / ask.grown_mm, end / ask.grown_mm) for start, end in ask.flaws)
    )
