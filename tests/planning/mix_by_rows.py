"""A month's mix by SciPy's own door to integer programming, one plain row for each rule: what larger months are checked against."""

from collections.abc import Callable, Iterable
from fractions import Fraction

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp  # type: ignore[import-untyped]

from gowngroup.planning.mix.problem import Problem

Row = dict[int, float]
Key = tuple[int, int, str]


def plain_levels(month: Problem) -> tuple[int, Fraction, int, int]:
    """Memorial gowns, worst cover, gowns to wear and fewest designs of a month without shelf, sets and safety stock.

    Gowns are counted ward by ward, design by design and lot by lot; one wish after another is brought to its best.
    """
    return _PlainMonth(month).levels()


class _PlainMonth:
    def __init__(self, month: Problem) -> None:
        self.month = month
        self.keys: list[Key] = [
            (want_number, choice_number, lot_key)
            for want_number, want in enumerate(month.wants)
            for choice_number in month.choices_for(want.line, want.ward_key)
            for lot_key in month.choices[choice_number].lot_keys
        ]
        self.designs = sorted({choice.design_key for choice in month.choices})
        self.cover = len(self.keys) + len(self.designs)
        self.rows: list[tuple[Row, float]] = []

    def gowns(self, is_meant: Callable[[Key], bool], share: float = 1.0) -> Row:
        return {place: share for place, key in enumerate(self.keys) if is_meant(key)}

    def keep_to(self, each_takes: Callable[[Key], float], most: float) -> None:
        self.rows.append(({place: each_takes(key) for place, key in enumerate(self.keys)}, most))

    def levels(self) -> tuple[int, Fraction, int, int]:
        month, tier = self.month, [want.tier for want in self.month.wants]
        for number, want in enumerate(month.wants):
            self.keep_to(lambda key, number=number: float(key[0] == number), want.count)  # type: ignore[misc]
        self.keep_to(lambda key: month.choices[key[1]].minutes.total, month.hours.total_min)
        for room in month.rooms:
            lot = room.lot_key
            self.keep_to(
                lambda key, lot=lot: month.choices[key[1]].cloth_mm2 * (key[2] == lot),  # type: ignore[misc]
                room.area_mm2,
            )
        for place, design in enumerate(self.designs, start=len(self.keys)):
            of_design = self.gowns(lambda key, d=design: month.choices[key[1]].design_key == d)  # type: ignore[misc]
            self.rows.append(({**of_design, place: -float(sum(want.count for want in month.wants))}, 0.0))
        for ward, asked in month.asked("worn").items():
            served = self.gowns(
                lambda key, ward=ward: (  # type: ignore[misc]
                    month.wants[key[0]].ward_key == ward and tier[key[0]] == "worn"
                ),
                -1.0 / asked,
            )
            if served:
                self.rows.append(({**served, self.cover: 1.0}, 0.0))
        memorial = self.best(self.gowns(lambda key: tier[key[0]] == "memorial"))
        covers = any(self.cover in row for row, _ in self.rows)
        cover = self.best({self.cover: 1.0}) if covers else 0.0
        worn = self.best(self.gowns(lambda key: tier[key[0]] == "worn"))
        fewest = self.best({len(self.keys) + number: -1.0 for number in range(len(self.designs))})
        return round(memorial), Fraction(cover).limit_denominator(200), round(worn), round(fewest)

    def best(self, terms: Row) -> float:
        """The greatest value of these terms, kept from now on."""
        found = milp(
            -self._spread([terms])[0],
            constraints=LinearConstraint(
                self._spread(row for row, _ in self.rows), ub=[most for _, most in self.rows]
            ),
            integrality=np.array([1] * self.cover + [0]),
            bounds=Bounds(0, [np.inf] * len(self.keys) + [1] * (len(self.designs) + 1)),
            options={"mip_rel_gap": 0.0},
        )
        assert found.success
        self.rows.append(({place: -factor for place, factor in terms.items()}, found.fun + 1e-6))
        return float(-found.fun)

    def _spread(self, rows: Iterable[Row]) -> np.ndarray:
        return np.array([[row.get(place, 0.0) for place in range(self.cover + 1)] for row in rows])
