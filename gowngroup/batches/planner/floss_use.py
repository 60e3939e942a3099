"""How much floss the group's kits really took, from what was wound and what was said when they came back."""

from dataclasses import dataclass
from typing import cast

from gowngroup.batches.models import Kit, KitReturn, Plan
from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.batches.queries.floss import floss_answers, plans_behind
from gowngroup.catalog.planner import FlossNeed, floss_runs, need_from_document
from gowngroup.planning.floss import (
    LEAST_CALIBRATION,
    MOST_CALIBRATION,
    FlossReport,
    FlossRules,
    FlossRun,
    LearnedCalibration,
    Outcome,
    learned_calibration,
)
from gowngroup.planning.plain_data import value_of
from gowngroup.planning.smocking import PleaterProfile
from gowngroup.records.queries import figures_in_force

FIGURE = "floss_calibration"
MOST_KITS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossUse:
    """What the kits say, beside the figure in use; `learned` is None while too few have said anything."""

    current: float
    report_count: int
    least_report_count: int
    learned: LearnedCalibration | None

    @property
    def value(self) -> float | None:
        """What the kits say, as the figure would be set: to two places."""
        return round(self.learned.value, 2) if self.learned else None

    @property
    def low(self) -> float | None:
        """The lower end of what is likely, or none where nothing bounds it."""
        return self.learned.low if self.learned and self.learned.low > LEAST_CALIBRATION else None

    @property
    def high(self) -> float | None:
        """The upper end of what is likely, or none where nothing bounds it."""
        return self.learned.high if self.learned and self.learned.high < MOST_CALIBRATION else None

    @property
    def is_proposed(self) -> bool:
        """Do the kits contradict the figure in use?"""
        return (
            self.learned is not None
            and not self.learned.agrees_with(self.current)
            and self.value != round(self.current, 2)
        )

    @property
    def more_percent(self) -> int:
        """How much more floss the proposed figure means, less where it is below nothing."""
        return round(100 * ((self.value or self.current) / self.current - 1))


def floss_use() -> FlossUse:
    """What the newest kits say of the floss they took."""
    figures = figures_in_force()
    reports, least = floss_reports(), int(figures["floss_least_report_count"])
    return FlossUse(
        current=figures[FIGURE],
        report_count=len(reports),
        least_report_count=least,
        learned=learned_calibration(reports, current=figures[FIGURE], least_report_count=least),
    )


def floss_reports() -> tuple[FlossReport, ...]:
    """The newest answers with what was wound for each kit, as its stored plan says; unreadable plans say nothing."""
    answers = floss_answers(most=MOST_KITS)
    plans = plans_behind(answers)
    wound: dict[tuple[int, int, int, str], _Wound | None] = {}
    for row in answers:
        key = _gown_of(row.kit)
        if key not in wound:
            wound[key] = _wound(plans[key[0]], row.kit)
    return tuple(_report(row, found) for row in answers if (found := wound[_gown_of(row.kit)]) is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wound:
    """The floss of one gown as its plan had it."""

    runs: tuple[FlossRun, ...]
    floss: tuple[FlossNeed, ...]
    rules: FlossRules


def _gown_of(kit: Kit) -> tuple[int, int, int, str]:
    """What two kits share that were planned with the same floss."""
    return kit.lay.plan_id, kit.design_revision_id, kit.size_id, kit.purpose


def _wound(plan: Plan, kit: Kit) -> _Wound | None:
    """The floss of a kit's gowns as planned; None where the plan cannot be read or they are not smocked."""
    try:
        stored = StoredPlan.of(plan)
        need = need_from_document(stored.designs[kit.design_revision_id, kit.size_id, kit.purpose])
        pleater = value_of(PleaterProfile, stored.document["settings"]["pleater"])
        rules = FlossRules.from_figures(
            {figure["key"]: float(figure["value"]) for figure in stored.document["figures"]}
        )
    except UNREADABLE:
        return None
    runs = floss_runs(need, rules, pleater)
    return _Wound(runs=runs, floss=need.floss, rules=rules) if runs else None


def _report(row: KitReturn, wound: _Wound) -> FlossReport:
    return FlossReport(
        runs=wound.runs,
        gown_count=row.kit.gown_count,
        wound_cuts=sum(floss.kit_cuts(row.kit.gown_count) for floss in wound.floss),
        spare_cuts=sum(floss.spare_cuts for floss in wound.floss),
        outcome=cast(Outcome, row.floss_outcome),
        cut_count=row.floss_cut_count,
        rules=wound.rules,
    )
