"""Fill an empty database with the invented scenario, once; never outside the demo."""

import time
from argparse import ArgumentParser
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.management import BaseCommand, CommandError
from django.utils import timezone

from gowngroup.demo.people import GROUP
from gowngroup.demo.scenario import DEFAULT_SEED, build_demo
from gowngroup.people.models import Person


class Command(BaseCommand):
    help = "Build the invented sewing circle with three months of work through the app's own actions."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--seed", type=int, default=DEFAULT_SEED, help="another seed, another group of days"
        )

    def handle(self, *, seed: int, **options: object) -> None:
        if not settings.IS_DEMO:
            raise CommandError("Invented people belong in the demo only: set GOWNGROUP_DEMO=1.")
        if Person.objects.exists():
            self.stdout.write("The demo is there already.")
            return
        self.stdout.write("Building the invented sewing circle; this takes half a minute …")
        started = time.perf_counter()
        build_demo(seed=seed, today=timezone.localdate(timezone=ZoneInfo(GROUP.time_zone)))
        self.stdout.write(f"Three months of work are there ({time.perf_counter() - started:.0f} s).")
