"""What every test of the planner needs."""

from collections.abc import Iterator

import pytest

from gowngroup.planning.lay import nesting


@pytest.fixture(autouse=True, scope="session")
def _patience() -> Iterator[None]:
    """A child that a busy machine keeps waiting is not killed, so that lays do not hang on how quick the machine is."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(nesting, "GRACE_SECONDS", 120.0)
        yield
