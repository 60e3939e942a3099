"""The server is killed while people pack and drive: what it acknowledged is there, and nothing is there by halves."""

import uuid
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from functools import partial
from http.client import HTTPException
from pathlib import Path
from threading import Lock
from typing import NamedTuple

import pytest
from django.db import connection
from django.db.models import Count
from django.urls import reverse
from django.utils import timezone

from gowngroup.catalog.models import Size
from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.home.audit import violations
from gowngroup.people.models import Person
from gowngroup.records.models import RequestKey, TrailLine
from gowngroup.wards.models import RequestLine, Ward
from tests.factories import DesignRevisionFactory
from tests.gowns.shelf import put_on_shelf
from tests.race import at_once
from tests.serving import SERVE, Server, Visitor, killed_at_last

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("race_database")]

WRITERS, ROUNDS, DRIVES = 8, 5, 3
SEWN_AT = datetime(2026, 2, 1, tzinfo=UTC)
ONE_BY_ONE = (
    "import django; django.setup(); from contextlib import nullcontext; from types import SimpleNamespace; "
    "from gowngroup.records import actions; actions.transaction = SimpleNamespace(atomic=nullcontext); "
)  # each statement commits by itself
STATES = {
    "send_drop_off": [DropOff.State.ON_THE_WAY, DropOff.State.RECEIVED],
    "receive_drop_off": [DropOff.State.RECEIVED],
}


class Told(NamedTuple):
    """Something the server acknowledged."""

    did: str
    drop_off: int
    what: str


class Pulse:
    """Counts what is acknowledged, and kills the server at a number of it."""

    def __init__(self, server: Server, kill_at: int) -> None:
        self.server, self.left, self.lock = server, kill_at, Lock()

    def told(self) -> None:
        with self.lock:
            self.left -= 1
            if self.left == 0:
                self.server.kill()


class NotTaken(Exception):
    """The server answered otherwise than by going on to the next page."""


def drive(visitor: Visitor, ward: Ward, gown: Gown) -> Iterator[Told]:
    """One drop-off of one gown, from its start to the ward's name; each step is told once it is acknowledged."""

    def send(name: str, *args: object, **fields: object) -> str:
        address = reverse(f"deliveries:{name}", args=args)
        answer = visitor.post(address, request_key=uuid.uuid4().hex, **fields)
        if answer.status != 302:
            raise NotTaken(f"{name} answered {answer.status}")
        return answer.location

    page = send("drop_off_start", ward=ward.pk, planned_on=timezone.localdate())
    pk = int(page.rstrip("/").rsplit("/", 1)[-1])
    yield Told("start_drop_off", pk, "")
    send("gown_pack", pk, code=gown.code)
    yield Told("pack_gown", pk, gown.code)
    send("drop_off_send", pk)
    yield Told("send_drop_off", pk, "")
    name = f"Nurse {gown.code}"
    send("drop_off_signed", pk, signed_name=name, came_0=1)
    yield Told("receive_drop_off", pk, name)


def work(visitor: Visitor, ward: Ward, gowns: list[Gown], pulse: Pulse) -> list[Told]:
    """Drive until the server is gone."""
    noted = []
    try:
        for gown in gowns:
            try:
                for told in drive(visitor, ward, gown):
                    noted.append(told)
                    pulse.told()
            except NotTaken as why:
                noted.append(Told(str(why), 0, ""))
    except (OSError, HTTPException):
        return noted
    finally:
        visitor.line.close()
    raise AssertionError("there were too few gowns: the server was never killed")


def lost(noted: list[Told]) -> list[Told]:
    """What was acknowledged and is not there, and what was not taken though nothing was wrong with it."""
    packed = {(row.drop_off_id, row.gown.code) for row in DropOffGown.objects.select_related("gown")}
    signed = set(DropOff.objects.values_list("pk", "signed_name"))
    there = {
        "start_drop_off": {(pk, "") for pk, _name in signed},
        "pack_gown": packed,
        "send_drop_off": {(row.pk, "") for row in DropOff.objects.filter(receipt_number__isnull=False)},
        "receive_drop_off": signed,
    }
    return [told for told in noted if (told.drop_off, told.what) not in there.get(told.did, ())]


def halves() -> list[str]:
    """Steps of which one part is there and another is not: effect, line of the trail, key of the form; and whatever the audit finds."""
    effects = {
        "start_drop_off": DropOff.objects.count(),
        "pack_gown": DropOffGown.objects.count(),
        **{did: DropOff.objects.filter(state__in=states).count() for did, states in STATES.items()},
    }
    lines = dict(TrailLine.objects.order_by().values_list("did").annotate(Count("pk")))
    keys = dict(
        RequestKey.objects.exclude(answer=None).order_by().values_list("action").annotate(Count("pk"))
    )
    unanswered = RequestKey.objects.filter(answer=None).count()
    found = [
        f"{did}: {count} done, {lines.get(did, 0)} told, {keys.get(did, 0)} answered"
        for did, count in effects.items()
        if not count == lines.get(did, 0) == keys.get(did, 0)
    ]
    found += [f"{unanswered} forms taken and not answered"] if unanswered else []
    return found + [each.sentence for each in violations()]


@pytest.fixture
def shelf_of(size: Size, line: RequestLine, coordinator: Person) -> Callable[[int], list[Gown]]:
    """So many gowns that passed their checks, half of them asked for."""

    def put(count: int) -> list[Gown]:
        revision = DesignRevisionFactory(used_at=SEWN_AT)
        RequestLine.objects.filter(pk=line.pk).update(gown_count=count // 2)
        gowns = [put_on_shelf(revision=revision, size=size) for _ in range(count)]
        passed = {"round": "second", "outcome": "pass", "is_free_of_metal": True}
        GownCheck.objects.bulk_create(
            GownCheck(gown=gown, at=SEWN_AT, by=coordinator, **passed) for gown in gowns
        )
        return gowns

    return put


@pytest.fixture
def visitors(packer: Person) -> Callable[[int], list[Visitor]]:
    """The packer at so many screens; each form of hers has a key of its own."""
    return lambda port: [Visitor(port, packer) for _ in range(WRITERS)]


def kill_while_they_drive(
    server: Server, visitors: list[Visitor], ward: Ward, gowns: list[Gown], *, kill_at: int
) -> list[Told]:
    """Let all drive at once until so much is acknowledged that the server is killed; gives what was."""
    pulse = Pulse(server, kill_at)
    shares = [gowns[number::WRITERS] for number in range(WRITERS)]
    jobs = [
        partial(work, visitor, ward, share, pulse) for visitor, share in zip(visitors, shares, strict=True)
    ]
    return [told for noted in at_once(jobs) for told in noted]


@pytest.mark.skipif(connection.vendor != "sqlite", reason="asked of both databases in five rounds")
def test_what_was_acknowledged_outlives_the_server(
    visitors: Callable[[int], list[Visitor]],
    ward: Ward,
    shelf_of: Callable[[int], list[Gown]],
    tmp_path: Path,
) -> None:
    """Eight people pack and drive while the server is killed: nothing acknowledged is lost, nothing is there by halves."""
    with killed_at_last(Server(tmp_path)) as server:
        server.start()
        noted = kill_while_they_drive(
            server, visitors(server.port), ward, shelf_of(WRITERS * DRIVES), kill_at=20
        )
    assert len(noted) >= 20
    assert (lost(noted), halves()) == ([], [])


def test_what_is_lost_or_half_is_seen(ward: Ward, size: Size, coordinator: Person) -> None:
    """Negative control: a drop-off acknowledged and not there is lost; one moved on without its gowns is half."""
    drop_off = DropOff.objects.create(ward=ward, planned_on=timezone.localdate())
    assert halves() == ["start_drop_off: 1 done, 0 told, 0 answered"]
    drop_off.state, drop_off.receipt_number = DropOff.State.ON_THE_WAY, "2026-0001"
    drop_off.save()
    noted = [Told(did, drop_off.pk, "") for did in ("start_drop_off", "pack_gown", "send_drop_off")]
    assert lost([*noted, Told("start_drop_off", drop_off.pk + 1, "")]) == [
        noted[1],
        Told("start_drop_off", drop_off.pk + 1, ""),
    ]
    assert "send_drop_off: 1 done, 0 told, 0 answered" in halves()


@pytest.mark.matrix
@pytest.mark.slow
def test_five_killed_servers(
    visitors: Callable[[int], list[Visitor]],
    ward: Ward,
    shelf_of: Callable[[int], list[Gown]],
    tmp_path: Path,
) -> None:
    """Five times killed and started again as a group starts it: ready after five seconds' work at most, nothing lost, nothing half."""
    noted: list[Told] = []
    with killed_at_last(Server(tmp_path, command="serve")) as server:
        server.start()  # the first gathers files, which takes a minute at most
        server.kill()
        for number in range(ROUNDS):
            waited_s, ready_s = server.start(), server.processor_s()
            share = shelf_of(WRITERS * DRIVES)
            noted += kill_while_they_drive(server, visitors(server.port), ward, share, kill_at=17 + number)
            took = f"{waited_s:.1f} s ({ready_s:.1f} s of processor)"
            print(f"round {number + 1}: ready in {took}, {len(noted)} acknowledged so far")  # noqa: T201 - figures to report
            assert (lost(noted), halves()) == ([], [])
            assert ready_s < 5


@pytest.mark.matrix
@pytest.mark.slow
@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL locks no row without a transaction")
def test_committing_one_by_one_leaves_halves(
    visitors: Callable[[int], list[Visitor]],
    ward: Ward,
    shelf_of: Callable[[int], list[Gown]],
    tmp_path: Path,
) -> None:
    """Negative control: where each statement commits by itself, a killed server does leave something by halves."""
    with killed_at_last(Server(tmp_path, code=ONE_BY_ONE + SERVE)) as server:
        server.start()
        kill_while_they_drive(server, visitors(server.port), ward, shelf_of(WRITERS * DRIVES), kill_at=20)
    assert halves()
