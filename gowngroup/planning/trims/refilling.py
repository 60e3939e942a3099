"""A cutting made better by sharing the pieces of two supplies out anew, or by cutting them from another supply."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from gowngroup.planning.trims.problem import Cutting, Problem, cutting_of, missing_of
from gowngroup.planning.trims.sums import sums_between, sums_reached, taken_for

Contents = dict[int, list[int]]

# A budget in looks at two supplies rather than seconds, so that the same pieces always give the same cutting.
MOST_LOOKS = 300


def refilled(cutting: Cutting, problem: Problem) -> Cutting:
    """The same supplies or as many, with fewer missing pieces and less useless left-over where two can share better."""
    contents = {pattern.supply: _listed(pattern.counts, problem.lengths) for pattern in cutting}
    for length in _listed(missing_of(cutting, problem), problem.lengths):
        _take_in(contents, problem, length)
    looks = iter(range(MOST_LOOKS))
    while _is_bettered(contents, problem, looks):
        pass
    return cutting_of(contents, problem)


def _listed(counts: Sequence[int], lengths: Sequence[int]) -> list[int]:
    return [length for length, count in zip(lengths, counts, strict=True) for _ in range(count)]


def _take_in(contents: Contents, problem: Problem, length: int) -> None:
    """Find room for a missing piece in two supplies together, if there is."""
    for first, second in combinations(sorted(contents), 2):
        pieces = [*contents[first], *contents[second], length]
        if shared := _shared(problem, pieces, first, second, most=None):
            contents[first], contents[second] = shared
            return


def _is_bettered(contents: Contents, problem: Problem, looks: Iterator[int]) -> bool:
    for poor in [supply for supply in sorted(contents) if _useless(contents, problem, supply)]:
        for other, _look in zip(sorted(contents), looks, strict=False):
            if other != poor and _is_shared_better(contents, problem, poor, other):
                return True
        for other in _unused(contents, problem, poor):
            if problem.useless_cm(other, sum(contents[poor])) < _useless(contents, problem, poor):
                contents[other] = contents.pop(poor)
                return True
    return False


def _useless(contents: Contents, problem: Problem, supply: int) -> int:
    return problem.useless_cm(supply, sum(contents[supply]))


def _unused(contents: Contents, problem: Problem, like: int) -> Iterator[int]:
    """Supplies not cut yet, as whole or as opened as another, that hold what is cut from it."""
    for supply, length in enumerate(problem.supplies):
        is_alike = problem.is_whole[supply] == problem.is_whole[like]
        if supply not in contents and is_alike and length >= sum(contents[like]):
            yield supply


def _is_shared_better(contents: Contents, problem: Problem, first: int, second: int) -> bool:
    before = _useless(contents, problem, first) + _useless(contents, problem, second)
    shared = _shared(problem, contents[first] + contents[second], first, second, most=before - 1)
    if shared is None:
        return False
    contents[first], contents[second] = shared
    return True


def _shared(
    problem: Problem, pieces: list[int], first: int, second: int, *, most: int | None
) -> tuple[list[int], list[int]] | None:
    """Pieces shared out between two supplies with least useless left-over; None where it comes to more than `most`."""
    total, room = sum(pieces), problem.supplies[first]
    least, greatest = max(total - problem.supplies[second], 0), min(room, total)
    if least > greatest:
        return None
    ordered = sorted(pieces)
    reached = sums_reached(ordered, room)
    sums = sums_between(reached[-1], least, greatest)
    costs = problem.useless_cms(room - sums) + problem.useless_cms(problem.supplies[second] - total + sums)
    if not len(sums) or (most is not None and costs.min() > most):
        return None
    taken = taken_for(ordered, reached, int(sums[costs.argmin()]))
    rest = list(ordered)
    for length in taken:
        rest.remove(length)
    return taken, rest
