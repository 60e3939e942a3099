"""Check that everything in the books adds up; answers 1 where something does not."""

import json as json_text
import sys
from argparse import ArgumentParser
from dataclasses import asdict

from django.core.management import BaseCommand

from gowngroup.home.audit import CHECKS, violations


class Command(BaseCommand):
    help = "Check all rooms' books against each other: stock, kits, gowns, deliveries, stored plans."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--json", action="store_true", help="as JSON, for a check from outside")

    def handle(self, *, json: bool, **options: object) -> None:
        found = violations()
        if json:
            rooms = [room for room, _check in CHECKS]
            self.stdout.write(
                json_text.dumps({"rooms": rooms, "violations": [asdict(each) for each in found]})
            )
        else:
            for each in found:
                self.stdout.write(f"{each.room}: {each.sentence}")
            self.stdout.write(f"{len(found)} violations." if found else "Everything adds up.")
        if found:
            sys.exit(1)
