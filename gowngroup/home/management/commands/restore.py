"""Put a copy made by `backup` back into an empty place, and check that everything in it adds up."""

from argparse import ArgumentParser
from pathlib import Path

from django.core.management import BaseCommand, CommandError, call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from gowngroup.home.copies import CannotCopy, put_back


class Command(BaseCommand):
    help = "Put a copy made by `backup` back into an empty place; a damaged one is refused."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the copy")

    def handle(self, *, file: Path, **options: object) -> None:
        try:
            note = put_back(file)
        except CannotCopy as why:
            raise CommandError(str(why)) from why
        self.stdout.write(f"Everything is back as it was at {note.made_at}.")
        loader = MigrationLoader(connection)
        if set(loader.disk_migrations) - set(loader.applied_migrations):
            self.stdout.write(
                "The copy is of an older version: run `python3 manage.py migrate`, then `audit`."
            )
        else:
            call_command("audit", stdout=self.stdout)
