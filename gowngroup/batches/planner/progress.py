"""How far a planning is, as it is kept with its job: what is tried now, what was tried, what each step brought."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from gowngroup.planning.batch_plan.improve import FIRST, Improvement, PlanFigures, PlanStep
from gowngroup.planning.plain_data import plain, value_of


@dataclass(frozen=True, slots=True, kw_only=True)
class LotStep:
    """A lot by its code, and its length measured off before and after."""

    lot_code: str
    before_mm: float
    after_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StepTaken:
    """What one step came to; the first has nothing before it."""

    code: str
    lot_code: str
    is_better: bool
    before: PlanFigures | None
    after: PlanFigures
    lots: tuple[LotStep, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """A planning so far; `fingerprint` tells the order it works on, `replaces` the plan whose rest is planned."""

    fingerprint: str = ""
    replaces: int | None = None
    now_code: str = FIRST.code
    now_lot_code: str = ""
    position: int = 0
    step_count: int = 0
    done: tuple[str, ...] = ()
    taken: tuple[StepTaken, ...] = ()

    @classmethod
    def of(cls, document: Mapping[str, Any]) -> "Progress":
        """The progress kept with a job; damaged data count as none."""
        try:
            return value_of(cls, document)
        except (KeyError, TypeError):
            return cls()

    def document(self) -> dict[str, Any]:
        """As plain data."""
        return dict(plain(self))

    def begun_anew(self, fingerprint: str) -> "Progress":
        """Nothing done yet, for this order."""
        return Progress(fingerprint=fingerprint, replaces=self.replaces)

    def trying(self, step: PlanStep, lot_code: str) -> "Progress":
        """The step that is tried now."""
        return replace(self, now_code=step.code, now_lot_code=lot_code)

    def after(self, found: Improvement, lot_codes: Mapping[str, str]) -> "Progress":
        """What a step came to."""
        taken = StepTaken(
            code=found.step.code,
            lot_code=self.now_lot_code,
            is_better=found.is_better,
            before=found.before,
            after=found.after,
            lots=tuple(
                LotStep(lot_code=lot_codes[each.lot_key], before_mm=each.before_mm, after_mm=each.after_mm)
                for each in found.lots
            ),
        )
        return replace(
            self,
            position=found.position,
            step_count=found.step_count,
            done=(*self.done, found.step.key),
            taken=(*self.taken, taken),
        )

    @property
    def lot_codes(self) -> frozenset[str]:
        """The lots it speaks of."""
        gained = {lot.lot_code for step in self.taken for lot in step.lots}
        tried = {step.lot_code for step in self.taken}
        return frozenset(gained | tried | {self.now_lot_code}) - {""}

    @property
    def improvements(self) -> tuple[StepTaken, ...]:
        """The steps that brought a better plan."""
        return tuple(each for each in self.taken if each.is_better)

    @property
    def best(self) -> PlanFigures | None:
        """What the best plan so far comes to; None before there is one."""
        return self.taken[-1].after if self.taken else None
