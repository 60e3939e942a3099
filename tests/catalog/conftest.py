"""A started catalog and its designs."""

from datetime import datetime

import pytest

from gowngroup.catalog.actions import start_catalog
from gowngroup.catalog.models import Design, DesignRevision, Size
from gowngroup.catalog.queries import newest_revision
from gowngroup.people.models import Person
from tests.catalog.box_gown import add_box_gown


@pytest.fixture
def started(coordinator: Person, at: datetime) -> Design:
    """The catalog a new group starts with; its round-necked design."""
    return start_catalog(by=coordinator, at=at)


@pytest.fixture
def round_neck(started: Design) -> DesignRevision:
    return newest_revision(started)


@pytest.fixture
def yoke(started: Design) -> DesignRevision:
    return newest_revision(Design.objects.get(name__startswith="Yoke"))


@pytest.fixture
def wrap(started: Design) -> DesignRevision:
    return newest_revision(Design.objects.get(name__startswith="Wrap"))


@pytest.fixture
def boxes(started: Design, coordinator: Person, at: datetime) -> DesignRevision:
    """A gown of rectangles with a smocked panel of 74 pleats, in two sizes, with lace of a typed length."""
    return add_box_gown(by=coordinator, at=at)


@pytest.fixture
def size_1500(started: Design) -> Size:
    """The size of the handbook's worked example: 1000 to 1500 g."""
    return Size.objects.get(upper_mass_g=1500)
