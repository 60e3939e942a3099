"""The first page: what needs each person today, first."""

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from gowngroup.batches.models import Batch, BatchLine, Kit
from gowngroup.batches.planner.supplies import GownKind
from gowngroup.catalog.models import Size
from gowngroup.home.queries import gowns_there, month_rows
from gowngroup.people.models import Group, Person, PersonRole
from gowngroup.planning.mix import Judged
from tests.factories import (
    DesignRevisionFactory,
    LotFactory,
    PersonFactory,
    RequestLineFactory,
    SizeFactory,
    WardFactory,
    WardRequestFactory,
)
from tests.home.months import MARCH, drop_off_for, gown_in, kit_in, lay_in, march_batch

SignIn = Callable[[Person], Client]
WORK = (
    "1 lay to cut",
    "1 kit to pack",
    "1 gown for its first check",
    "1 gown to mend",
    "Your drop-offs",
    "The month at a glance",
    "You have no kit at home",
)


@pytest.fixture(autouse=True)
def _tenth_of_march() -> Iterator[None]:
    with time_machine.travel(datetime(2026, 3, 10, 9, 0, tzinfo=UTC), tick=False):
        yield


@pytest.fixture
def size(group: Group) -> Size:
    return SizeFactory()


def shown(sign_in: SignIn, person: Person) -> str:
    """The words of a person's first page."""
    response = sign_in(person).get("/")
    assert response.status_code == 200
    return response.content.decode()


def test_a_stranger_is_asked_to_sign_in(client: Client, group: Group) -> None:
    """Who has not signed in sees nothing of the group's work."""
    assert client.get("/").status_code == 302


def test_the_first_page_is_only_read(sign_in: SignIn, volunteer: Person) -> None:
    """The first page takes no POST."""
    assert sign_in(volunteer).post("/").status_code == 405


def test_a_volunteer_sees_her_kits_with_their_day(sign_in: SignIn, volunteer: Person) -> None:
    """A volunteer's first page names her kit's code and the day it is due."""
    kit_in(Kit.State.CLAIMED, holder=volunteer, due_on=date(2026, 3, 28))
    page = shown(sign_in, volunteer)
    assert "Due on 28 March 2026" in page
    assert "What needs you today" not in page


def test_a_volunteer_sees_nobody_elses_kits(sign_in: SignIn, volunteer: Person, colleague: Person) -> None:
    """A kit in another volunteer's hands is on her page only."""
    kit = kit_in(Kit.State.CLAIMED, holder=colleague, due_on=date(2026, 3, 28))
    assert kit.code[3:] not in shown(sign_in, volunteer)


def test_a_volunteer_past_the_day_is_asked_kindly(sign_in: SignIn, volunteer: Person) -> None:
    """A day gone by is put as an offer of more time."""
    kit_in(Kit.State.CLAIMED, holder=volunteer, due_on=date(2026, 3, 2))
    assert "Its day was 2 March 2026. Need longer? Just say so." in shown(sign_in, volunteer)


def test_nobody_is_reminded_of_a_memorial_kits_day(
    sign_in: SignIn, volunteer: Person, coordinator: Person
) -> None:
    """A memorial kit past its day is chased on no page, nor called by that name."""
    kit_in(Kit.State.CLAIMED, holder=volunteer, due_on=date(2026, 3, 2), purpose="memorial")
    pages = shown(sign_in, volunteer) + shown(sign_in, coordinator)
    assert "Its day was" not in pages
    assert "past its day" not in pages
    assert "memorial" not in pages


def test_a_volunteer_without_a_kit_is_led_to_those_waiting(sign_in: SignIn, volunteer: Person) -> None:
    """An empty table says how many kits wait and leads there."""
    kit_in(Kit.State.WAITING, offered_at=datetime(2026, 3, 9, tzinfo=UTC))
    page = shown(sign_in, volunteer)
    assert "One kit is waiting for somebody to sew it." in page
    assert "See the kits waiting" in page


@pytest.mark.parametrize(
    ("role", "words"),
    [
        ("packer", {"1 lay to cut", "1 kit to pack"}),
        ("inspector", {"1 gown for its first check", "1 gown to mend"}),
        ("driver", {"Your drop-offs"}),
        ("volunteer", {"You have no kit at home"}),
        (
            "coordinator",
            {
                "1 lay to cut",
                "1 kit to pack",
                "1 gown for its first check",
                "1 gown to mend",
                "The month at a glance",
            },
        ),
    ],
)
def test_each_role_sees_its_own_work(sign_in: SignIn, group: Group, role: str, words: set[str]) -> None:
    """Packers see lays and kits, inspectors gowns, drivers their drives, coordinators all the work."""
    lay_in(march_batch())
    kit_in(Kit.State.CUT)
    gown_in("back")
    gown_in("mending")
    page = shown(sign_in, PersonFactory(roles=[role]))
    assert {part for part in WORK if part in page} == words


def test_a_table_with_nothing_to_do_says_so(sign_in: SignIn, packer: Person) -> None:
    """Where no work waits, the page says so in words."""
    assert "Nothing waits at your table" in shown(sign_in, packer)


def test_a_driver_sees_her_own_drop_offs(sign_in: SignIn, driver: Person, colleague: Person) -> None:
    """A driver's page shows where she drives and not where others do."""
    mine, other = drop_off_for(driver), drop_off_for(colleague)
    page = shown(sign_in, driver)
    assert str(mine.ward) in page
    assert str(other.ward) not in page


def test_several_roles_share_one_page(sign_in: SignIn, packer: Person) -> None:
    """A packer who also sews finds her work and her kits on the same page."""
    PersonRole.objects.create(person=packer, role="volunteer")
    page = shown(sign_in, packer)
    assert "What needs you today" in page
    assert "You have no kit at home" in page


def test_a_coordinator_sees_whose_kit_is_past_its_day(
    sign_in: SignIn, coordinator: Person, volunteer: Person
) -> None:
    """Kits past their day stand there with who has them and since when."""
    kit_in(Kit.State.CLAIMED, holder=volunteer, due_on=date(2026, 3, 2))
    page = shown(sign_in, coordinator)
    assert "was due on 2 March 2026" in page
    assert volunteer.name in page


def test_a_coordinator_sees_wards_that_pause(sign_in: SignIn, coordinator: Person) -> None:
    """A ward pauses up to and including its last day."""
    WardFactory(name="Rowan ward", paused_until=date(2026, 3, 10))
    WardFactory(name="Hazel ward", paused_until=date(2026, 3, 9))
    page = shown(sign_in, coordinator)
    assert "Rowan ward" in page
    assert "Hazel ward" not in page


def test_urgent_requests_come_first(sign_in: SignIn, coordinator: Person) -> None:
    """An urgent request is the first thing a coordinator reads."""
    kit_in(Kit.State.CUT)
    WardRequestFactory(is_urgent=True)
    page = shown(sign_in, coordinator)
    assert page.index("1 ward needs gowns today") < page.index("1 kit to pack")


def test_the_month_counts_each_gown_where_it_is(size: Size, volunteer: Person) -> None:
    """Asked, planned, out, back, passed and delivered are counted per size, and what is short follows."""
    RequestLineFactory(request=WardRequestFactory(month=MARCH), size=size, gown_count=20, met_count=3)
    BatchLine.objects.create(
        batch=march_batch(state=Batch.State.COMMITTED),
        design_revision=DesignRevisionFactory(),
        size=size,
        purpose="worn",
        gown_count=9,
    )
    kit_in(Kit.State.CLAIMED, size=size, holder=volunteer, gown_count=5, returned_count=1)
    kit_in(Kit.State.WAITING, size=size, gown_count=2)
    gown_in("washed", size=size)
    gown_in("passed", size=size)
    gown_in("set aside", size=size)
    (row,) = month_rows(month=MARCH)
    assert (row.asked, row.planned, row.out, row.back, row.passed, row.delivered) == (20, 9, 4, 1, 1, 3)
    assert row.short == 20 - 3 - (4 + 2 + 1 + 1)


def test_gowns_of_a_batch_without_kits_are_not_short(size: Size) -> None:
    """What a batch in the making will bring is not called short."""
    RequestLineFactory(request=WardRequestFactory(month=MARCH), size=size, gown_count=6)
    BatchLine.objects.create(
        batch=march_batch(), design_revision=DesignRevisionFactory(), size=size, purpose="worn", gown_count=4
    )
    assert [row.short for row in month_rows(month=MARCH)] == [2]


def test_withdrawn_requests_are_not_asked(size: Size) -> None:
    """A request the ward took back counts for nothing."""
    RequestLineFactory(request=WardRequestFactory(month=MARCH, state="withdrawn"), size=size)
    assert month_rows(month=MARCH) == []


def test_delivered_beyond_the_asked_hides_no_other_wards_shortage(size: Size) -> None:
    """One ward served more than it asked for leaves another's open gowns short."""
    RequestLineFactory(request=WardRequestFactory(month=MARCH), size=size, gown_count=2, met_count=5)
    RequestLineFactory(request=WardRequestFactory(month=MARCH), size=size, gown_count=4)
    assert [row.short for row in month_rows(month=MARCH)] == [4]


def test_the_number_of_queries_does_not_grow(sign_in: SignIn, coordinator: Person, volunteer: Person) -> None:
    """Ten times the rows take the same number of queries."""
    for role in ("driver", "volunteer"):
        PersonRole.objects.create(person=coordinator, role=role)
    client = sign_in(coordinator)

    def month() -> int:
        kit_in(Kit.State.CLAIMED, holder=coordinator, due_on=date(2026, 3, 2))
        kit_in(Kit.State.CLAIMED, holder=volunteer, due_on=date(2026, 3, 2))
        gown_in("back", size=SizeFactory(upper_mass_g=3000 + Kit.objects.count()))
        drop_off_for(coordinator)
        WardFactory(paused_until=date(2026, 4, 1))
        RequestLineFactory()
        with CaptureQueriesContext(
            connection,
        ) as queries:
            client.get("/")
        return len(queries)

    first = month()
    assert [month() for _ in range(9)][-1] == first


def test_what_serves_a_proposal_is_told_by_closure_and_cloth(size: Size) -> None:
    """Passed gowns and those in check are counted by size, purpose, closure and cloth, and how many of those judged passed.

    Cloth nobody knows counts as standing 60 °C.
    """
    revision = gown_in("passed", size=size).design_revision
    lot = LotFactory(material__name="Lawn", material__shade="pale yellow", material__wash_max_c=71)
    gown_in("passed", size=size, design_revision=revision, outer_lot=lot)
    for state in ("back", "washed", "left", "set aside", "practice"):
        gown_in(state, size=size, design_revision=revision)
    there = gowns_there(month=MARCH)
    unknown = GownKind(size.pk, "worn", revision.closure, "", 60)
    yellow = GownKind(size.pk, "worn", revision.closure, "Lawn, pale yellow", 71)
    assert (there.passed, there.in_check) == ({unknown: 1, yellow: 1}, {unknown: 2})
    assert there.judged == {size.pk: Judged(passed_count=3, judged_count=5)}
