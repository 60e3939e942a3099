"""Whoever looks at the demo sees the same rows; the command that builds it is harmless."""

from hashlib import sha256
from io import StringIO
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from pytest_django.fixtures import Settings

from gowngroup.people.models import Person
from tests.demo.built import Rows, digest
from tests.factories import PersonFactory


@pytest.mark.slow
def test_it_is_the_same_every_time(built_demo: Rows, pytestconfig: pytest.Config) -> None:
    """Two builds in one month by the same code differ in no row, the secrets that sign people in aside.

    A build takes half a minute of processor, so a run is compared with the one before it: in CI the run on
    PostgreSQL, which builds for another day of the month (tests/demo/built.py), with the run on SQLite.
    """
    kept = Path(pytestconfig.cache.mkdir("demo"), f"{_version()}.txt")
    found = [f"{model._meta.label}: {digest([(model, rows)])}" for model, rows in built_demo]
    if not kept.exists():
        kept.write_text("\n".join(found))
        pytest.skip("the first build by this code; the next run is compared with it")
    assert found == kept.read_text().split("\n")


def _version() -> str:
    """A name that changes with any line of the app."""
    sources = sorted(Path(settings.BASE_DIR, "gowngroup").rglob("*.py"))
    return sha256(b"".join(path.read_bytes() for path in sources)).hexdigest()[:16]


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
