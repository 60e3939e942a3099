"""Speed and cloth figures, measured here and now and printed side by side."""

from argparse import RawDescriptionHelpFormatter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser, DjangoHelpFormatter
from django.db import DatabaseError

from gowngroup.demo.allocation_benchmark import allocation_section
from gowngroup.demo.lay_benchmark import lay_section, outline_section, rectangle_section, width_section
from gowngroup.demo.mix_benchmark import mix_section
from gowngroup.demo.page_benchmark import page_section
from gowngroup.demo.plan_benchmark import plan_section
from gowngroup.demo.smocking_benchmark import smocking_section
from gowngroup.demo.trim_benchmark import trim_section
from gowngroup.people.models import Person
from gowngroup.printing.benchmark import sheet_section
from gowngroup.printing.pdf import missing_libraries, missing_library_sentence

Say = Callable[[str], Any]
HOW = "Run `python3 manage.py demo` once and stop it with Ctrl+C when it is ready, then this again."
NEEDED = """The others bring what they measure along. These measure a database with people and kits, that of the
demo: run `python3 manage.py demo` once and stop it with Ctrl+C when it is ready.
Another one, such as ten years of it, is made and measured by (on Windows `set` the first two instead)

    export GOWNGROUP_DEMO=1 GOWNGROUP_VAR_DIR=/tmp/ten-years
    python3 manage.py migrate && python3 manage.py collectstatic --noinput
    python3 manage.py seed_demo --gowns 60000 && python3 manage.py benchmark pages"""


class LinesAsWritten(RawDescriptionHelpFormatter, DjangoHelpFormatter):
    """Help with the lines of what stands below it as they are."""


class Command(BaseCommand):
    help = "Print speed and cloth figures as ratios side by side; nothing is stored."

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> CommandParser:
        told = "\n".join(f"  {name:11} {_first_line(section)}" for name, section in SECTIONS.items())
        epilog = f"sections:\n{told}\n\n{' and '.join(NEEDS)}: {NEEDED}"
        return super().create_parser(
            prog_name, subcommand, epilog=epilog, formatter_class=LinesAsWritten, **kwargs
        )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "sections", nargs="*", metavar="section", help="which tables; all of them where none is named"
        )

    def handle(self, *args: Any, sections: list[str], **options: Any) -> None:
        for name in sections:
            if name not in SECTIONS:
                raise CommandError(f"There is no section “{name}”. There are: {', '.join(SECTIONS)}.")
        missing = {name: what for name in sections or SECTIONS if (what := _missing_for(name))}
        if sections and missing:
            raise CommandError("\n".join(f"{name}: {what}" for name, what in missing.items()))
        for name in sections or SECTIONS:
            if name in missing:
                self.stdout.write(f"{name}: {missing[name]}")
            else:
                SECTIONS[name](self.stdout.write)


def _missing_for(name: str) -> str:
    """What a section still needs and how to come by it; nothing where it can begin."""
    return next(filter(None, (need() for need in NEEDS.get(name, ()))), "")


def _people_missing() -> str:
    try:
        is_there = Person.objects.exists()
    except DatabaseError:  # no such file, or no tables in it
        is_there = False
    return "" if is_there else f"there is nobody and nothing to measure in {_database()}. {HOW}"


def _static_files_missing() -> str:
    listed = Path(settings.STATIC_ROOT, "staticfiles.json")
    return "" if listed.exists() else f"styles and scripts are not gathered in {settings.STATIC_ROOT}. {HOW}"


def _library_missing() -> str:
    return missing_library_sentence() if missing_libraries() else ""


def _database() -> str:
    return str(settings.DATABASES["default"]["NAME"])


def _first_line(section: Callable[[Say], None]) -> str:
    return (section.__doc__ or "").partition("\n")[0]


# Each section prints one table.
SECTIONS: dict[str, Callable[[Say], None]] = {
    "lays": lay_section,
    "widths": width_section,
    "rectangles": rectangle_section,
    "outlines": outline_section,
    "mix": mix_section,
    "allocation": allocation_section,
    "smocking": smocking_section,
    "trims": trim_section,
    "plans": plan_section,
    "sheets": sheet_section,
    "pages": page_section,
}
NEEDS: dict[str, tuple[Callable[[], str], ...]] = {
    "plans": (_people_missing,),
    "sheets": (_library_missing, _people_missing, _static_files_missing),
    "pages": (_people_missing, _static_files_missing),
}
