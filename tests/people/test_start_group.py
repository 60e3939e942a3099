"""Starting a group on a fresh database."""

import pytest
from django.core.management import CommandError, call_command

from gowngroup.people.models import Person
from gowngroup.people.queries import people_at, roles_of, the_group

pytestmark = pytest.mark.django_db
START = ("start_group", "Our circle", "First Coordinator", "First@Example.org")


def test_group_starts_with_one_coordinator(capsys: pytest.CaptureFixture[str]) -> None:
    """One command makes the group and somebody who can sign in and do everything."""
    call_command(*START)
    (first,) = people_at("first@example.org")
    assert (the_group().name, list(roles_of(first))) == ("Our circle", ["coordinator"])
    assert "can sign in now" in capsys.readouterr().out


def test_group_starts_once(db: None) -> None:
    """A group that is there already is never started over."""
    call_command(*START)
    with pytest.raises(CommandError, match="started already"):
        call_command("start_group", "Another", "Somebody", "else@example.org")
    assert Person.objects.count() == 1


def test_bad_address_starts_nothing() -> None:
    """An address that cannot be one is refused before anything is made."""
    with pytest.raises(CommandError, match="not an email address"):
        call_command("start_group", "Our circle", "First", "nowhere")
    assert not Person.objects.exists()
