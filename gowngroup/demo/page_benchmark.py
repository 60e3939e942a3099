"""How long pages take beside the health check, and what every page that links lead to weighs on its way."""

import gzip
import re
import statistics
import time
from collections import Counter, deque
from collections.abc import Callable, Iterator
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage
from django.db import connection
from django.db.models import Count
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import Resolver404, resolve, reverse
from django.utils import timezone

from gowngroup.people.models import Person, Role

YEAR_REPORT = "printing:year_report"
PAGES = (
    (Role.COORDINATOR, "home:home"),
    (Role.COORDINATOR, "wards:request_list"),
    (Role.COORDINATOR, "batches:batch_list"),
    (Role.COORDINATOR, "batches:kit_list"),
    (Role.COORDINATOR, "stock:lot_list"),
    (Role.COORDINATOR, "gowns:gown_list"),
    (Role.COORDINATOR, "deliveries:drop_off_list"),
    (Role.COORDINATOR, "people:person_list"),
    (Role.COORDINATOR, YEAR_REPORT),
    (Role.VOLUNTEER, "batches:kits_waiting"),
    (Role.VOLUNTEER, "batches:my_kits"),
)
PAGE_ROUNDS, EXAMPLES, HEAVIEST, MOST_KB = 7, 2, 12, 60
LINK = re.compile(r'<a\b[^>]* href="(/[^"#]*)')
PART = re.compile(r'<(?:link rel="(?:stylesheet|icon)" href|script src)="([^"]+)"')

Say = Callable[[str], Any]


def page_section(say: Say) -> None:
    """Pages of this database as one person after another opens them, beside the health check; then their weight."""
    say("Pages, warm, median of seven; the last column is how many health checks one page costs")
    say(f"{'page':28} {'ms':>7} {'queries':>8} {'ratio':>7}")
    least_ms, queries = _page_times(Client(), "home:healthz")
    say(f"{'home:healthz':28} {least_ms:7.1f} {queries:8} {1:7.1f}")
    for role, page in PAGES:
        client = _signed_in(role)
        if client is None:
            say("There is nobody to open pages yet: run the demo once, then this again.")
            return
        spent_ms, queries = _page_times(client, page)
        say(f"{page:28} {spent_ms:7.1f} {queries:8} {spent_ms / least_ms:7.1f}")
    _say_weights(say)


def _say_weights(say: Say) -> None:
    weights = sorted(_weights(), reverse=True)
    say("")
    say(
        f"Weight of {len(weights)} pages as they go over the wire, compressed, with styles and scripts, without faces"
    )
    say(f"{'page':44} {'kB':>7} {'page alone':>11} {f'share of {MOST_KB} kB':>15}")
    for whole, alone, address in weights[:HEAVIEST]:
        say(f"{address:44} {whole / 1000:7.1f} {alone / 1000:11.1f} {whole / 1000 / MOST_KB:15.2f}")
    say(f"{'median of all':44} {statistics.median(weight[0] for weight in weights) / 1000:7.1f}")
    say(f"heavier than {MOST_KB} kB: {sum(weight[0] > 1000 * MOST_KB for weight in weights)}")


def _weights() -> Iterator[tuple[int, int, str]]:
    """For each page somebody can walk to from her first page: its weight with and without its parts, its address."""
    for role in Role.values:
        client = _signed_in(role)
        if client is None:
            continue
        waiting, seen, counted = deque(["/"]), {"/"}, Counter[str]()
        while waiting:
            address = waiting.popleft()
            answer = client.get(address, headers={"accept-encoding": "gzip"})
            if answer.status_code != 200 or not answer["Content-Type"].startswith("text/html"):
                continue
            page = gzip.decompress(answer.content).decode()
            alone = len(answer.content)
            yield alone + sum(_part_weight(part) for part in PART.findall(page)), alone, f"{role}: {address}"
            for link in map(unescape, LINK.findall(page)):
                name = _name_of(link)
                if link not in seen and name and counted[name] < EXAMPLES:
                    counted[name] += 1
                    seen.add(link)
                    waiting.append(link)


def _name_of(link: str) -> str:
    """The page a link leads to; none for paper, languages and what is not ours."""
    try:
        name = resolve(urlsplit(link).path).view_name
    except Resolver404:
        return ""
    return "" if name.endswith(("_pdf", "_file", "language")) else name


@cache
def _part_weight(address: str) -> int:
    """The bytes of a style or script, compressed as it is sent."""
    name = address.removeprefix(settings.STATIC_URL)
    collected = Path(staticfiles_storage.path(name))
    file = collected if collected.exists() else Path(finders.find(name) or "")
    return (
        len(gzip.compress(file.read_bytes(), 9))
        if file.is_file()
        else len(gzip.compress(Client().get(address).content))
    )


def _signed_in(role: str) -> Client | None:
    people = Person.objects.filter(is_active=True).annotate(role_count=Count("role_rows"))
    person = (
        people.filter(pk__in=Person.objects.filter(role_rows__role=role)).order_by("role_count", "pk").first()
    )
    if person is None:
        return None
    client = Client()
    client.force_login(person)
    return client


def _page_times(client: Client, page: str) -> tuple[float, int]:
    args = [timezone.localdate().year] if page == YEAR_REPORT else []
    address = reverse(page, args=args)
    with CaptureQueriesContext(connection) as caught:
        client.get(address)
    query_count = len(caught)  # counted now: the next request empties the log
    spent = []
    for _round in range(PAGE_ROUNDS):
        started = time.perf_counter()
        client.get(address)
        spent.append((time.perf_counter() - started) * 1000)
    return statistics.median(spent), query_count
