"""A ward that asked, and passed gowns on the shelf."""

from collections.abc import Callable
from datetime import datetime

import pytest

from gowngroup.catalog.models import Size
from gowngroup.deliveries.actions import start_drop_off
from gowngroup.deliveries.models import DropOff
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Person
from gowngroup.wards.models import RequestLine, Ward
from tests.factories import DesignRevisionFactory, RequestLineFactory, SizeFactory, WardFactory
from tests.gowns.shelf import put_on_shelf


@pytest.fixture
def size(group: None) -> Size:
    return SizeFactory()


@pytest.fixture
def ward(size: Size) -> Ward:
    return WardFactory(sizes=[size])


@pytest.fixture
def line(ward: Ward, size: Size) -> RequestLine:
    """The ward asks for four gowns to wear."""
    return RequestLineFactory(request__ward=ward, size=size, gown_count=4)


@pytest.fixture
def shelf(size: Size) -> Callable[..., list[Gown]]:
    """Put so many passed gowns on the shelf."""
    revision = DesignRevisionFactory()

    def put(count: int, *, purpose: str = "worn", closure: str = "flat-fastening") -> list[Gown]:
        nonlocal revision
        if revision.closure != closure:
            revision = DesignRevisionFactory(closure=closure)
        return [
            put_on_shelf(revision=revision, size=size, purpose=purpose, hour=hour) for hour in range(count)
        ]

    return put


@pytest.fixture
def drop_off(ward: Ward, packer: Person, driver: Person, at: datetime) -> DropOff:
    """A drop-off being packed for the ward."""
    return start_drop_off(ward=ward, planned_on=at.date(), driver=driver, by=packer, at=at)
