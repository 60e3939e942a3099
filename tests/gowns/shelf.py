"""Passed gowns for tests of what happens afterwards."""

from datetime import UTC, datetime

from gowngroup.catalog.models import DesignRevision, Size
from gowngroup.gowns.models import Gown
from gowngroup.records.actions import new_code


def put_on_shelf(*, revision: DesignRevision, size: Size, purpose: str = "worn", hour: int = 0) -> Gown:
    """A gown that passed both checks, with cloth unknown."""
    moment = datetime(2026, 2, 1, hour, tzinfo=UTC)
    return Gown.objects.create(
        code=new_code("G"),
        design_revision=revision,
        size=size,
        purpose=purpose,
        state=Gown.State.PASSED,
        received_at=moment,
        passed_at=moment,
    )
