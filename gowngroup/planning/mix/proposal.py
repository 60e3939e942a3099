"""How many gowns of each size to make this month, and which ward they are for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import floor
from typing import Literal

from gowngroup.planning.reason import Reason, reason

Purpose = Literal["worn", "memorial"]
Line = tuple[str, Purpose]

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class WardAsk:
    """Gowns of one size and purpose a ward asks for; asks with one set key are one matched set.

    For a memorial shelf the count is what the shelf lacks.
    """

    ward_key: str
    size_name: str
    purpose: Purpose
    gown_count: int
    matched_set_key: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GownSupply:
    """Gowns of one size and purpose already there: passed on the shelf, and out in kits."""

    size_name: str
    purpose: Purpose
    shelf_count: int
    out_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class GownChoice:
    """The design made for one size and purpose: usual minutes and cloth of one gown, and the lots that suit it."""

    size_name: str
    purpose: Purpose
    design_key: str
    minutes_per_gown: float
    cloth_mm2: float
    lot_keys: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothRoom:
    """The area of a lot that pieces can be expected to fill."""

    lot_key: str
    area_mm2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WardShare:
    """One ward's part of a line: what it asked, what is there for it already, and what is made for it."""

    ward_key: str
    asked_count: int
    covered_count: int
    make_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposalLine:
    """How many gowns of one size and purpose to make, for whom and why."""

    size_name: str
    purpose: Purpose
    design_key: str | None
    asked_count: int
    wanted_count: int
    make_count: int
    shares: tuple[WardShare, ...]
    matched_set_keys: tuple[str, ...]
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Unit:
    """What is made together or not at all: one gown, or the gowns of one matched set."""

    ward_key: str
    lines: tuple[Line, ...]
    matched_set_key: str | None
    choices: tuple[GownChoice, ...]

    @property
    def is_memorial(self) -> bool:
        return all(purpose == "memorial" for _, purpose in self.lines)

    @property
    def minutes(self) -> float:
        return sum(choice.minutes_per_gown for choice in self.choices)

    @property
    def cloth_mm2(self) -> float:
        return sum(choice.cloth_mm2 for choice in self.choices)

    @property
    def lot_keys(self) -> frozenset[str]:
        """Lots that suit every gown of the unit."""
        return frozenset.intersection(*(frozenset(choice.lot_keys) for choice in self.choices))


@dataclass(slots=True, kw_only=True)
class _Means:
    """Hours and cloth not yet promised; `room_mm2` is what is left of each lot."""

    minutes: float
    room_mm2: dict[str, float]

    def lots_for(self, unit: _Unit) -> list[str]:
        """The lots that still hold the whole unit, least room first, so that large lots stay for large sets."""
        wide = [
            (self.room_mm2[key], key)
            for key in unit.lot_keys
            if self.room_mm2.get(key, 0.0) + _ROUNDING >= unit.cloth_mm2
        ]
        return [key for _, key in sorted(wide)]

    def lack(self, unit: _Unit) -> str | None:
        """What this unit lacks, cloth named before hours; None when it can be made."""
        if len(unit.choices) < len(unit.lines):
            return "no_design"
        if not self.lots_for(unit):
            return "cloth_ran_out"
        return "hours_ran_out" if unit.minutes > self.minutes + _ROUNDING else None

    def spend(self, unit: _Unit) -> None:
        """Take the unit's hours and cloth; ask `lack` first."""
        self.minutes -= unit.minutes
        self.room_mm2[self.lots_for(unit)[0]] -= unit.cloth_mm2


@dataclass(slots=True, kw_only=True)
class _Cover:
    """Gowns asked and served per ward, for the question who is worst served."""

    asked: Counter[str]
    served: Counter[str] = field(default_factory=Counter)

    def share(self, ward_key: str) -> float:
        return self.served[ward_key] / self.asked[ward_key]


def propose(
    asks: Sequence[WardAsk],
    *,
    supplies: Sequence[GownSupply],
    choices: Sequence[GownChoice],
    cloth: Sequence[ClothRoom],
    capacity_min: float,
    share_passed: float,
) -> tuple[ProposalLine, ...]:
    """A proposed batch: one line per size and purpose asked for, in the order first asked.

    What is passed on the shelf, and the gowns out times the share passed (rounded down, because a gown promised and
    missing is worse than one over), go to the worst-served ward first; matched sets are always made new, from one
    cloth. Memorial gowns are made first and stand outside the fairness sums. Then the ward with the lowest cover
    (served / asked) is served next, and of its gowns the one that takes the fewest minutes, so that most are served,
    until hours or cloth run out; each gown, and each set, comes whole from one lot. Times in minutes, areas in mm²,
    shares 0 to 1. Raises ValueError for a share outside 0 to 1.
    Source: max-min fairness, textbook method; the group's own share passed.
    """
    if not 0 <= share_passed <= 1:
        raise ValueError("the share passed must lie between 0 and 1")
    ordered = sorted(asks, key=lambda ask: (ask.ward_key, ask.matched_set_key or ""))
    covers: dict[bool, _Cover] = {kind: _Cover(asked=Counter()) for kind in (True, False)}
    units = _units(ordered, choices)
    for unit in units:
        covers[unit.is_memorial].asked[unit.ward_key] += len(unit.lines)
    covered, waiting = _hand_out(units, supplies, covers, share_passed)
    means = _Means(minutes=capacity_min, room_mm2={each.lot_key: each.area_mm2 for each in cloth})
    made: list[_Unit] = []
    unmet: list[tuple[_Unit, str]] = []
    for is_memorial in (True, False):
        taken, left = _make(
            [unit for unit in waiting if unit.is_memorial is is_memorial], means, covers[is_memorial]
        )
        made.extend(taken)
        unmet.extend(left)
    lines = dict.fromkeys((ask.size_name, ask.purpose) for ask in asks if ask.gown_count)
    tally = _Tally(units=units, covered=covered, made=made, unmet=unmet, share_passed=share_passed)
    return tuple(tally.line(line, supplies, choices) for line in lines)


def _units(asks: Iterable[WardAsk], choices: Sequence[GownChoice]) -> list[_Unit]:
    by_line = {(choice.size_name, choice.purpose): choice for choice in choices}
    sets: dict[tuple[str, str], list[Line]] = {}
    singles: list[tuple[str, Line]] = []
    for ask in asks:
        gowns: list[Line] = [(ask.size_name, ask.purpose)] * ask.gown_count
        if ask.matched_set_key is None:
            singles.extend((ask.ward_key, line) for line in gowns)
        else:
            sets.setdefault((ask.ward_key, ask.matched_set_key), []).extend(gowns)
    together = [(ward_key, set_key, tuple(lines)) for (ward_key, set_key), lines in sets.items() if lines]
    alone = [(ward_key, None, (line,)) for ward_key, line in singles]
    return [
        _Unit(
            ward_key=ward_key,
            lines=lines,
            matched_set_key=set_key,
            choices=tuple(by_line[line] for line in lines if line in by_line),
        )
        for ward_key, set_key, lines in [*together, *alone]
    ]


def expected_count(supply: GownSupply, share_passed: float) -> int:
    """Gowns to count on: those passed, and those out times the share passed, rounded down."""
    return supply.shelf_count + floor(supply.out_count * share_passed + _ROUNDING)


def _hand_out(
    units: Sequence[_Unit], supplies: Iterable[GownSupply], covers: dict[bool, _Cover], share_passed: float
) -> tuple[list[_Unit], list[_Unit]]:
    """Give what is there to the worst-served wards; returns the units covered and those still waiting."""
    waiting = list(units)
    covered: list[_Unit] = []
    for supply in sorted(supplies, key=lambda each: (each.size_name, each.purpose)):
        cover = covers[supply.purpose == "memorial"]
        for _ in range(expected_count(supply, share_passed)):
            line: Line = (supply.size_name, supply.purpose)
            fitting = [unit for unit in waiting if unit.lines == (line,) and unit.matched_set_key is None]
            if not fitting:
                break
            unit = min(fitting, key=lambda each: (cover.share(each.ward_key), each.ward_key))
            cover.served[unit.ward_key] += 1
            waiting.remove(unit)
            covered.append(unit)
    return covered, waiting


def _make(
    waiting: Sequence[_Unit], means: _Means, cover: _Cover
) -> tuple[list[_Unit], list[tuple[_Unit, str]]]:
    """Make unit after unit while hours and cloth last; returns those made, and the rest with what each lacks."""
    left = list(waiting)
    made: list[_Unit] = []
    while possible := _possible(left, means):
        unit = min(
            possible,
            key=lambda each: (
                cover.share(each.ward_key),
                each.minutes / len(each.lines),
                each.ward_key,
                each.matched_set_key or "",
                each.lines,
            ),
        )
        means.spend(unit)
        cover.served[unit.ward_key] += len(unit.lines)
        left.remove(unit)
        made.append(unit)
    return made, [(unit, means.lack(unit) or "") for unit in left]


def _possible(left: Sequence[_Unit], means: _Means) -> list[_Unit]:
    """The units there is still enough for; those of the same lines are alike and looked at once."""
    lacks: dict[tuple[Line, ...], str | None] = {}
    for unit in left:
        if unit.lines not in lacks:
            lacks[unit.lines] = means.lack(unit)
    return [unit for unit in left if lacks[unit.lines] is None]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tally:
    """Everything decided, ready to be told line by line."""

    units: Sequence[_Unit]
    covered: Sequence[_Unit]
    made: Sequence[_Unit]
    unmet: Sequence[tuple[_Unit, str]]
    share_passed: float

    def line(self, line: Line, supplies: Sequence[GownSupply], choices: Sequence[GownChoice]) -> ProposalLine:
        size_name, purpose = line
        design_keys = [each.design_key for each in choices if (each.size_name, each.purpose) == line]
        asked, covered, made = (_per_ward(units, line) for units in (self.units, self.covered, self.made))
        return ProposalLine(
            size_name=size_name,
            purpose=purpose,
            design_key=design_keys[0] if design_keys else None,
            asked_count=asked.total(),
            wanted_count=asked.total() - covered.total(),
            make_count=made.total(),
            shares=tuple(
                WardShare(
                    ward_key=ward_key,
                    asked_count=asked[ward_key],
                    covered_count=covered[ward_key],
                    make_count=made[ward_key],
                )
                for ward_key in sorted(asked)
            ),
            matched_set_keys=tuple(
                sorted(
                    unit.matched_set_key for unit in self.made if unit.matched_set_key and line in unit.lines
                )
            ),
            reasons=(self._asked(line, asked.total(), supplies), *self._cut(line, made.total())),
        )

    def _asked(self, line: Line, asked_count: int, supplies: Iterable[GownSupply]) -> Reason:
        there = [each for each in supplies if (each.size_name, each.purpose) == line]
        return reason(
            "asked",
            asked=asked_count,
            shelf=sum(each.shelf_count for each in there),
            out=sum(each.out_count for each in there),
            share_passed=self.share_passed,
        )

    def _cut(self, line: Line, make_count: int) -> Iterable[Reason]:
        """One reason for each thing that ran out, with the gowns it cost."""
        missed: Counter[str] = Counter()
        for unit, lack in self.unmet:
            missed[lack] += unit.lines.count(line)
        wanted_count = make_count + missed.total()
        return [
            reason(lack, wanted=wanted_count, make=make_count, missed=count)
            for lack, count in sorted(missed.items())
            if count
        ]


def _per_ward(units: Iterable[_Unit], line: Line) -> Counter[str]:
    counts: Counter[str] = Counter()
    for unit in units:
        if count := unit.lines.count(line):
            counts[unit.ward_key] += count
    return counts
