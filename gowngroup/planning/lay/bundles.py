"""Alike outlines pushed together across the strip until they touch, and taken for one box from then on."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from gowngroup.planning.geometry.polygon import fill_share
from gowngroup.planning.lay.levels import SAME
from gowngroup.planning.lay.nearness import nearest_mm
from gowngroup.planning.lay.values import SLANTING_SHARE, Outline


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)  # every copy of a piece shares its forms
class Form:
    """One outline in one allowed turn: its box on a strip of width 1, and its points in mm, across and along.

    The box lies at the origin. `corner_mm` is where the corner of its box, gap left out, lies when the outline is
    only turned: along and across.
    """

    piece: int
    turn: float
    outline: Outline
    across: float
    along: float
    corner_mm: tuple[float, float]


class Part(NamedTuple):
    """A form within a bundle."""

    form: Form
    across: float


class Bundle(NamedTuple):
    """Parts side by side, taken for a box."""

    across: float
    along: float
    parts: tuple[Part, ...]


Copies = tuple[Form, ...]  # one copy of a piece: its forms


class Bundler:
    """Makes bundles, remembering how near to each other two forms can be pushed."""

    def __init__(self, width_mm: float) -> None:
        self._width_mm = width_mm
        self._nearness: dict[tuple[Form, Form], float] = {}

    def split(
        self, copies: Iterable[Copies], matched: Collection[int] = ()
    ) -> tuple[list[Bundle], list[Copies]]:
        """Bundles of slanting strips, and the copies that lie singly, as matched pieces always do."""
        slanting: list[Copies] = []
        singles: list[Copies] = []
        for copy in copies:
            is_bundled = _is_slanting(copy[0]) and copy[0].piece not in matched
            (slanting if is_bundled else singles).append(copy)
        slanting.sort(key=lambda copy: (-copy[0].along, copy[0].piece))
        return list(self._bundles(slanting)), singles

    def _bundles(self, slanting: list[Copies]) -> Iterator[Bundle]:
        while slanting:
            bundle, used = self._long(slanting)
            del slanting[: len(used)]
            yield bundle

    def _long(self, waiting: Sequence[Copies]) -> tuple[Bundle, Sequence[Copies]]:
        """As many copies as fit across, longest first, each in the form that lies nearest to the one before."""
        forms = [waiting[0][0]]
        for copy in waiting[1:]:
            form = min(copy, key=lambda each: (self.nearness(forms[-1], each), each.turn))
            if self._bundle([*forms, form]).across > 1 + SAME:
                break
            forms.append(form)
        return self._bundle(forms), waiting[: len(forms)]

    def _bundle(self, forms: Sequence[Form]) -> Bundle:
        at, parts = 0.0, [Part(forms[0], 0.0)]
        for before, form in pairwise(forms):
            at += self.nearness(before, form)
            parts.append(Part(form, at))
        left = min(part.across for part in parts)
        return Bundle(
            max(part.across + part.form.across for part in parts) - left,
            max(form.along for form in forms),
            tuple(part._replace(across=part.across - left) for part in parts),
        )

    def nearness(self, left: Form, right: Form) -> float:
        """How far right of one form another must lie, both on the same level."""
        if (left, right) not in self._nearness:
            self._nearness[left, right] = nearest_mm(left.outline, right.outline) / self._width_mm
        return self._nearness[left, right]


def single(form: Form) -> Bundle:
    """A bundle of one."""
    return Bundle(form.across, form.along, (Part(form, 0.0),))


def _is_slanting(form: Form) -> bool:
    return fill_share(form.outline) < SLANTING_SHARE
