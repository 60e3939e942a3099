"""The inspectors' Wednesdays: first checks, mending, washing, second checks."""

from collections.abc import Iterable, Mapping
from datetime import datetime

from gowngroup.demo.scene import Scene
from gowngroup.gowns.actions import check_gown, finish_mending, wash_gowns
from gowngroup.gowns.checklist import questions
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.people.models import Person

Round, Outcome, State = GownCheck.Round, GownCheck.Outcome, Gown.State

# What is found at the first check: the place in the row of gowns, what becomes of it, and why.
Found = Mapping[int, tuple[str, str]]
FIRST_FOUND: Found = {
    3: (Outcome.MEND, "the hem of the left sleeve has come open"),
    9: (Outcome.MEND, "a floss end is loose inside"),
    14: (Outcome.SET_ASIDE, "a needle hole in the front that mending would show"),
    19: (Outcome.PRACTICE, "pleats pulled too tight; kept to learn from"),
}
SECOND_FOUND: Found = {6: (Outcome.MEND, "a spot of oil at the hem")}


def first_checks(scene: Scene, gowns: Iterable[Gown], *, at: datetime, found: Found = FIRST_FOUND) -> None:
    """Look at gowns that came back."""
    _check_all(gowns, Round.FIRST, by=scene.cast.inspector, at=at, found=found)


def second_checks(scene: Scene, gowns: Iterable[Gown], *, at: datetime, found: Found = SECOND_FOUND) -> None:
    """Look at washed gowns; those that pass go into the box of their size."""
    _check_all(gowns, Round.SECOND, by=scene.cast.second_inspector, at=at, found=found)


def _check_all(gowns: Iterable[Gown], round_: str, *, by: Person, at: datetime, found: Found) -> None:
    for number, gown in enumerate(gowns):
        outcome, reason = found.get(number, (Outcome.PASS.value, ""))
        is_passed_on = outcome == Outcome.PASS
        check_gown(
            gown=gown,
            round=round_,
            outcome=outcome,
            is_free_of_metal=True,
            answers={
                question.key: is_passed_on or bool(place)
                for place, question in enumerate(questions(gown, round_))
            },
            reason=reason,
            place=_box(gown) if is_passed_on and round_ == Round.SECOND else None,
            by=by,
            at=at,
        )


def _box(gown: Gown) -> str:
    return "closed box" if gown.is_memorial() else f"box {gown.size.length_cm} cm"


def gowns_now(state: str) -> list[Gown]:
    """The gowns in a state, as they lie there."""
    return list(Gown.objects.filter(state=state).select_related("size").order_by("pk"))


def wash(scene: Scene, gowns: list[Gown], *, at: datetime) -> None:
    """Wash, dry and steam gowns together."""
    if gowns:
        wash_gowns(gowns=gowns, is_dry=True, is_steamed=True, by=scene.cast.inspector, at=at)


def mend(scene: Scene, *, at: datetime) -> None:
    """Mend what waits to be mended; it is checked again."""
    for gown in gowns_now(State.MENDING):
        finish_mending(gown=gown, by=scene.cast.second_inspector, at=at)


def whole_round(scene: Scene, month: int, day: int) -> None:
    """A week at the inspectors' table: everything that came back is checked, mended, washed and checked again."""
    first_checks(scene, gowns_now(State.BACK), at=scene.at(month, day, 10))
    mend(scene, at=scene.at(month, day + 1, 15))
    first_checks(scene, gowns_now(State.BACK), at=scene.at(month, day + 1, 16), found={})
    wash(scene, gowns_now(State.TO_WASH), at=scene.at(month, day + 2, 9))
    second_checks(scene, gowns_now(State.WASHED), at=scene.at(month, day + 4, 11))
    mend(scene, at=scene.at(month, day + 4, 16))
