"""What the tests of kits and claims start from."""

from datetime import datetime

import pytest

from gowngroup.batches.actions import claim_kit
from gowngroup.batches.models import Kit
from gowngroup.batches.planner.drawings import drawn
from gowngroup.people.models import Person
from tests.factories import KitFactory


@pytest.fixture(autouse=True)
def _forget_drawings() -> None:
    """Another test's design may have had the same number."""
    drawn.cache_clear()


@pytest.fixture
def waiting_kit(group: object) -> Kit:
    return KitFactory(state=Kit.State.WAITING)


@pytest.fixture
def held_kit(waiting_kit: Kit, volunteer: Person, at: datetime) -> Kit:
    """A kit the volunteer has at home."""
    return claim_kit(kit=waiting_kit, by=volunteer, at=at).kit
