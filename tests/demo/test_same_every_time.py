"""Whoever looks at the demo sees the same rows; the command that builds it is harmless."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from pytest_django.fixtures import Settings

from gowngroup.people.models import Person
from tests.demo.built import TODAY, Rows, built, digest
from tests.factories import PersonFactory


@pytest.mark.slow
def test_it_is_the_same_every_time(built_demo: Rows, db: None) -> None:
    """Two builds in one month differ in no row, the secrets that sign people in aside."""
    first = built_demo
    second = built(TODAY.replace(day=28))
    assert [(model, len(rows)) for model, rows in second] == [(model, len(rows)) for model, rows in first]
    assert digest(second) == digest(first)


def test_it_is_built_in_the_demo_only(db: None, settings: Settings) -> None:
    """Invented people never get into a group's own database."""
    settings.IS_DEMO = False
    with pytest.raises(CommandError, match="belong in the demo only"):
        call_command("seed_demo")
    assert not Person.objects.exists()


def test_a_second_call_changes_nothing(db: None) -> None:
    """Where people are already, the command says so and leaves everything alone."""
    PersonFactory()
    said = StringIO()
    call_command("seed_demo", stdout=said)
    assert said.getvalue() == "The demo is there already.\n"
    assert Person.objects.count() == 1
