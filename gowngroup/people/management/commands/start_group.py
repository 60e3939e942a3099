"""Set up the group and its first coordinator, once, on a fresh database."""

from argparse import ArgumentParser

from django.core.exceptions import ValidationError
from django.core.management import BaseCommand, CommandError
from django.core.validators import validate_email
from django.db import transaction
from django.utils import timezone

from gowngroup.people.actions import GroupDetails, PersonDetails, add_person, set_up_group
from gowngroup.people.models import Group, Person, Role


class Command(BaseCommand):
    help = "Set up the group with its first coordinator, who adds everybody else on the People page."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("group", help="name of the group")
        parser.add_argument("name", help="name of the first coordinator")
        parser.add_argument("email", help="her email address, to which the sign-in code is sent")

    def handle(self, *, group: str, name: str, email: str, **options: object) -> None:
        try:
            validate_email(email)
        except ValidationError as error:
            raise CommandError(f"{email!r} is not an email address.") from error
        if Group.objects.exists() or Person.objects.exists():
            raise CommandError("This group has been started already; people are added on the People page.")
        at = timezone.now()
        with transaction.atomic():
            set_up_group(details=GroupDetails(name=group), by=None, at=at)
            roles = (Role.COORDINATOR.value,)
            add_person(details=PersonDetails(name=name, email=email, roles=roles), by=None, at=at)
        self.stdout.write(f"{group} is set up. {name} can sign in now with a code sent to {email}.")
