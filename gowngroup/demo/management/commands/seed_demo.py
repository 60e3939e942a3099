"""Fill an empty database with the invented scenario, once; never outside the demo."""

import time
from argparse import ArgumentParser
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.management import BaseCommand, CommandError
from django.utils import timezone

from gowngroup.demo.past import MOST_GOWNS, write_past
from gowngroup.demo.people import GROUP
from gowngroup.demo.scenario import DEFAULT_SEED, build_demo
from gowngroup.people.models import Person


class Command(BaseCommand):
    help = (
        "Build the invented sewing circle with three months of work through the app's own actions; "
        "with --gowns also up to ten years before them, for looking at long lists and large reports."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--seed", type=int, default=DEFAULT_SEED, help="another seed, another group of days"
        )
        parser.add_argument(
            "--gowns",
            type=int,
            default=0,
            help="so many gowns in the years before (60000 make ten years, take some minutes and half a gigabyte)",
        )

    def handle(self, *, seed: int, gowns: int, **options: object) -> None:
        if not settings.IS_DEMO:
            raise CommandError("Invented people belong in the demo only: set GOWNGROUP_DEMO=1.")
        if not 0 <= gowns <= MOST_GOWNS:
            raise CommandError(f"--gowns goes from 0 to {MOST_GOWNS}: there are no more codes for them.")
        if Person.objects.exists():
            self.stdout.write("The demo is there already.")
            if gowns:
                raise CommandError(
                    "Years before are written into an empty database only: name another folder in GOWNGROUP_VAR_DIR, "
                    "or another in DATABASE_URL, and migrate it first."
                )
            return
        self.stdout.write("Building the invented sewing circle; this takes half a minute …")
        started, today = time.perf_counter(), timezone.localdate(timezone=ZoneInfo(GROUP.time_zone))
        build_demo(seed=seed, today=today)
        self.stdout.write(f"Three months of work are there ({time.perf_counter() - started:.0f} s).")
        if gowns:
            started = time.perf_counter()
            months = write_past(gown_count=gowns, seed=seed, today=today)
            self.stdout.write(
                f"{gowns} gowns of {months} months before are there ({time.perf_counter() - started:.0f} s)."
            )
