"""Forget whom to ask for on a ward, for the operator at the machine."""

from argparse import ArgumentParser

from django.core.management import BaseCommand, CommandError
from django.utils import timezone

from gowngroup.people.actions import erase_outsider
from gowngroup.people.traces import Words
from gowngroup.wards.models import Ward


class Command(BaseCommand):
    help = "Forget the contact of one ward for good: name, address and number everywhere. Irreversible."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("id", type=int, help="number of the ward, as in the address of its page")

    def handle(self, *, id: int, **options: object) -> None:  # noqa: A002 - the command's own word
        ward = Ward.objects.filter(pk=id).first()
        if ward is None:
            raise CommandError(f"There is no ward with the number {id}.")
        words = Words(name=ward.contact_name, email=ward.contact_email, telephone=ward.contact_telephone)
        if words == Words():
            raise CommandError(f"Nobody is written down as contact of ward {id}.")
        erase_outsider(words=words, subject=ward, by=None, at=timezone.now())
        self.stdout.write(
            f"The contact of ward {id} is forgotten. Back-up copies made before still hold her."
        )
