"""Write a whole copy of everything into a file, while people go on working."""

from argparse import ArgumentParser
from pathlib import Path

from django.core.management import BaseCommand, CommandError
from django.utils import timezone

from gowngroup.home.copies import CannotCopy, make_copy


class Command(BaseCommand):
    help = "Write a whole copy of everything into one file, while people go on working; keep it where only you can read."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the copy to write; it must not be there yet")

    def handle(self, *, file: Path, **options: object) -> None:
        try:
            make_copy(file, at=timezone.now())
        except CannotCopy as why:
            raise CommandError(str(why)) from why
        self.stdout.write(
            f"Everything is in {file}. SECRET_KEY and the other settings are not: keep them apart."
        )
