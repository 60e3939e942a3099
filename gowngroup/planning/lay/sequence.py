"""The deterministic lay: a search through orders of boxes, each order put down by one fixed rule."""

from __future__ import annotations

from collections.abc import Iterator

from gowngroup.planning.chance import Chance
from gowngroup.planning.geometry.polygon import bounding_box_mm
from gowngroup.planning.lay.ask import Ask
from gowngroup.planning.lay.bundles import Copies, Form
from gowngroup.planning.lay.heap import Heap
from gowngroup.planning.lay.order_search import searched
from gowngroup.planning.lay.outlines import Piece, Placement, fitting_turns, turned
from gowngroup.planning.lay.skyline import Table
from gowngroup.planning.lay.swelling import swollen


def search(ask: Ask, *, effort: int, seed: int = 1, enough_mm: float = 0.0) -> tuple[Placement, ...]:
    """A place for every copy, none overlapping; the same whatever order the pieces come in.

    `effort` is how many boxes are put down in the whole search, at least each of them once by three plain rules; it
    ends before with the first lay no longer than `enough_mm`.
    The pieces must be `tidied`. Source: own search, simulated annealing on the order of boxes.
    """
    pieces = sorted(ask.pieces, key=lambda piece: (piece.outline, piece.turns, str(piece.id)))
    copies = [copy for number, piece in enumerate(pieces) for copy in _copies(number, piece, ask)]
    if not copies:
        return ()
    heap = Heap(pieces, copies, ask)
    enough = (enough_mm + ask.gap_mm) / ask.grown_mm if enough_mm else 0.0
    return tuple(_placements(heap, searched(heap, effort, Chance(seed), enough=enough), ask))


def _copies(number: int, piece: Piece, ask: Ask) -> list[Copies]:
    forms = tuple(_form(number, piece, turn, ask) for turn in fitting_turns(piece, ask.strip_width_mm))
    return [forms] * piece.quantity


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


def _placements(heap: Heap, table: Table, ask: Ask) -> Iterator[Placement]:
    for spot in table.spots:
        for part in heap.bundles[spot.form].parts:
            start_mm, low_mm = part.form.corner_mm
            yield Placement(
                id=heap.pieces[part.form.piece].id,
                turn=part.form.turn,
                x_mm=spot.along * ask.grown_mm - start_mm,
                y_mm=(spot.across + part.across) * ask.grown_mm - low_mm,
            )
