"""How much floss the group's kits really took, from what was wound and what was said when they came back."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import cast

from gowngroup.batches.models import Kit, KitReturn
from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.batches.queries.floss import floss_answers, plans_behind
from gowngroup.catalog.planner import floss_runs, need_from_document
from gowngroup.planning.floss import (
    LEAST_CALIBRATION,
    MOST_CALIBRATION,
    FlossReport,
    FlossRules,
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
    stored: dict[int, StoredPlan] = {}
    found: list[FlossReport] = []
    for row in answers:
        plan_id = row.kit.lay.plan_id
        try:
            if plan_id not in stored:
                stored[plan_id] = StoredPlan.of(plans[plan_id])
            found += _report(stored[plan_id], row)
        except UNREADABLE:
            continue
    return tuple(found)


def _report(stored: StoredPlan, row: KitReturn) -> Iterator[FlossReport]:
    """What one kit says; nothing where its gowns are not smocked."""
    kit: Kit = row.kit
    need = need_from_document(stored.designs[kit.design_revision_id, kit.size_id, kit.purpose])
    figures = {figure["key"]: float(figure["value"]) for figure in stored.document["figures"]}
    rules = FlossRules.from_figures(figures)
    runs = floss_runs(need, rules, value_of(PleaterProfile, stored.document["settings"]["pleater"]))
    if runs:
        yield FlossReport(
            runs=runs,
            gown_count=kit.gown_count,
            wound_cuts=sum(floss.kit_cuts(kit.gown_count) for floss in need.floss),
            spare_cuts=sum(floss.spare_cuts for floss in need.floss),
            outcome=cast(Outcome, row.floss_outcome),
            cut_count=row.floss_cut_count,
            rules=rules,
        )
