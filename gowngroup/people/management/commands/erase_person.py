"""Forget a person for good, for the operator at the machine."""

from argparse import ArgumentParser

from django.core.management import BaseCommand, CommandError
from django.utils import timezone

from gowngroup.people.actions import erase_person
from gowngroup.people.models import Person
from gowngroup.records.errors import Refusal


class Command(BaseCommand):
    help = "Forget one person for good: name, address, number and wishes; gowns stay counted. Irreversible."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("id", type=int, help="number of the person, as in the address of her page")

    def handle(self, *, id: int, **options: object) -> None:  # noqa: A002 - the command's own word
        person = Person.objects.filter(pk=id).first()
        if person is None:
            raise CommandError(f"There is no person with the number {id}.")
        try:
            erase_person(person=person, by=None, at=timezone.now())
        except Refusal as refusal:
            raise CommandError(refusal.message) from refusal
        self.stdout.write(
            f"Person {id} is forgotten. Back-up copies made before still hold her; please throw them away in time."
        )
