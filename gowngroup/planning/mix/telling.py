"""The mix line by line, each number with its reasons."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from gowngroup.planning.mix.fences import Fence
from gowngroup.planning.mix.levels import Decided
from gowngroup.planning.mix.problem import SetWant, Want
from gowngroup.planning.mix.values import (
    ROUNDING,
    SEWING_STAGES,
    GownChoice,
    Line,
    PastDemand,
    ProposalLine,
    SewingStage,
    WardAsk,
    WardShare,
)
from gowngroup.planning.reason import Reason, reason

# What a gown left out lacks: stages whose hours ran out, hours for any stage, cloth.
Lacks = tuple[str, ...]
_NO_DESIGN, _NO_COMMON_CLOTH = "no_design", "no_common_cloth"
_LACK_CODES: Mapping[Lacks, str] = {
    (): "left_over",
    ("any",): "hours_ran_out",
    **{(stage,): f"{stage}_hours_ran_out" for stage in SEWING_STAGES},
    ("cloth",): "cloth_ran_out",
    (_NO_DESIGN,): _NO_DESIGN,
    (_NO_COMMON_CLOTH,): _NO_COMMON_CLOTH,
}


class Teller:
    """Reads an answer: who gets what, what is left of hours and cloth, and so why there is not more."""

    def __init__(self, decided: Decided, asks: Sequence[WardAsk], demands: Sequence[PastDemand]) -> None:
        self.model = decided.model
        self.problem = decided.model.problem
        self.solved = decided.solved
        self.values = decided.solved.values
        self.fences = decided.fences
        self.cut_counts = self.model.cut_counts(decided.solved)
        self.asks = asks
        self.means = {each.size_name: each.monthly_mean for each in demands}
        self.left_min: dict[SewingStage | None, float] = {
            None: self.problem.hours.total_min - decided.solved.total(self.model.minutes())
        }
        for stage in SEWING_STAGES:
            offered = self.problem.hours.of(stage)
            if offered is not None:
                self.left_min[stage] = offered - decided.solved.total(self.model.minutes(stage))

    def _count(self, variable: int) -> int:
        return round(self.values[variable])

    def lines(self) -> tuple[ProposalLine, ...]:
        """A line for each design made in a size and purpose; one without gowns where none is made."""
        asked = dict.fromkeys((ask.size_name, ask.purpose) for ask in self.asks if ask.gown_count)
        wanted = dict.fromkeys((*asked, *sorted(self.problem.wanted_counts())))
        return tuple(line for each in wanted for line in self._lines_of(each))

    def _lines_of(self, line: Line) -> Iterator[ProposalLine]:
        choices = [number for number, choice in enumerate(self.problem.choices) if choice.line == line]
        made = {number: sum(map(self._count, self.model.of_choice(number))) for number in choices}
        told = sorted((number for number in choices if made[number]), key=lambda each: (-made[each], each))
        if not told and not self._asked(line):
            return
        shares = self._shares(line)
        numbers: list[int | None] = [*told] or [self._usual(choices)]
        for number in numbers:
            yield ProposalLine(
                size_name=line[0],
                purpose=line[1],
                design_key=None if number is None else self.problem.choices[number].design_key,
                asked_count=self._asked(line).total(),
                make_count=0 if number is None else made[number],
                safety_count=self._safety(number),
                shares=shares,
                matched_set_keys=self._sets_in(number),
                reasons=tuple(self._reasons(line, number, sum(made.values()), made.get(number or 0, 0))),
            )

    @staticmethod
    def _usual(choices: Sequence[int]) -> int | None:
        return choices[0] if choices else None

    def _asked(self, line: Line) -> Counter[str]:
        asked: Counter[str] = Counter()
        for want in self.problem.wants:
            if want.line == line and want.tier != "safety":
                asked[want.ward_key] += want.count
        for each in self.problem.sets:
            asked[each.ward_key] += dict(each.gowns).get(line, 0)
        return +asked

    def _shares(self, line: Line) -> tuple[WardShare, ...]:
        covered, made = self._given(line), self._made(line)
        return tuple(
            WardShare(
                ward_key=ward_key,
                asked_count=count,
                covered_count=covered[ward_key],
                make_count=made[ward_key],
            )
            for ward_key, count in sorted(self._asked(line).items())
        )

    def _given(self, line: Line) -> Counter[str]:
        given: Counter[str] = Counter()
        for (number, _), variable in self.model.given.items():
            if self.problem.wants[number].line == line:
                given[self.problem.wants[number].ward_key] += self._count(variable)
        return given

    def _made(self, line: Line) -> Counter[str]:
        made: Counter[str] = Counter()
        for (number, _), variable in self.model.made.items():
            if self.problem.wants[number].line == line:
                made[self.problem.wants[number].ward_key] += self._count(variable)
        for each in self._sets_made():
            made[each.ward_key] += dict(each.gowns).get(line, 0)
        return made

    def _sets_made(self) -> list[SetWant]:
        made = {number for (number, _), variable in self.model.set_at.items() if self._count(variable)}
        return [self.problem.sets[number] for number in sorted(made)]

    def _sets_in(self, choice_number: int | None) -> tuple[str, ...]:
        numbers = {
            number
            for (number, _, choice, _), variable in self.model.set_cut.items()
            if choice == choice_number and self._count(variable)
        }
        return tuple(self.problem.sets[number].set_key for number in sorted(numbers))

    def _safety(self, choice_number: int | None) -> int:
        return sum(
            self._count(variable)
            for (number, choice), variable in self.model.made.items()
            if choice == choice_number and self.problem.wants[number].tier == "safety"
        )

    def _reasons(self, line: Line, number: int | None, all_made: int, made: int) -> Iterator[Reason]:
        yield self._why_asked(line)
        if self._asked(line).total() and made < all_made:
            yield reason("of_designs", make=made, all=all_made)
        if kept := self._safety(number):
            yield reason("safety", kept=kept, mean=self.means.get(line[0], 0.0))
        if sets := self._sets_in(number):
            yield reason("matched_sets", count=len(sets))
        for lacks, count in sorted(self._missed(line).items()):
            yield _why_missed(lacks, count)

    def _why_asked(self, line: Line) -> Reason:
        there = [each for each in self.problem.supplies if (each.size_name, each.purpose) == line]
        return reason(
            "asked",
            asked=self._asked(line).total(),
            shelf=sum(each.shelf_count for each in there),
            out=sum(each.out_count for each in there),
            share_passed=max((each.share_passed for each in there if each.out_count), default=1.0),
        )

    def _missed(self, line: Line) -> Counter[Lacks]:
        """Gowns that are asked for and neither there nor made, by all that they lack."""
        missed: Counter[Lacks] = Counter()
        for number, want in enumerate(self.problem.wants):
            if want.line == line and want.tier != "safety":
                short = want.count - sum(map(self._count, self.model.of_want(number)))
                missed[self._lack_of_want(want)] += short
        made = self._sets_made()
        for each in self.problem.sets:
            if each not in made and (count := dict(each.gowns).get(line, 0)):
                missed[self._lack_of_set(each)] += count
        return +missed

    def _lack_of_want(self, want: Want) -> Lacks:
        """All that one more gown would lack; of several designs the one that comes nearest is told."""
        choices = [self.problem.choices[n] for n in self.problem.choices_for(want.line, want.ward_key)]
        lacks = (self._lacks([each]) for each in choices)
        return min(lacks, key=lambda each: (len(each), each), default=(_NO_DESIGN,))

    def _lack_of_set(self, wanted: SetWant) -> Lacks:
        """All that a set would lack, its gowns in the designs quickest to sew."""
        gowns: list[GownChoice] = []
        lots = {room.lot_key for room in self.problem.rooms}
        for line, count in wanted.gowns:
            choices = [self.problem.choices[n] for n in self.problem.choices_for(line, wanted.ward_key)]
            if not choices:
                return (_NO_DESIGN,)
            lots &= {key for each in choices for key in each.lot_keys}
            gowns += [min(choices, key=lambda each: (not each.lot_keys, each.minutes.total))] * count
        has_cloth = all(each.lot_keys for each in gowns)
        return (_NO_COMMON_CLOTH,) if has_cloth and not lots else self._lacks(gowns)

    def _lacks(self, gowns: Sequence[GownChoice]) -> Lacks:
        """The hours of which too few are left for these gowns, and cloth."""
        return (*self._hours_lacking(gowns), *(["cloth"] if self._lacks_cloth(gowns) else []))

    def _hours_lacking(self, gowns: Sequence[GownChoice]) -> list[str]:
        """The stages that lack minutes, and hours for any of them where more than those minutes are missing in all."""
        short_min = {
            stage: sum(each.minutes.total if stage is None else each.minutes.of(stage) for each in gowns)
            - left
            for stage, left in self.left_min.items()
        }
        in_all_min = short_min.pop(None)
        stages = {stage: minutes for stage, minutes in short_min.items() if self._is_short(minutes, stage)}
        for_the_rest = self._is_short(in_all_min - sum(stages.values()), None)
        return [*filter(None, stages), *(["any"] if for_the_rest else [])]

    def _is_short(self, minutes: float, stage: SewingStage | None) -> bool:
        """Are so many minutes more than a rounding error of what is left?"""
        return minutes > ROUNDING * (1 + abs(self.left_min[stage]))

    def _lacks_cloth(self, gowns: Sequence[GownChoice]) -> bool:
        needed = sum(each.cloth_mm2 for each in gowns)
        return any(self._is_beyond(fence, gowns) for fence in self.fences) or not any(
            self.model.could_hold(room, needed, self.solved)
            for room in self.problem.rooms
            if all(room.lot_key in each.lot_keys for each in gowns)
        )

    def _is_beyond(self, fence: Fence, gowns: Sequence[GownChoice]) -> bool:
        """Would the lots no longer hold what is cut and these gowns besides, by what a fence says they are worth?"""
        cut = sum(
            fence.worths.get(kind.choice_numbers[0], 0.0) * count
            for kind, count in zip(self.model.kinds, self.cut_counts, strict=True)
        )
        more = sum(fence.worths.get(self.problem.choices.index(each), 0.0) for each in gowns)
        return cut + more > sum(fence.most_by_lot.values()) * (1 + ROUNDING) + ROUNDING


def _why_missed(lacks: Lacks, count: int) -> Reason:
    """One lack has a code of its own; several are named."""
    if len(lacks) > 1:
        return reason("several_ran_out", missed=count, lacks=lacks)
    return reason(_LACK_CODES[lacks], missed=count)
