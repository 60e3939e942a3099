"""Speed and cloth figures, measured here and now and printed side by side."""

import math
import time
from collections.abc import Callable
from itertools import chain
from typing import Any

from django.core.management.base import BaseCommand

from gowngroup.planning.by_hand import lay_by_hand
from gowngroup.planning.figures import default_values
from gowngroup.planning.lays import Strip
from gowngroup.planning.lays.engines import shortest_lay
from gowngroup.planning.lays.values import least_length_mm
from gowngroup.planning.trial_gowns import trial_gowns

GOWN_COUNTS = (1, 6, 24, 100)
USABLE_WIDTHS_MM = (1100, 1480)

Say = Callable[[str], Any]


class Command(BaseCommand):
    help = "Print speed and cloth figures as ratios side by side; nothing is stored."

    def handle(self, *args: Any, **options: Any) -> None:
        for section in SECTIONS:
            section(self.stdout.write)


def lay_section(say: Say) -> None:
    """Cutting lays of drafted gowns: the whole batch together against gown by gown and against the area."""
    say(
        "Cutting lays, round-necked gowns of seven sizes in turn; lengths in cm, checked before they are shown"
    )
    say(" gowns  width  length  used     seconds  by hand  used   / by hand  / area bound  engine")
    for gown_count in GOWN_COUNTS:
        for width_mm in USABLE_WIDTHS_MM:
            say(_lay_line(gown_count, width_mm))


def _lay_line(gown_count: int, width_mm: float) -> str:
    values = default_values()
    strip = Strip(
        usable_width_mm=width_mm,
        length_mm=math.inf,
        gap_mm=values["piece_gap_mm"],
        length_step_mm=values["lay_step_mm"],
    )
    gowns = trial_gowns(gown_count)
    pieces = tuple(chain.from_iterable(gowns))
    started = time.perf_counter()
    lay = shortest_lay(pieces, strip, tolerance_mm=values["lay_tolerance_mm"])
    seconds = time.perf_counter() - started
    by_hand = lay_by_hand(gowns, strip)
    bound_mm = least_length_mm(pieces, width_mm)
    return (
        f"{gown_count:6} {width_mm / 10:6.0f} {lay.length_mm / 10:7.1f} {lay.used_share:5.1%} {seconds:10.2f}"
        f" {by_hand.length_mm / 10:9.1f} {by_hand.used_share:5.1%} {lay.length_mm / by_hand.length_mm:9.2f}"
        f" {lay.length_mm / bound_mm:12.2f}   {lay.engine}"
    )


# Each section prints one table; kit sheets and page times join here.
SECTIONS: tuple[Callable[[Say], None], ...] = (lay_section,)
