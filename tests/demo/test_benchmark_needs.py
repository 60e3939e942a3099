"""The benchmark says what it measures, and what a section still needs, before it begins."""

import pytest
from django.core.management import CommandError, call_command

from gowngroup.demo.management.commands.benchmark import SECTIONS, Command
from tests.factories import PersonFactory


def test_help_names_each_section() -> None:
    """Whoever asks for help is told what each section measures and how to make what two of them need."""
    told = Command().create_parser("manage.py", "benchmark").format_help()
    for name, section in SECTIONS.items():
        assert f"  {name} " in told
        assert (section.__doc__ or "").splitlines()[0] in told
    assert "python3 manage.py demo" in told
    assert "seed_demo --gowns" in told


@pytest.mark.parametrize("section", ["sheets", "pages"])
def test_what_is_missing_is_said(db: None, section: str) -> None:
    """Without people, then without gathered styles, it says what to run and measures nothing."""
    with pytest.raises(CommandError, match=r"nobody and nothing to measure .* Run `python3 manage.py demo`"):
        call_command("benchmark", section)
    PersonFactory()
    with pytest.raises(CommandError, match=r"not gathered .* Run `python3 manage.py demo`"):
        call_command("benchmark", section)


def test_no_such_section() -> None:
    """A section that is not there is refused with the names of those that are."""
    with pytest.raises(CommandError, match=r"no section “sheet”.*lays.*sheets"):
        call_command("benchmark", "sheet")
