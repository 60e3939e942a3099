"""Forget a donor for good, for the operator at the machine."""

from argparse import ArgumentParser

from django.core.management import BaseCommand, CommandError
from django.utils import timezone

from gowngroup.people.actions import erase_outsider
from gowngroup.people.traces import Words
from gowngroup.stock.models import Donor


class Command(BaseCommand):
    help = (
        "Forget one donor for good: name and address everywhere; what she gave stays counted. Irreversible."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("id", type=int, help="number of the donor, as in the address of her page")

    def handle(self, *, id: int, **options: object) -> None:  # noqa: A002 - the command's own word
        donor = Donor.objects.filter(pk=id, erased_at=None).first()
        if donor is None:
            raise CommandError(f"There is no donor with the number {id}, or she has been forgotten.")
        words = Words(name=donor.name, email=donor.email)
        erase_outsider(words=words, subject=donor, by=None, at=timezone.now())
        self.stdout.write(f"Donor {id} is forgotten. Back-up copies made before still hold her.")
