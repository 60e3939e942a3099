"""What the tests of kits and claims start from."""

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from gowngroup.batches.actions import claim_kit
from gowngroup.batches.models import Kit
from gowngroup.batches.planner.drawings import drawn
from gowngroup.people.models import Person
from tests.factories import KitFactory
from tests.race import database_in_a_file


@pytest.fixture(autouse=True)
def _forget_drawings() -> None:
    """Another test's design may have had the same number."""
    drawn.cache_clear()


@pytest.fixture
def race_database(transactional_db: None, tmp_path: Path) -> Iterator[None]:
    """A database that many threads can write to at once."""
    with database_in_a_file(tmp_path / "race.sqlite3"):
        yield


@pytest.fixture
def waiting_kit(group: object) -> Kit:
    return KitFactory(state=Kit.State.WAITING)


@pytest.fixture
def held_kit(waiting_kit: Kit, volunteer: Person, at: datetime) -> Kit:
    """A kit the volunteer has at home."""
    return claim_kit(kit=waiting_kit, by=volunteer, at=at).kit
