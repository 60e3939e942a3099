"""The demo as it stands on the 17th of March 2026, for every test of a module that asks for it."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
import time_machine
from pytest_django import DjangoDbBlocker

from tests.demo.built import demo_rows, lay_out, rolled_back

NOW = datetime(2026, 3, 17, 10, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def laid_out_demo(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """The demo's rows in the test database, for this module only; each test undoes what it changes."""
    with django_db_blocker.unblock():
        rows = demo_rows()
        with rolled_back():
            lay_out(rows)
            yield


@pytest.fixture
def demo(laid_out_demo: None, db: None) -> Iterator[None]:
    """The demo, seen two weeks into its month."""
    with time_machine.travel(NOW, tick=False):
        yield
