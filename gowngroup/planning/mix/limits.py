"""What holds a mix back, and the least that would free it: found by asking again without the limit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from gowngroup.planning.integer_programme import CannotSolve, total_of
from gowngroup.planning.mix.levels import Decided
from gowngroup.planning.mix.problem import Problem, endless_key
from gowngroup.planning.mix.programme import MixProgramme
from gowngroup.planning.mix.values import ROUNDING, SEWING_STAGES, Limit, LimitCode, SewingStage

T = TypeVar("T")

# What would free a limit is told as "about"; where both must grow minutes come first, then cloth,
# and at last that minutes are as little as may be tied to one stage.
_ABOUT_SHARE = 0.01
HOURS_CODES: dict[SewingStage | None, LimitCode] = {
    None: "hours",
    "pleat": "pleat_hours",
    "smock": "smock_hours",
    "make_up": "make_up_hours",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lifted:
    """Limits taken away together."""

    code: LimitCode
    stages: tuple[SewingStage | None, ...] = ()
    cloth_keys: tuple[str, ...] = ()


def binding_limits(decided: Decided) -> tuple[Limit, ...]:
    """Every limit that costs gowns, the one that costs most first; all of them together where that frees more.

    The gowns no design suits come last. Minutes and mm² are the least, within one in a hundred, with which the
    further gowns could be made with nobody served worse. Cloth is taken lot by lot only where the mix was.
    """
    problem = decided.model.problem
    without = _without_design(problem)
    unsuited = [Limit(code="no_design", more_count=without)] if without else []
    missing = _asked_count(problem) - without - decided.total_count
    if missing <= 0:
        return tuple(unsuited)
    found = [limit for each in _candidates(problem) if (limit := _freed(decided, each))]
    most = max((limit.more_count for limit in found), default=0)
    together = _freed(decided, _all_of(problem)) if most < missing else None
    if together and together.more_count > most:
        found.append(together)
    found = _without_idle_stages(found)
    found.sort(key=lambda limit: -limit.more_count)
    return (*found, *unsuited)


def _without_idle_stages(found: Sequence[Limit]) -> list[Limit]:
    """A stage binds only where its hours free more than hours of any kind do."""
    most = max((limit.more_count for limit in found if limit.code == "hours"), default=0)
    stages = set(HOURS_CODES.values()) - {"hours"}
    return [limit for limit in found if limit.code not in stages or limit.more_count > most]


def _asked_count(problem: Problem) -> int:
    return problem.asked("memorial").total() + problem.asked("worn").total()


def _without_design(problem: Problem) -> int:
    """Gowns that no design suits and that no shelf could serve."""
    singly = sum(
        want.count
        for want in problem.wants
        if want.tier != "safety" and not problem.choices_for(want.line, want.ward_key)
    )
    return singly + sum(
        each.count
        for each in problem.sets
        if not all(problem.choices_for(line, each.ward_key) for line, _ in each.gowns)
    )


def _candidates(problem: Problem) -> list[_Lifted]:
    stages: list[SewingStage | None] = [None, *_limited(problem)]
    cloth_keys = sorted({choice.cloth_key for choice in problem.choices})
    return [
        *(_Lifted(code=HOURS_CODES[stage], stages=(stage,)) for stage in stages),
        *(_Lifted(code="cloth", cloth_keys=(key,)) for key in cloth_keys),
    ]


def _limited(problem: Problem) -> list[SewingStage]:
    return [stage for stage in SEWING_STAGES if problem.hours.of(stage) is not None]


def _all_of(problem: Problem) -> _Lifted:
    cloth_keys = sorted({choice.cloth_key for choice in problem.choices})
    return _Lifted(code="several", stages=(None, *_limited(problem)), cloth_keys=tuple(cloth_keys))


def _freed(decided: Decided, lifted: _Lifted) -> Limit | None:
    """What could be made more without these limits, and the least of each that takes; None where nothing."""
    try:
        return _asked_again(decided, lifted)
    except CannotSolve:
        return None


def _asked_again(decided: Decided, lifted: _Lifted) -> Limit | None:
    problem = decided.model.problem
    for key in lifted.cloth_keys:
        problem = problem.with_endless_cloth(key)
    model = MixProgramme(problem, may_grow=lifted.stages, most_nodes=decided.model.most_nodes)
    for fence in decided.fences:
        model.keep_worth(fence)
    _keep_what_was_reached(model, decided)
    total = total_of([model.served("memorial"), model.served("worn")])
    cloth_by_key = {key: model.cloth_mm2(endless_key(key)) for key in lifted.cloth_keys}
    cloth = total_of(cloth_by_key.values())
    minutes = dict.fromkeys(model.more_min.values(), 1.0)
    tied = {variable: 1.0 for stage, variable in model.more_min.items() if stage is not None}
    least = model.programme.maximise(total, gap=0.999)
    most = round(least.total(total))
    if most <= decided.total_count:
        return None
    model.programme.row(total, least=most)
    for spent in filter(None, (minutes, cloth, tied)):
        least = model.programme.maximise({key: -each for key, each in spent.items()}, gap_share=_ABOUT_SHARE)
        model.programme.row(spent, most=least.total(spent))
    return Limit(
        code=lifted.code,
        more_count=most - decided.total_count,
        more_min=_some({stage: least.values[variable] for stage, variable in model.more_min.items()}),
        more_mm2=_some({key: least.total(taken) for key, taken in cloth_by_key.items()}),
    )


def _some(amounts: Mapping[T, float]) -> dict[T, float]:
    """Those that are more than a rounding error."""
    return {key: amount for key, amount in amounts.items() if amount > ROUNDING}


def _keep_what_was_reached(model: MixProgramme, decided: Decided) -> None:
    model.programme.row(model.served("memorial"), least=decided.memorial_count)
    asked = model.problem.asked("worn")
    for ward_key in decided.ward_keys:
        needed = -(-(decided.worst_cover or 0) * asked[ward_key] // 1)
        model.programme.row(model.served("worn", ward_key), least=float(needed))
