"""What the tests of finished gowns start from."""

from datetime import datetime
from typing import Any, Protocol

import pytest

from gowngroup.batches.actions import claim_kit
from gowngroup.batches.models import Kit
from gowngroup.gowns.actions import check_gown, take_back, wash_gowns
from gowngroup.gowns.checklist import questions
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.people.models import Person
from tests.factories import KitFactory


@pytest.fixture
def kit(volunteer: Person, at: datetime) -> Kit:
    """A kit of three gowns the volunteer has at home."""
    waiting = KitFactory(state=Kit.State.WAITING, gown_count=3)
    return claim_kit(kit=waiting, by=volunteer, at=at).kit


@pytest.fixture
def gown(kit: Kit, inspector: Person, at: datetime) -> Gown:
    """A gown that has just come back."""
    back = take_back(kit=kit, gown_count=1, are_needles_counted=True, by=inspector, at=at)
    return Gown.objects.get(kit_return=back)


class Check(Protocol):
    """Checks a gown in a round, everything in order unless said."""

    def __call__(
        self, gown: Gown, round_: str = "first", outcome: str = "pass", **facts: Any
    ) -> GownCheck: ...


@pytest.fixture
def check(inspector: Person, at: datetime) -> Check:
    """The inspector at her table."""

    def run(gown: Gown, round_: str = "first", outcome: str = "pass", **facts: Any) -> GownCheck:
        given: dict[str, Any] = {
            "is_free_of_metal": True,
            "answers": {question.key: True for question in questions(gown, round_)},
            "reason": "" if outcome == "pass" else "hem too long",
        }
        return check_gown(gown=gown, round=round_, outcome=outcome, by=inspector, at=at, **given | facts)

    return run


@pytest.fixture
def washed(gown: Gown, check: Check, inspector: Person, at: datetime) -> Gown:
    """A gown that has passed its first check and been washed."""
    check(gown)
    wash_gowns(gowns=[gown], is_dry=True, is_steamed=True, by=inspector, at=at)
    gown.refresh_from_db()
    return gown


@pytest.fixture
def passed(washed: Gown, check: Check) -> Gown:
    """A gown on the shelf."""
    check(washed, "second", place="box 2")
    return washed
