"""Speed and cloth figures, measured here and now and printed side by side."""

import statistics
import time
from collections.abc import Callable
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from gowngroup.demo.allocation_benchmark import allocation_section
from gowngroup.demo.lay_benchmark import lay_section, outline_section, rectangle_section, width_section
from gowngroup.demo.mix_benchmark import mix_section
from gowngroup.demo.smocking_benchmark import smocking_section
from gowngroup.demo.trim_benchmark import trim_section
from gowngroup.people.models import Person, Role
from gowngroup.printing.benchmark import sheet_section

PAGES = (
    (Role.COORDINATOR, "home:home"),
    (Role.COORDINATOR, "wards:request_list"),
    (Role.COORDINATOR, "batches:batch_list"),
    (Role.COORDINATOR, "batches:kit_list"),
    (Role.COORDINATOR, "stock:lot_list"),
    (Role.COORDINATOR, "gowns:gown_list"),
    (Role.COORDINATOR, "deliveries:drop_off_list"),
    (Role.VOLUNTEER, "batches:kits_waiting"),
    (Role.VOLUNTEER, "batches:my_kits"),
)
PAGE_ROUNDS = 7

Say = Callable[[str], Any]


class Command(BaseCommand):
    help = "Print speed and cloth figures as ratios side by side; nothing is stored."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "sections",
            nargs="*",
            choices=[[], *SECTIONS],
            help="which tables; all of them where none is named",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        for name in options["sections"] or SECTIONS:
            SECTIONS[name](self.stdout.write)


def page_section(say: Say) -> None:
    """Pages of this database as one person after another opens them, beside the health check."""
    say("Pages, warm, median of seven; the last column is how many health checks one page costs")
    say(f"{'page':28} {'ms':>7} {'queries':>8} {'ratio':>7}")
    least_ms, queries = _page_times(Client(), "home:healthz")
    say(f"{'home:healthz':28} {least_ms:7.1f} {queries:8} {1:7.1f}")
    for role, page in PAGES:
        person = Person.objects.filter(role_rows__role=role, is_active=True).order_by("pk").first()
        if person is None:
            say("There is nobody to open pages yet: run the demo once, then this again.")
            return
        client = Client()
        client.force_login(person)
        spent_ms, queries = _page_times(client, page)
        say(f"{page:28} {spent_ms:7.1f} {queries:8} {spent_ms / least_ms:7.1f}")


def _page_times(client: Client, page: str) -> tuple[float, int]:
    address = reverse(page)
    with CaptureQueriesContext(connection) as caught:
        client.get(address)
    query_count = len(caught)  # counted now: the next request empties the log
    spent = []
    for _round in range(PAGE_ROUNDS):
        started = time.perf_counter()
        client.get(address)
        spent.append((time.perf_counter() - started) * 1000)
    return statistics.median(spent), query_count


# Each section prints one table.
SECTIONS: dict[str, Callable[[Say], None]] = {
    "lays": lay_section,
    "widths": width_section,
    "rectangles": rectangle_section,
    "outlines": outline_section,
    "mix": mix_section,
    "allocation": allocation_section,
    "smocking": smocking_section,
    "trims": trim_section,
    "sheets": sheet_section,
    "pages": page_section,
}
