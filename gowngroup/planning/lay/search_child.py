"""What a child process runs that searches beside its parent: one question, read from and answered on plain text."""

from __future__ import annotations

import json
import sys

from gowngroup.planning.lay.ask import Ask
from gowngroup.planning.lay.outlines import Piece
from gowngroup.planning.lay.sequence import search


def answer(question: str) -> str:
    """Placements for a question, both as JSON: lists of piece number, turn in degrees, shift along x and along y."""
    asked = json.loads(question)
    told = asked["ask"]
    ask = Ask(
        pieces=tuple(
            Piece(str(number), tuple((x, y) for x, y in outline), quantity, tuple(turns))
            for number, (outline, quantity, turns) in enumerate(told["pieces"])
        ),
        strip_width_mm=told["strip_width_mm"],
        gap_mm=told["gap_mm"],
        flaws=tuple((start, end) for start, end in told["flaws"]),
        repeat_mm=told["repeat_mm"],
        matched_ids=frozenset(str(number) for number in told["matched"]),
    )
    found = search(ask, effort=asked["effort"], seed=asked["seed"])
    return json.dumps([[int(each.id), each.turn, each.x_mm, each.y_mm] for each in found])


if __name__ == "__main__":  # pragma: no cover - runs in the child only
    sys.stdout.write("\n" + answer(sys.stdin.read()) + "\n")
