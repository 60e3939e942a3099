"""What the child process runs: spyrrow on one question, read from and answered on plain text.

It stands alone and imports nothing of the program, so that starting it is quick and a panic of the engine, which is
no ordinary exception, ends this process and no other.
"""

from __future__ import annotations

import json
import os
import sys
from threading import Thread
from typing import Any

import spyrrow

# The engine looks at its clock only now and then; of what it told on the way these are whole lays without overlap.
WHOLE = (spyrrow.ReportType.ExplFeas, spyrrow.ReportType.CmprFeas)


def answer(question: str) -> str:
    """Placements for a question, both as JSON: lists of piece number, turn in degrees, shift along x and along y.

    Where the engine overruns `stop_seconds` the best it has told by then; ends the process where that is nothing.
    """
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
    instance = spyrrow.StripPackingInstance("lay", asked["strip_width_mm"], items)
    solution = solved(instance, config, stop_seconds=asked["stop_seconds"])
    return json.dumps([[int(each.id), each.rotation, *each.translation] for each in solution.placed_items])


def solved(instance: Any, config: Any, *, stop_seconds: float) -> Any:
    """The engine's own answer, or the last whole lay it told of where it does not end in time. Raises SystemExit."""
    told = spyrrow.ProgressQueue()
    found: list[Any] = []
    solving = Thread(target=lambda: found.append(instance.solve(config, told)), daemon=True)
    solving.start()
    solving.join(stop_seconds)
    if solving.is_alive():
        found.extend(lay for kind, lay in told.drain() if kind in WHOLE)
    if not found:
        raise SystemExit("the engine found nothing")
    return found[-1]


if __name__ == "__main__":  # pragma: no cover - runs in the child only
    sys.stdout.write("\n" + answer(sys.stdin.read()) + "\n")
    sys.stdout.flush()
    os._exit(0)  # an engine that is still at it would meet a Python that is going, and abort with its answer
