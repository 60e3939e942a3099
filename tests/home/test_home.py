"""The first page: what needs each person today, first."""

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from gowngroup.batches.models import (
    Batch,
    BatchLine,
    Call,
    Finish,
    HandOver,
    Kit,
    KitReturn,
    RowDone,
    SewingHelper,
)
from gowngroup.batches.planner.supplies import GownKind
from gowngroup.catalog.models import Size
from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.home.kinds import OF_THE_GROUP
from gowngroup.home.queries import gowns_there, month_rows
from gowngroup.home.table_kinds import AT_THE_TABLES, STAGES
from gowngroup.home.tasks import Task
from gowngroup.people.models import Group, Person, PersonRole
from gowngroup.planning.mix import Judged
from gowngroup.wards.models import Hospital
from tests.factories import (
    DesignRevisionFactory,
    LotFactory,
    PersonFactory,
    RequestLineFactory,
    SizeFactory,
    WardFactory,
    WardRequestFactory,
)
from tests.home.months import MARCH, NOON, busy, claim_of, drop_off_for, gown_in, kit_in, march_batch

SignIn = Callable[[Person], Client]
MANY = 5
ROLES_TOGETHER = (["coordinator", "volunteer"], ["packer"], ["inspector"], ["driver"], ["volunteer"])
# The most queries of a list or a report (ten years of gowns are measured by hand, see DEVELOPERS.md).
MOST_QUERIES = 15


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


def test_a_volunteer_sees_her_kits_with_their_day_and_what_comes_next(
    sign_in: SignIn, volunteer: Person
) -> None:
    """A volunteer's first page says of her kit when it is due and what to do next."""
    kit_in(Kit.State.CLAIMED, holder=volunteer, due_on=date(2026, 3, 28))
    page = shown(sign_in, volunteer)
    assert "Due on 28 March 2026" in page
    assert "Open the kit sheet and sew" in page
    assert "Nothing needs you" not in page


def test_a_volunteer_sees_nobody_elses_kits(sign_in: SignIn, volunteer: Person, colleague: Person) -> None:
    """A kit in another volunteer's hands is on her page only."""
    kit = kit_in(Kit.State.CLAIMED, holder=colleague, due_on=date(2026, 3, 28))
    assert f"{kit.code[:3]}-{kit.code[3:]}" not in shown(sign_in, volunteer)


def test_a_volunteer_past_the_day_is_asked_kindly(sign_in: SignIn, volunteer: Person) -> None:
    """A day gone by is put as an offer of more time."""
    kit_in(Kit.State.CLAIMED, holder=volunteer, due_on=date(2026, 3, 2))
    assert "There is no harm in it" in shown(sign_in, volunteer)


def test_what_she_has_said_of_a_kit_decides_what_comes_next(sign_in: SignIn, volunteer: Person) -> None:
    """A kit she has finished is to be brought in; one she asked about is answered first."""
    finished, asked = (
        kit_in(Kit.State.CLAIMED, holder=volunteer, due_on=date(2026, 3, 2)) for _number in range(2)
    )
    claims = [claim_of(kit, volunteer) for kit in (finished, asked)]
    Finish.objects.create(claim=claims[0], gown_count=1, are_needles_counted=True, said_at=NOON)
    Call.objects.create(kit=asked, person=volunteer, kind=Call.Kind.HELP, asked_at=NOON)
    RowDone.objects.create(claim=claims[1], row_number=1, done_at=NOON)
    page = shown(sign_in, volunteer)
    assert page.count("Smocking, row by row") == 1
    assert "Bring it in" in page
    assert "We have your message" in page
    assert "Its day has passed" not in page


def test_nobody_is_reminded_of_a_memorial_kits_day(
    sign_in: SignIn, volunteer: Person, coordinator: Person
) -> None:
    """A memorial kit past its day is chased on no page, counted nowhere as late, nor called by that name."""
    kit_in(Kit.State.CLAIMED, holder=volunteer, due_on=date(2026, 3, 2), purpose="memorial")
    pages = shown(sign_in, volunteer) + shown(sign_in, coordinator)
    assert "in your own time" in pages
    for word in ("Its day", "Due on", "past its day", "memorial"):
        assert word not in pages


def test_a_volunteer_without_a_kit_is_led_to_those_waiting(sign_in: SignIn, volunteer: Person) -> None:
    """An empty table says how many kits wait, how many of them suit her, and leads there."""
    volunteer.practice = 1
    volunteer.save()
    for difficulty in (1, 3):
        revision = DesignRevisionFactory(difficulty=difficulty)
        kit_in(Kit.State.WAITING, offered_at=NOON, design_revision=revision)
    page = shown(sign_in, volunteer)
    assert "Nothing needs you just now" in page
    assert "2 kits are waiting for somebody to sew them. 1 of them is as you like to sew." in page
    assert "See the kits waiting" in page


def test_who_has_as_many_kits_as_she_may_is_offered_no_more(
    sign_in: SignIn, volunteer: Person, group: Group
) -> None:
    """At the group's limit the kits waiting are not held out to her."""
    kit_in(Kit.State.WAITING, offered_at=NOON)
    kit_in(Kit.State.CLAIMED, holder=volunteer, due_on=date(2026, 3, 28))
    assert "See the kits waiting" in shown(sign_in, volunteer)
    group.claim_limit_count = 1
    group.save()
    assert "See the kits waiting" not in shown(sign_in, volunteer)


def test_she_is_told_what_became_of_her_sewing(sign_in: SignIn, volunteer: Person, colleague: Person) -> None:
    """Gowns that have gone to wards, and a stage that went on to the next hands, are told with thanks."""
    kit = kit_in(Kit.State.RETURNED, gown_count=2, returned_count=2)
    back = KitReturn.objects.create(kit=kit, person=volunteer, gown_count=2, returned_at=NOON)
    gown_in("washed", kit=kit, kit_return=back)
    left = drop_off_for(None, state="received", receipt_number="2026-0001", left_at=NOON)
    DropOffGown.objects.create(drop_off=left, gown=gown_in("left", kit=kit, kit_return=back))
    HandOver.objects.create(
        kit=kit_in(Kit.State.CLAIMED, holder=colleague, due_on=date(2026, 3, 28)),
        stage="pleat",
        from_person=volunteer,
        to_person=colleague,
        are_needles_counted=True,
        done_at=NOON,
        taken_at=NOON,
    )
    page = shown(sign_in, volunteer)
    assert "You have sewn 2 gowns. 1 has gone to a ward, on 1 March 2026. Thank you." in page
    assert "What you pleated" in page
    assert colleague.name not in page
    assert "What became of your sewing" not in shown(sign_in, colleague)


def test_whoever_is_named_to_help_sees_who_asks(
    sign_in: SignIn, volunteer: Person, colleague: Person
) -> None:
    """A call for help stands on the first page of a volunteer who is named to help, and of no other."""
    kit = kit_in(Kit.State.CLAIMED, holder=volunteer, due_on=date(2026, 3, 28))
    call = Call.objects.create(kit=kit, person=volunteer, kind=Call.Kind.HELP, asked_at=NOON)
    SewingHelper.objects.create(person=colleague, named_at=NOON)
    assert "asks for help" not in shown(sign_in, volunteer)
    page = shown(sign_in, colleague)
    assert "1 person asks for help with a kit." in page
    assert f'href="/batches/calls/{call.pk}/"' in page


@pytest.fixture
def busy_group(coordinator: Person, volunteer: Person) -> Person:
    """A group in which something of every kind waits."""
    return busy(coordinator, volunteer)


def test_every_kind_of_work_is_told_and_leads_to_it(sign_in: SignIn, busy_group: Person) -> None:
    """Every kind of work stands on the coordinator's page, and no link of it leads to an empty list."""
    client = sign_in(busy_group)
    tasks = client.get("/").context["tasks"]
    told = [*tasks.now, *tasks.later, *tasks.tables]
    hers = [kind for kind in OF_THE_GROUP if "coordinator" in kind.roles]
    assert len(told) == len((*hers, *AT_THE_TABLES, *STAGES))
    assert told[0].words == "1 ward needs gowns today."
    for task in told:
        response = client.get(task.url.partition("#")[0])
        assert response.status_code == 200, task
        assert len(response.context.get("page_obj", [task])) > 0, task


def test_many_of_a_kind_lead_to_their_list(sign_in: SignIn, busy_group: Person, volunteer: Person) -> None:
    """Two of a kind lead to the list of just those, one at once to its own page."""
    client = sign_in(busy_group)

    def url_of(words: str) -> str:
        tasks = client.get("/").context["tasks"].now
        return str(next(task.url for task in tasks if words in task.words))

    assert url_of("not signed for") == f"/deliveries/{DropOff.objects.get(state='on the way').pk}/"
    drop_off_for(None, state="on the way", receipt_number="2026-0009", planned_on=date(2026, 3, 1))
    assert url_of("not signed for") == "/deliveries/?state=on+the+way"


def test_each_role_sees_its_own_work(sign_in: SignIn, busy_group: Person) -> None:
    """Packers see lays, kits and cloth, inspectors gowns; nobody sees another table's work."""

    def told(role: str) -> set[str]:
        tasks = sign_in(PersonFactory(roles=[role])).get("/").context["tasks"]
        assert tasks.tables == ()
        return {task.words for task in (*tasks.now, *tasks.later)}

    packers, inspectors = told("packer"), told("inspector")
    assert {"1 lay is to be cut.", "1 piece of cloth is to be washed."} <= packers - inspectors
    assert {"1 gown waits for its first check.", "1 gown is to be mended."} <= inspectors - packers
    assert packers & inspectors == {
        "1 drop-off is being packed.",
        "1 kit is finished at home and comes in soon.",
    }
    assert told("driver") == told("volunteer") == set()


def test_the_oldest_gowns_come_first(sign_in: SignIn, inspector: Person) -> None:
    """Of the stages of checking the one comes first at which the oldest gown lies, with its day."""
    gown_in("back", received_at=datetime(2026, 3, 5, tzinfo=UTC))
    gown_in("washed", received_at=datetime(2026, 2, 20, tzinfo=UTC))
    gown_in("washed", received_at=datetime(2026, 3, 1, tzinfo=UTC))
    tasks = sign_in(inspector).get("/").context["tasks"].now
    assert [(task.words, task.detail) for task in tasks] == [
        ("2 gowns wait for their second check.", "The oldest came in on 20 February."),
        ("1 gown waits for its first check.", "It came in on 5 March."),
    ]


@pytest.mark.parametrize("role", ["packer", "inspector", "driver", "volunteer"])
def test_a_table_with_nothing_to_do_says_so(sign_in: SignIn, group: Group, role: str) -> None:
    """Where nothing waits, the page says so in words and what may come."""
    page = shown(sign_in, PersonFactory(roles=[role]))
    assert "Nothing needs you just now" in page
    assert "appears here" in page or "New ones come each month" in page


def test_a_new_group_is_told_how_to_begin(sign_in: SignIn, coordinator: Person) -> None:
    """A group of one, without number, designs, wards or materials, is led to them, and no longer once it has them."""
    Group.objects.update(telephone="", pick_up_place="", time_zone="UTC")
    client = sign_in(coordinator)
    steps = client.get("/").context["first_steps"]
    assert {client.get(step.url).status_code for step in steps} == {200}
    page = shown(sign_in, coordinator)
    assert "To begin with" in page
    begun = ("Say how people reach you", "Add the wards you sew for.", "Add the people who sew.")
    assert all(words in page for words in begun)
    WardFactory()
    PersonFactory(roles=["volunteer"])
    Group.objects.update(telephone="01234 567890")
    page = shown(sign_in, coordinator)
    assert not [words for words in begun if words in page]
    assert "Choose the designs" in page


def test_a_driver_sees_her_own_drop_offs(sign_in: SignIn, driver: Person, colleague: Person) -> None:
    """A driver's page shows where she drives, with address and load, and not where others do."""
    mine, other = drop_off_for(driver), drop_off_for(colleague)
    Hospital.objects.update(address="Orchard Lane\nMerrowby")
    for box_number in (1, 1, 2):
        DropOffGown.objects.create(drop_off=mine, gown=gown_in("passed"), box_number=box_number)
    page = shown(sign_in, driver)
    assert mine.ward.name in page
    assert "Orchard Lane" in page
    assert "Friday, 20 March 2026" in page
    assert "3 gowns in 2 boxes" in page
    assert other.ward.name not in page


@pytest.mark.parametrize(
    ("state", "planned_on", "words"),
    [
        ("packing", date(2026, 3, 20), "It is being packed for you."),
        ("packing", date(2026, 3, 10), "Please ring us before you set out."),
        ("on the way", date(2026, 3, 10), "let both copies of the receipt be signed"),
        ("on the way", date(2026, 3, 9), "Has the ward signed?"),
    ],
)
def test_a_driver_is_told_what_comes_next(
    sign_in: SignIn, driver: Person, state: str, planned_on: date, words: str
) -> None:
    """What a driver does next follows from how far the drop-off is and from its day."""
    number = "2026-0001" if state == "on the way" else None
    drop_off_for(driver, state=state, planned_on=planned_on, receipt_number=number)
    assert words in shown(sign_in, driver)


def test_several_roles_share_one_page_with_one_main_button(
    sign_in: SignIn, busy_group: Person, driver: Person
) -> None:
    """Whoever packs, drives and sews finds all of it on one page, and one button stands out."""
    for role in ("packer", "volunteer"):
        PersonRole.objects.create(person=driver, role=role)
    drop_off_for(driver)
    page = shown(sign_in, driver)
    for words in ("1 lay is to be cut.", "Your drop-offs", "You have no kit at home."):
        assert words in page
    assert page.count('class="button main"') == 1


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


def test_gowns_nobody_makes_lead_to_a_batch(sign_in: SignIn, coordinator: Person) -> None:
    """Gowns that are short lead to a new batch, or to the month's batch where one is still open."""
    RequestLineFactory(request=WardRequestFactory(month=MARCH), gown_count=4)

    def task() -> tuple[str, str]:
        tasks = sign_in(coordinator).get("/").context["tasks"].now
        return next((each.words, each.url) for each in tasks if "nobody" in each.words)

    words = "4 gowns are asked for and in nobody’s hands yet."
    assert task() == (words, "/batches/start/")
    batch = march_batch(state=Batch.State.PROPOSED)
    assert task() == (words, f"/batches/{batch.pk}/")


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


def test_the_number_of_queries_does_not_grow(sign_in: SignIn, busy_group: Person, volunteer: Person) -> None:
    """Many times the rows take the same number of queries for every role, and never more than any list may."""
    people = [PersonFactory(roles=roles) for roles in ROLES_TOGETHER]
    clients = [sign_in(person) for person in people]

    def more() -> None:
        for person in people:
            kit_in(Kit.State.CLAIMED, holder=person, due_on=date(2026, 3, 2))
            drop_off_for(person)
        gown_in("back", size=SizeFactory(upper_mass_g=3000 + Kit.objects.count()))
        WardFactory(paused_until=date(2026, 4, 1))
        RequestLineFactory()

    def counted() -> list[int]:
        found = []
        for client in clients:
            with CaptureQueriesContext(connection) as queries:
                client.get("/")
            found.append(len(queries))
        return found

    more()
    counted()  # what a process looks up once is looked up now
    once = counted()
    for _number in range(MANY):
        more()
    assert counted() == once
    assert max(once) <= MOST_QUERIES


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


def test_short_gowns_lead_to_the_batch_being_put_together(sign_in: SignIn, coordinator: Person) -> None:
    """Where the month's batch is under way, gowns nobody makes yet go into the next one, and none is begun anew."""
    RequestLineFactory(request=WardRequestFactory(month=MARCH), gown_count=30)
    march_batch(state=Batch.State.COMMITTED)
    april = Batch.objects.create(month=date(2026, 4, 1))
    task = next(task for task in _tasks(sign_in, coordinator) if "nobody’s hands" in task.words)
    assert task.url == f"/batches/{april.pk}/"
    april.delete()
    task = next(task for task in _tasks(sign_in, coordinator) if "nobody’s hands" in task.words)
    assert task.url == "/batches/start/"


def _tasks(sign_in: SignIn, person: Person) -> list[Task]:
    return list(sign_in(person).get("/").context["tasks"].now)
