"""What must never close a gown (EN 14682 for 0 to 7 years; figures marked from memory in the handbook)."""

import pytest

from gowngroup.planning.drafting import ONE_FLAT_FASTENING, Closure, ClosureKind, closure_faults
from tests.planning.round_necks import RULES, size_up_to

LENGTH_MM = 270.0


def codes(closure: Closure, *, mass_g: float = 1500, gown_length_mm: float = LENGTH_MM) -> list[str]:
    """The codes of what a closure breaks on the size to this weight."""
    faults = closure_faults(closure, size=size_up_to(mass_g), rules=RULES, gown_length_mm=gown_length_mm)
    return [each.code for each in faults]


@pytest.mark.parametrize("closure", [ONE_FLAT_FASTENING, Closure(kind="none")])
def test_a_flat_fastening_or_none_may_be_used(closure: Closure) -> None:
    """The usual closure, and none at all, break no rule."""
    assert codes(closure) == []


@pytest.mark.parametrize("kind", ["ties", "drawstring"])
@pytest.mark.parametrize(("depth_mm", "is_blocked"), [(0, True), (51, True), (53, False)])
def test_no_cord_near_the_neck(kind: ClosureKind, depth_mm: float, is_blocked: bool) -> None:
    """Ties and drawstrings above the shoulder girth, 0.20 of the chest down, are blocked."""
    closure = Closure(kind=kind, depth_mm=depth_mm, finished_length_mm=50)
    assert ("cord_at_neck" in codes(closure)) is is_blocked


@pytest.mark.parametrize(("length_mm", "is_blocked"), [(140.4, False), (140.5, True)])
def test_no_tie_reaches_round_the_neck(length_mm: float, is_blocked: bool) -> None:
    """With a chest of 26 cm a tie of more than 0.54 of it, 140.4 mm, is blocked."""
    closure = Closure(kind="ties", depth_mm=100, finished_length_mm=length_mm)
    assert ("tie_longer_than_neck" in codes(closure)) is is_blocked


@pytest.mark.parametrize(("length_mm", "is_blocked"), [(360, False), (361, True)])
def test_no_tie_over_360_mm(length_mm: float, is_blocked: bool) -> None:
    """Whatever the size a tie over 360 mm is blocked."""
    closure = Closure(kind="ties", depth_mm=100, finished_length_mm=length_mm)
    assert ("tie_too_long" in codes(closure, mass_g=4500)) is is_blocked


@pytest.mark.parametrize(("depth_mm", "is_blocked"), [(169, False), (170, True)])
def test_no_tie_reaches_the_hem(depth_mm: float, is_blocked: bool) -> None:
    """A tie of 100 mm sewn 170 mm down a gown of 270 mm reaches the hem."""
    closure = Closure(kind="ties", depth_mm=depth_mm, finished_length_mm=100)
    assert ("tie_reaches_hem" in codes(closure)) is is_blocked


@pytest.mark.parametrize(("length_mm", "is_blocked"), [(140, False), (141, True)])
def test_drawstring_ends_are_short(length_mm: float, is_blocked: bool) -> None:
    """An end of a drawstring over 140 mm, laid flat, is blocked."""
    closure = Closure(kind="drawstring", depth_mm=100, finished_length_mm=length_mm)
    assert ("drawstring_too_long" in codes(closure)) is is_blocked


def test_no_metal() -> None:
    """A metal fastening is blocked."""
    assert codes(Closure(kind="flat fastening", is_metal=True)) == ["metal"]


def test_no_tie_where_the_chest_is_unknown() -> None:
    """On the smallest wraps, whose chest nobody knows, every tie is blocked."""
    assert "cord_at_neck" in codes(Closure(kind="ties", depth_mm=90, finished_length_mm=40), mass_g=150)


def test_every_fault_is_said_in_words() -> None:
    """Each fault gives what was measured, what is allowed and a sentence with the length."""
    closure = Closure(kind="ties", depth_mm=100, finished_length_mm=400)
    faults = closure_faults(closure, size=size_up_to(1500), rules=RULES, gown_length_mm=LENGTH_MM)
    assert [each.code for each in faults] == ["tie_longer_than_neck", "tie_too_long", "tie_reaches_hem"]
    assert all(each.measured_mm == 400 >= each.allowed_mm for each in faults)
