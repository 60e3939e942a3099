"""Ways to fill lots, put together to a dealing out."""

from gowngroup.planning.allocation.patterns import Pattern, counts_of
from gowngroup.planning.allocation.problem import Problem
from tests.planning.test_allocation_programme import need, room


def test_a_dealing_out_is_its_patterns() -> None:
    """Patterns of two lots of three count for each need what lies where."""
    problem = Problem(needs=(need(10, count=4), need(20, count=2)), rooms=(room(100), room(100), room(9)))
    patterns = [Pattern(room=0, groups=((0, 1),)), Pattern(room=1, groups=((0, 3), (1, 2)))]
    assert counts_of(patterns, problem) == ((1, 3, 0), (0, 2, 0))
