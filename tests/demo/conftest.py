"""The demo as it stands on the 17th of March 2026, for every test of a module that asks for it."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
import time_machine

NOW = datetime(2026, 3, 17, 10, 0, tzinfo=UTC)


@pytest.fixture
def demo(laid_out_demo: None, db: None) -> Iterator[None]:
    """The demo, seen two weeks into its month."""
    with time_machine.travel(NOW, tick=False):
        yield
