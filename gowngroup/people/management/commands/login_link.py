"""Print a link that signs one person in once, for the operator at the machine."""

from argparse import ArgumentParser

from django.conf import settings
from django.core.management import BaseCommand, CommandError
from django.urls import reverse
from django.utils import timezone

from gowngroup.people.actions import make_sign_in_link
from gowngroup.people.addresses import tidy_address
from gowngroup.people.queries import people_at


class Command(BaseCommand):
    help = "Print a link that signs one person in, once, within the hour: for when no letter can be sent."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("email")
        parser.add_argument(
            "--person", type=int, help="number of the person, where several share the address"
        )

    def handle(self, *, email: str, person: int | None, **options: object) -> None:
        found = [one for one in people_at(tidy_address(email)) if person in (None, one.pk)]
        if not found:
            raise CommandError("Nobody with the group reads letters at this address.")
        if len(found) > 1:
            numbers = ", ".join(f"{one.pk} ({one})" for one in found)
            raise CommandError(f"Several people share this address; choose one with --person: {numbers}")
        token = make_sign_in_link(person=found[0], at=timezone.now())
        address = reverse("people:sign_in_link", args=[token])
        self.stdout.write(f"{settings.SITE_ADDRESS.rstrip('/')}{address}")
