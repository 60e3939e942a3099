"""The month's question as an integer programme: who is given what, what is made of which cloth."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from itertools import combinations

from gowngroup.planning.integer_programme import Programme, Solved, Terms, total_of
from gowngroup.planning.mix.fences import Fence
from gowngroup.planning.mix.problem import Pool, Problem, Tier, Want, is_for
from gowngroup.planning.mix.values import ROUNDING, SEWING_STAGES, GownSupply, SewingStage


class MixProgramme:
    """Variables and rows of one month's question; gowns of a set are counted whole.

    `given[want, supply]`, `made[want, choice]` count single gowns; `cut[kind, lot]` says from which lot they come.
    `set_at[set, lot]` is 1 where a whole set comes from a lot, `set_cut[set, gown, choice, lot]` its designs.
    Keys are numbers of the problem's wants, supplies, choices, kinds and sets, and keys of lots. `more_min` are minutes
    beyond those offered, spent on no stage but their own (those of None: on any).
    """

    def __init__(
        self, problem: Problem, *, may_grow: Iterable[SewingStage | None] = (), most_nodes: int | None = None
    ) -> None:
        self.problem = problem
        self.kinds = problem.kinds()
        self.most_nodes = most_nodes
        self.programme = Programme(most_nodes=most_nodes, presolves=False)
        self.given: dict[tuple[int, int], int] = {}
        self.made: dict[tuple[int, int], int] = {}
        self.cut: dict[tuple[int, str], int] = {}
        self.set_at: dict[tuple[int, str], int] = {}
        self.set_cut: dict[tuple[int, int, int, str], int] = {}
        self.more_min = {stage: self.programme.variable(is_whole=False) for stage in may_grow}
        self._of_choice: dict[int, list[int]] = defaultdict(list)
        self._add_singles()
        self._add_sets()
        self._keep_hours()
        self._keep_cloth()

    def _add_singles(self) -> None:
        problem, programme = self.problem, self.programme
        from_supply: dict[int, list[int]] = defaultdict(list)
        for number, want in enumerate(problem.wants):
            for supply_number, supply in enumerate(problem.supplies):
                if _serves(supply, want):
                    variable = programme.variable(most=want.count)
                    self.given[number, supply_number] = variable
                    from_supply[supply_number].append(variable)
            for choice_number in problem.choices_for(want.line, want.ward_key):
                if not self._lots(choice_number):
                    continue
                variable = programme.variable(most=want.count)
                self.made[number, choice_number] = variable
                self._of_choice[choice_number].append(variable)
            programme.row(_sum(self.of_want(number)), most=want.count)
        for supply_number, variables in from_supply.items():
            programme.row(_sum(variables), most=problem.supplies[supply_number].expected_count)
        for number in range(len(self.kinds)):
            self._cut_singles(number)

    def _cut_singles(self, kind_number: int) -> None:
        """Every gown made is cut whole from one lot."""
        kind = self.kinds[kind_number]
        made = [variable for number in kind.choice_numbers for variable in self._of_choice[number]]
        if not made:
            return
        cut = {lot_key: self.programme.variable() for lot_key in kind.lot_keys}
        self.cut |= {(kind_number, lot_key): variable for lot_key, variable in cut.items()}
        self.programme.row({**_sum(made), **dict.fromkeys(cut.values(), -1.0)}, least=0.0, most=0.0)

    def _add_sets(self) -> None:
        """A set is cut from one lot, each of its gowns in one of the designs that suit it there."""
        for number, wanted in enumerate(self.problem.sets):
            options = [self.problem.choices_for(line, wanted.ward_key) for line, _ in wanted.gowns]
            for room in self.problem.rooms:
                key = room.lot_key
                here = [[each for each in some if key in self._lots(each)] for some in options]
                if all(here):
                    self._add_set_at(number, key, here)
            programme_row = _sum(self.of_set(number))
            if programme_row:
                self.programme.row(programme_row, most=1.0)

    def _add_set_at(self, number: int, lot_key: str, options: list[list[int]]) -> None:
        at = self.programme.variable(most=1)
        self.set_at[number, lot_key] = at
        for gown_number, (_, count) in enumerate(self.problem.sets[number].gowns):
            cut = []
            for choice_number in options[gown_number]:
                variable = self.programme.variable(most=count)
                self.set_cut[number, gown_number, choice_number, lot_key] = variable
                self._of_choice[choice_number].append(variable)
                cut.append(variable)
            self.programme.row({**_sum(cut), at: -float(count)}, least=0.0, most=0.0)

    def _lots(self, choice_number: int) -> tuple[str, ...]:
        return self.problem.choices[choice_number].lot_keys

    def _keep_hours(self) -> None:
        hours = self.problem.hours
        for stage in SEWING_STAGES:
            offered = hours.of(stage)
            if offered is not None:
                self.programme.row(_less(self.minutes(stage), self._more_for(stage)), most=offered)
        for stages in self._together():
            spent = total_of([self.minutes(stage) for stage in stages])
            more = self._more_for(None, *stages)
            self.programme.row(_less(spent, more), most=hours.total_min)

    def _together(self) -> Iterator[tuple[SewingStage, ...]]:
        """Stages that share what is offered in all: every one of them, and any that get none of one stage's growth."""
        growing = {stage for stage in self.more_min if stage is not None}
        for count in range(1, len(SEWING_STAGES) + 1):
            for stages in combinations(SEWING_STAGES, count):
                if count == len(SEWING_STAGES) or growing - set(stages):
                    yield stages

    def _more_for(self, *stages: SewingStage | None) -> list[int]:
        return [variable for stage, variable in self.more_min.items() if stage in stages]

    def _keep_cloth(self) -> None:
        for room in self.problem.rooms:
            taken = self.cloth_mm2(room.lot_key)
            self.programme.row(taken, most=room.area_mm2)
            if taken and math.isfinite(room.area_mm2):
                self._keep_whole(taken, room)

    def _keep_whole(self, taken: Terms, room: Pool) -> None:
        """What follows from gowns being whole: counted in steps of one gown's area, each lot holds whole steps only.

        Source: rounding cuts of Chvátal and Gomory, textbook method; they leave out no answer that can be cut.
        """
        for step_mm2 in sorted({area_mm2 for area_mm2 in taken.values() if area_mm2}):
            steps = {variable: _steps(area_mm2, step_mm2) for variable, area_mm2 in taken.items()}
            self.programme.row(
                {variable: count for variable, count in steps.items() if count},
                most=sum(_steps(each, step_mm2) for each in room.areas_mm2.values()),
            )

    def could_hold(self, room: Pool, area_mm2: float, solved: Solved) -> bool:
        """Could a lot, or one of a pool, still hold an area in one beside what an answer cuts? A no is never wrong."""
        taken = self.cloth_mm2(room.lot_key)
        left_mm2 = room.area_mm2 - solved.total(taken)
        if not area_mm2 or math.isinf(room.area_mm2) or left_mm2 * (1 + ROUNDING) < area_mm2:
            return left_mm2 * (1 + ROUNDING) >= area_mm2
        steps = {variable: _steps(each_mm2, area_mm2) for variable, each_mm2 in taken.items()}
        most = sum(_steps(each_mm2, area_mm2) for each_mm2 in room.areas_mm2.values())
        return solved.total(steps) + 1 <= most

    def keep_worth(self, fence: Fence) -> None:
        """Cut no more from any lot, or pool of lots, than it can hold of what the gowns are worth beside each other."""
        worths = [fence.worths.get(kind.choice_numbers[0], 0.0) for kind in self.kinds]
        for room in self.problem.rooms:
            if set(room.areas_mm2) <= set(fence.most_by_lot):
                cut = ((worths[number], variable) for number, variable in self.cut_from(room.lot_key))
                self.programme.row(
                    {variable: worth for worth, variable in cut if worth},
                    most=sum(fence.most_by_lot[key] for key in room.areas_mm2),
                )

    def cut_counts(self, solved: Solved) -> list[float]:
        """How many gowns of each kind an answer cuts."""
        counts = [0.0] * len(self.kinds)
        for room in self.problem.rooms:
            for kind_number, variable in self.cut_from(room.lot_key):
                counts[kind_number] += solved.values[variable]
        return counts

    def of_want(self, number: int) -> list[int]:
        """Variables that count gowns given to or made for a want."""
        return [
            variable
            for found in (self.given, self.made)
            for (want_number, _), variable in found.items()
            if want_number == number
        ]

    def of_set(self, number: int) -> list[int]:
        """Variables of which one is 1 when the set is made."""
        return [variable for (set_number, _), variable in self.set_at.items() if set_number == number]

    def of_choice(self, choice_number: int) -> list[int]:
        """Variables that count the gowns made in a design."""
        return self._of_choice[choice_number]

    def served(self, tier: Tier, ward_key: str | None = None) -> Terms:
        """Gowns a tier gets, in all or for one ward."""
        parts: list[Terms] = [
            _sum(self.of_want(number))
            for number, want in enumerate(self.problem.wants)
            if want.tier == tier and ward_key in (None, want.ward_key)
        ]
        for number, wanted in enumerate(self.problem.sets):
            if wanted.tier == tier and ward_key in (None, wanted.ward_key):
                parts.append(dict.fromkeys(self.of_set(number), float(wanted.count)))
        return total_of(parts)

    def minutes(self, stage: SewingStage | None = None) -> Terms:
        """Minutes spent, in all or on one stage."""
        return {
            variable: choice.minutes.total if stage is None else choice.minutes.of(stage)
            for number, choice in enumerate(self.problem.choices)
            for variable in self._of_choice[number]
        }

    def cloth_mm2(self, lot_key: str) -> Terms:
        """Area taken from a lot."""
        return {variable: self.kinds[number].area_mm2 for number, variable in self.cut_from(lot_key)}

    def cut_from(self, lot_key: str) -> Iterator[tuple[int, int]]:
        """Kinds of gowns and the variables that count how many of them a lot gives, those of sets among them."""
        kind_of = {number: kind for kind, each in enumerate(self.kinds) for number in each.choice_numbers}
        for (kind_number, key), variable in self.cut.items():
            if key == lot_key:
                yield kind_number, variable
        for (_, _, choice_number, key), variable in self.set_cut.items():
            if key == lot_key:
                yield kind_of[choice_number], variable


def served_by_ward(model: MixProgramme, solved: Solved, tier: Tier) -> Counter[str]:
    """Gowns each asking ward of a tier gets in an answer."""
    wards = model.problem.asked(tier)
    return Counter({ward_key: round(solved.total(model.served(tier, ward_key))) for ward_key in wards})


def _serves(supply: GownSupply, want: Want) -> bool:
    is_alike = (supply.size_name, supply.purpose) == want.line
    return is_alike and supply.expected_count > 0 and is_for(supply.ward_keys, want.ward_key)


def _steps(area_mm2: float, step_mm2: float) -> float:
    """Whole steps in an area, a rounding error never costing one."""
    return float(math.floor(area_mm2 / step_mm2 + ROUNDING))


def _sum(variables: Iterable[int]) -> dict[int, float]:
    return dict.fromkeys(variables, 1.0)


def _less(terms: Terms, variables: Iterable[int]) -> Terms:
    return {**terms, **dict.fromkeys(variables, -1.0)}
