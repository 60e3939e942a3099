"""Write everything that is kept about a person into a zip file."""

from argparse import ArgumentParser
from pathlib import Path

from django.core.management import BaseCommand, CommandError
from django.utils import timezone

from gowngroup.people.export import export
from gowngroup.people.models import Person


class Command(BaseCommand):
    help = "Write everything kept about one person into a zip: a page to read, tables, and one JSON file."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("id", type=int, help="number of the person, as in the address of her page")
        parser.add_argument("file", type=Path, help="the zip to write; it must not be there yet")

    def handle(self, *, id: int, file: Path, **options: object) -> None:  # noqa: A002 - the command's own word
        person = Person.objects.filter(pk=id, erased_at=None).first()
        if person is None:
            raise CommandError(f"There is no person with the number {id}, or she has been forgotten.")
        try:
            file.touch(mode=0o600, exist_ok=False)  # for nobody else on the machine to read
        except FileExistsError as error:
            raise CommandError(f"{file} is there already; please choose another name.") from error
        except OSError as error:
            raise CommandError(f"{file} cannot be written: {error}.") from error
        file.write_bytes(export(person, at=timezone.now()))
        self.stdout.write(f"Everything kept about person {id} is in {file}.")
