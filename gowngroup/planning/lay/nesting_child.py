"""What the child process runs: spyrrow on one question, read from and answered on plain text.

It stands alone and imports nothing of the program, so that starting it is quick and a panic of the engine, which is
no ordinary exception, ends this process and no other.
"""

from __future__ import annotations

import json
import sys

import spyrrow


def answer(question: str) -> str:
    """Placements for a question, both as JSON: lists of piece number, turn in degrees, shift along x and along y."""
    asked = json.loads(question)
    items = [
        spyrrow.Item(str(number), [tuple(point) for point in outline], quantity, turns)
        for number, (outline, quantity, turns) in enumerate(asked["pieces"])
    ]
    config = spyrrow.StripPackingConfig(
        early_termination=True,
        total_computation_time=None,
        exploration_time=asked["exploring_seconds"],
        compression_time=asked["compressing_seconds"],
        num_workers=asked["workers"],
        seed=asked["seed"],
    )
    solution = spyrrow.StripPackingInstance("lay", asked["strip_width_mm"], items).solve(config)
    return json.dumps([[int(each.id), each.rotation, *each.translation] for each in solution.placed_items])


if __name__ == "__main__":  # pragma: no cover - runs in the child only
    sys.stdout.write("\n" + answer(sys.stdin.read()) + "\n")
