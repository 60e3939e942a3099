"""Smocking sums beside those worked by hand, and how well returned kits give away a group's own hand."""

import random
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

from gowngroup.planning.figures import default_values
from gowngroup.planning.floss import (
    FlossReport,
    FlossRules,
    FlossRun,
    LearnedCalibration,
    learned_calibration,
    needlefuls_for,
    needlefuls_per_cut,
    row_floss,
    run_lengths_mm,
)
from gowngroup.planning.smocking import ChartRow, CompiledRow, PleaterProfile, compile_row

PLEATS, PITCH_MM = 74, 6.35 / 3
CABLE = ChartRow(name="cable", stitch="cable", top_row=Fraction(1), floss_role="A")
WAVE = replace(CABLE, name="baby wave", stitch="wave", steps=1, rise="half", floss_role="B")
# Own arithmetic by hand: u 6.35, R 3, row space 9.525, 74 pleats; mm of floss in the row.
BY_HAND_MM: tuple[tuple[ChartRow, float], ...] = (
    (CABLE, 618.1),
    (WAVE, 695.1),
    (replace(WAVE, name="2-step wave, half space", steps=2), 648.0),
    (replace(WAVE, name="2-step wave, full space", steps=2, rise="full"), 720.7),
    (replace(WAVE, name="3-step trellis", stitch="trellis", steps=3, rise="thirds"), 675.2),
    (replace(WAVE, name="1-step wave, full space", rise="full"), 840.9),
)
SEEDS = range(1, 6)
KITS, SPREAD, UNPICKED_SHARE = 30, 0.1, 0.15
HANDS = (0.85, 1.0, 1.1, 1.25)
Say = Callable[[str], Any]


def smocking_section(say: Say) -> None:
    """Worked rows, then five seeds of thirty kits for each of four hands, the worst reported."""
    rules = FlossRules.from_figures(default_values())
    say("Floss of a row of 74 pleats, mm: here, by hand, ratio; needlefuls, and at a fifth more floss")
    for row, by_hand_mm in BY_HAND_MM:
        here = row_floss(_compiled(row), pitch_mm=PITCH_MM, take_up_mm=_pleater().take_up_mm, rules=rules)
        more = row_floss(
            _compiled(row),
            pitch_mm=PITCH_MM,
            take_up_mm=_pleater().take_up_mm,
            rules=replace(rules, calibration=1 + rules.sensitivity_share),
        )
        ratio = here.length_mm / by_hand_mm
        say(
            f"{row.name:26} {here.length_mm:7.1f} {by_hand_mm:7.1f} {ratio:7.4f} {here.needlefuls:4} {more.needlefuls:4}"
        )
    say(
        f"A group's own hand from {KITS} kits, sewers ±10 %, one in seven unpicks rows; five seeds, the worst"
    )
    say("true   found  likely range   in range (of 5)  worst ratio")
    for hand in HANDS:
        say(_hand_line(hand, rules))


def _hand_line(hand: float, rules: FlossRules) -> str:
    found = [_learned(hand, seed, rules) for seed in SEEDS]
    worst = max(found, key=lambda each: abs(each.value - hand))
    hits = sum(each.agrees_with(hand) for each in found)
    return f"{hand:4.2f} {worst.value:7.2f}   {worst.low:4.2f} to {worst.high:4.2f} {hits:12} {worst.value / hand:14.2f}"


def _learned(hand: float, seed: int, rules: FlossRules) -> LearnedCalibration:
    """What kits of so many sewers say, every seventh or so having sewn some of her rows twice."""
    chance = random.Random(seed)  # noqa: S311 - invented sewers need no secrets
    reports = []
    for _kit in range(KITS):
        runs = _runs(chance.choice((1.8, 2.1, 2.5)), chance.randint(3, 7), rules)
        own = hand * chance.uniform(1 - SPREAD, 1 + SPREAD)
        used = _cuts(runs, own * (1.4 if chance.random() < UNPICKED_SHARE else 1.0), rules)
        reports.append(_report(runs, _cuts(runs, 1.0, rules) + 2, used, rules))
    learned = learned_calibration(reports, current=1.0, least_report_count=8)
    if learned is None:
        raise ValueError("thirty kits are enough to learn from")
    return learned


def _report(runs: tuple[FlossRun, ...], wound: int, used: int, rules: FlossRules) -> FlossReport:
    return FlossReport(
        runs=runs,
        gown_count=1,
        wound_cuts=wound,
        spare_cuts=2,
        outcome="short" if used > wound else "left" if used < wound else "enough",
        cut_count=abs(used - wound) or None,
        rules=rules,
    )


def _runs(pitch_mm: float, wave_count: int, rules: FlossRules) -> tuple[FlossRun, ...]:
    rows = [_compiled(CABLE)] * 2 + [_compiled(WAVE)] * wave_count
    return tuple(
        FlossRun(
            floss_role=row.row.floss_role,
            strand_count=row.row.strand_count,
            length_mm=sum(run_lengths_mm(run, pitch_mm=pitch, take_up_mm=_pleater().take_up_mm, rules=rules)),
        )
        for place, row in enumerate(rows)
        for pitch in (pitch_mm * (1 + 0.04 * place),)
        for run in row.runs
    )


def _cuts(runs: tuple[FlossRun, ...], calibration: float, rules: FlossRules) -> int:
    """Cuts a sewer begins, floss by floss."""
    total = 0
    for role in ("A", "B"):
        mine = [run for run in runs if run.floss_role == role]
        count = sum(needlefuls_for(calibration * run.length_mm, rules) for run in mine)
        total += -(-count // needlefuls_per_cut(mine[0].strand_count, rules))
    return total


def _compiled(row: ChartRow) -> CompiledRow:
    return compile_row(row, PLEATS, _pleater())


def _pleater() -> PleaterProfile:
    return PleaterProfile.from_figures(default_values())
