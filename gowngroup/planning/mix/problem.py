"""What is asked and what there is, checked and put in one order, so that the order typed never matters."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from gowngroup.planning.mix.safety import safety_count
from gowngroup.planning.mix.values import (
    SEWING_STAGES,
    CannotPropose,
    ClothRoom,
    GownChoice,
    GownSupply,
    HoursOffered,
    Line,
    MixRules,
    PastDemand,
    WardAsk,
)

Tier = Literal["memorial", "worn", "safety"]
# Safety stock is asked by no ward.
NO_WARD = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Want:
    """Gowns of one size and purpose a ward waits for, each of which may be had singly."""

    tier: Tier
    ward_key: str
    line: Line
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SetWant:
    """Gowns of one matched set, made together from one cloth or not at all."""

    ward_key: str
    set_key: str
    gowns: tuple[tuple[Line, int], ...]

    @property
    def tier(self) -> Tier:
        """A set one of whose babies has died is made with the memorial gowns."""
        return "memorial" if any(purpose == "memorial" for (_, purpose), _ in self.gowns) else "worn"

    @property
    def count(self) -> int:
        return sum(count for _, count in self.gowns)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pool:
    """Lots that suit the same designs, under the name of the first; one lot alone is a pool too."""

    areas_mm2: Mapping[str, float]

    @property
    def lot_key(self) -> str:
        return next(iter(self.areas_mm2))

    @property
    def area_mm2(self) -> float:
        return sum(self.areas_mm2.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """Gowns cut alike, whatever their size and purpose: the same area from the same lots."""

    area_mm2: float
    lot_keys: tuple[str, ...]
    choice_numbers: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One month's question: what is wanted and what there is to make it of, in canonical order."""

    wants: tuple[Want, ...]
    sets: tuple[SetWant, ...]
    supplies: tuple[GownSupply, ...]
    choices: tuple[GownChoice, ...]
    rooms: tuple[Pool, ...]
    hours: HoursOffered

    def asked(self, tier: Tier) -> Counter[str]:
        """Gowns asked in a tier, by ward."""
        asked: Counter[str] = Counter()
        wants: tuple[Want | SetWant, ...] = (*self.wants, *self.sets)
        for want in wants:
            if want.tier == tier:
                asked[want.ward_key] += want.count
        return asked

    def wanted_counts(self) -> Counter[Line]:
        """Gowns wanted of each size and purpose, those of sets among them."""
        wanted: Counter[Line] = Counter()
        for want in self.wants:
            wanted[want.line] += want.count
        for each in self.sets:
            wanted.update(dict(each.gowns))
        return wanted

    def choices_for(self, line: Line, ward_key: str) -> list[int]:
        """Numbers of the designs a ward accepts for a size and purpose."""
        return [
            number
            for number, choice in enumerate(self.choices)
            if choice.line == line and is_for(choice.ward_keys, ward_key)
        ]

    def kinds(self) -> tuple[Kind, ...]:
        """The gowns that can be cut at all, kind by kind, in the order of their first design."""
        alike: dict[tuple[float, tuple[str, ...]], list[int]] = defaultdict(list)
        for number, choice in enumerate(self.choices):
            if choice.lot_keys:
                alike[choice.cloth_mm2, choice.lot_keys].append(number)
        return tuple(
            Kind(area_mm2=area_mm2, lot_keys=lot_keys, choice_numbers=tuple(numbers))
            for (area_mm2, lot_keys), numbers in alike.items()
        )

    def pooled(self) -> Problem:
        """The same question with lots that suit the same designs thrown together: never harder to answer."""
        suits: dict[tuple[int, ...], list[Pool]] = defaultdict(list)
        for room in self.rooms:
            numbers = (n for n, choice in enumerate(self.choices) if room.lot_key in choice.lot_keys)
            suits[tuple(numbers)].append(room)
        pools = {rooms[0].lot_key: (set(numbers), rooms) for numbers, rooms in suits.items() if numbers}
        return replace(
            self,
            rooms=tuple(
                Pool(areas_mm2={room.lot_key: room.area_mm2 for room in rooms}) for _, rooms in pools.values()
            ),
            choices=tuple(
                replace(choice, lot_keys=tuple(key for key, (suited, _) in pools.items() if number in suited))
                for number, choice in enumerate(self.choices)
            ),
        )

    def with_endless_cloth(self, cloth_key: str) -> Problem:
        """The same question with as much of one kind of cloth as anybody could want."""
        key = endless_key(cloth_key)
        choices = tuple(
            replace(each, lot_keys=(*each.lot_keys, key)) if each.cloth_key == cloth_key else each
            for each in self.choices
        )
        return replace(self, choices=choices, rooms=(*self.rooms, Pool(areas_mm2={key: math.inf})))


def endless_key(cloth_key: str) -> str:
    """The name of cloth that is not there."""
    return f"endless {cloth_key}"


def is_for(ward_keys: tuple[str, ...] | None, ward_key: str) -> bool:
    """May a ward have it? None stands for every ward, and safety stock is for any."""
    return ward_keys is None or ward_key == NO_WARD or ward_key in ward_keys


def problem_of(
    asks: Sequence[WardAsk],
    *,
    supplies: Sequence[GownSupply],
    choices: Sequence[GownChoice],
    cloth: Sequence[ClothRoom],
    hours: HoursOffered,
    demands: Sequence[PastDemand],
    rules: MixRules,
) -> Problem:
    """The question in canonical order; raises CannotPropose, naming the ward, size or lot that cannot be meant."""
    _check_counts(asks, supplies)
    _check_means(choices, cloth, hours)
    wants = [*_wants(asks), *_safety_wants(asks, demands, rules)]
    sets = _sets(asks)
    lines = {want.line for want in wants} | {line for each in sets for line, _ in each.gowns}
    rooms = tuple(
        Pool(areas_mm2={room.lot_key: room.area_mm2}) for room in sorted(cloth, key=lambda room: room.lot_key)
    )
    return Problem(
        wants=tuple(sorted(wants, key=lambda want: (want.tier, want.ward_key, want.line))),
        sets=tuple(sorted(sets, key=lambda each: (each.ward_key, each.set_key))),
        supplies=tuple(
            sorted(
                (each for each in supplies if (each.size_name, each.purpose) in lines),
                key=lambda each: (each.size_name, each.purpose, str(each)),
            )
        ),
        choices=tuple(
            _with_room(choice, rooms)
            for choice in sorted(choices, key=lambda each: (each.line, each.design_key))
            if choice.line in lines
        ),
        rooms=rooms,
        hours=hours,
    )


def _wants(asks: Iterable[WardAsk]) -> list[Want]:
    counts: Counter[tuple[str, Line]] = Counter()
    for ask in asks:
        if ask.matched_set_key is None:
            counts[ask.ward_key, (ask.size_name, ask.purpose)] += ask.gown_count
    return [
        Want(tier=line[1], ward_key=ward_key, line=line, count=count)
        for (ward_key, line), count in counts.items()
        if count
    ]


def _safety_wants(asks: Iterable[WardAsk], demands: Iterable[PastDemand], rules: MixRules) -> list[Want]:
    asked: Counter[str] = Counter()
    for ask in asks:
        if ask.purpose == "worn":
            asked[ask.size_name] += ask.gown_count
    counts = {
        each.size_name: safety_count(each, asked_count=asked[each.size_name], rules=rules) for each in demands
    }
    return [
        Want(tier="safety", ward_key=NO_WARD, line=(size_name, "worn"), count=count)
        for size_name, count in counts.items()
        if count
    ]


def _sets(asks: Iterable[WardAsk]) -> list[SetWant]:
    gowns: dict[tuple[str, str], Counter[Line]] = {}
    for ask in asks:
        if ask.matched_set_key is not None and ask.gown_count:
            together = gowns.setdefault((ask.ward_key, ask.matched_set_key), Counter())
            together[ask.size_name, ask.purpose] += ask.gown_count
    return [
        SetWant(ward_key=ward_key, set_key=set_key, gowns=tuple(sorted(together.items())))
        for (ward_key, set_key), together in gowns.items()
    ]


def _with_room(choice: GownChoice, rooms: Iterable[Pool]) -> GownChoice:
    """The design with only those lots that hold one of its gowns."""
    roomy = (room.lot_key for room in rooms if room.area_mm2 >= choice.cloth_mm2)
    return replace(choice, lot_keys=tuple(key for key in roomy if key in choice.lot_keys))


def _check_counts(asks: Iterable[WardAsk], supplies: Iterable[GownSupply]) -> None:
    for ask in asks:
        if not ask.ward_key or ask.gown_count < 0:
            raise CannotPropose(
                f"ward {ask.ward_key!r}, {ask.size_name}: {ask.gown_count} gowns cannot be asked"
            )
    for each in supplies:
        if min(each.shelf_count, each.out_count) < 0 or not 0 <= each.share_passed <= 1:
            raise CannotPropose(
                f"{each.size_name}, {each.purpose}: {each.shelf_count} gowns there and {each.out_count} out, "
                f"of which a share of {each.share_passed:g} passes (0 to 1), cannot be meant"
            )


def _check_means(choices: Iterable[GownChoice], cloth: Sequence[ClothRoom], hours: HoursOffered) -> None:
    for choice in choices:
        takes = (*(choice.minutes.of(stage) for stage in SEWING_STAGES), choice.cloth_mm2)
        if not all(0 <= each < math.inf for each in takes):
            raise CannotPropose(
                f"{choice.design_key}, {choice.size_name}: its minutes or cloth cannot be meant"
            )
    for room in cloth:
        if not room.area_mm2 >= 0:
            raise CannotPropose(f"lot {room.lot_key}: {room.area_mm2:g} mm² of cloth cannot be meant")
    _check_once("lot", [room.lot_key for room in cloth])
    _check_once("design", [f"{each.design_key}, {each.size_name}, {each.purpose}" for each in choices])
    offered = (hours.total_min, *(hours.of(stage) for stage in SEWING_STAGES))
    if not all(minutes is None or minutes >= 0 for minutes in offered):
        raise CannotPropose("hours offered: none may be below 0")


def _check_once(what: str, keys: Sequence[str]) -> None:
    for key, count in Counter(keys).items():
        if count > 1:
            raise CannotPropose(f"{what} {key} stands there {count} times")
