"""Speed and cloth figures, measured here and now and printed side by side."""

import math
import statistics
import time
from collections.abc import Callable
from itertools import chain
from typing import Any

from django.core.management.base import BaseCommand
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from gowngroup.people.models import Person, Role
from gowngroup.planning.figures import default_values
from gowngroup.planning.lay import Strip
from gowngroup.planning.lay.by_hand import lay_by_hand
from gowngroup.planning.lay.engines import shortest_lay
from gowngroup.planning.lay.values import least_length_mm
from gowngroup.planning.trial_gowns import trial_gowns
from gowngroup.printing.benchmark import sheet_section

GOWN_COUNTS = (1, 6, 24, 100)
USABLE_WIDTHS_MM = (1100, 1480)
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

    def handle(self, *args: Any, **options: Any) -> None:
        for section in SECTIONS:
            section(self.stdout.write)


def lay_section(say: Say) -> None:
    """Cutting lays of drafted gowns: the whole batch together against gown by gown and against the area."""
    say(
        "Cutting lays, round-necked gowns of seven sizes in turn; lengths in cm, checked before they are shown"
    )
    say(" gowns  width  length  used     seconds  by hand  used   / by hand  / area bound  engine")
    for gown_count in GOWN_COUNTS:
        for width_mm in USABLE_WIDTHS_MM:
            say(_lay_line(gown_count, width_mm))


def _lay_line(gown_count: int, width_mm: float) -> str:
    values = default_values()
    strip = Strip(
        usable_width_mm=width_mm,
        length_mm=math.inf,
        gap_mm=values["piece_gap_mm"],
        length_step_mm=values["lay_step_mm"],
    )
    gowns = trial_gowns(gown_count)
    pieces = tuple(chain.from_iterable(gowns))
    started = time.perf_counter()
    lay = shortest_lay(pieces, strip, tolerance_mm=values["lay_tolerance_mm"])
    seconds = time.perf_counter() - started
    by_hand = lay_by_hand(gowns, strip)
    bound_mm = least_length_mm(pieces, width_mm)
    return (
        f"{gown_count:6} {width_mm / 10:6.0f} {lay.length_mm / 10:7.1f} {lay.used_share:5.1%} {seconds:10.2f}"
        f" {by_hand.length_mm / 10:9.1f} {by_hand.used_share:5.1%} {lay.length_mm / by_hand.length_mm:9.2f}"
        f" {lay.length_mm / bound_mm:12.2f}   {lay.engine}"
    )


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
SECTIONS: tuple[Callable[[Say], None], ...] = (lay_section, sheet_section, page_section)
