"""One sent form has one effect, and every change leaves one line."""

from datetime import datetime

import pytest
from django.db import DatabaseError, connection

from gowngroup.people.models import Person
from gowngroup.records.actions import record

pytestmark = pytest.mark.django_db


def test_trail_lines_refuse_change(coordinator: Person, at: datetime) -> None:
    """A line of the trail can be neither changed nor removed, not even past the models."""
    line = record(by=coordinator, at=at, did="test", subject=coordinator)
    with pytest.raises(DatabaseError, match="never changed"), connection.cursor() as cursor:
        cursor.execute("UPDATE records_trailline SET did = 'x' WHERE id = %s", [line.pk])
