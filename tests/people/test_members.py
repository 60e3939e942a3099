"""Adding and changing people, leaving the group and coming back."""

from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.people.actions import (
    LastCoordinator,
    PersonDetails,
    add_person,
    change_person,
    leave_group,
    return_to_group,
)
from gowngroup.people.models import Person
from gowngroup.people.queries import people_who_left, roles_of
from gowngroup.records.models import TrailLine
from tests.factories import KitFactory, PersonFactory
from tests.race import at_once, database_in_a_file

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
TYPED = {
    "name": "  Ada   Pleat ",
    "email": "Ada@Example.org",
    "telephone": "01234 555",
    "roles": ["volunteer", "driver"],
    "hours_offered_min": "7,5",
    "has_agreed_to_memorial": "yes",
    "length_unit": "in",
    "paper_size": "",
}


@pytest.fixture
def office(sign_in: SignIn, coordinator: Person) -> Client:
    """The coordinator's browser."""
    return sign_in(coordinator)


def test_added_person_is_kept_whole(office: Client) -> None:
    """What the coordinator typed is kept, tidied: hours as minutes, the address in small letters."""
    office.post(reverse("people:person_add"), TYPED)
    ada = Person.objects.get(name="Ada Pleat")
    assert (ada.email, ada.hours_offered_min, ada.length_unit) == ("ada@example.org", 450, "in")
    assert (sorted(roles_of(ada)), ada.has_agreed_to_memorial) == (["driver", "volunteer"], True)


def test_sent_twice_adds_once(office: Client) -> None:
    """A form sent twice adds one person and answers alike."""
    answers = [office.post(reverse("people:person_add"), {**TYPED, "request_key": "k"}) for _ in range(2)]
    assert Person.objects.filter(name="Ada Pleat").count() == 1
    assert answers[0]["Location"] == answers[1]["Location"]


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("name", ""),
        ("email", "no address"),
        ("telephone", "ring Ada"),
        ("roles", []),
        ("roles", ["queen"]),
        ("hours_offered_min", "many"),
        ("hours_offered_min", "1000"),
        ("has_agreed_to_memorial", ""),
        ("name", "A\0da"),
    ],
)
def test_bad_input_names_the_field_and_keeps_the_rest(office: Client, field: str, typed: object) -> None:
    """A field that cannot be right is named, what else was typed is kept, and nobody is added."""
    answer = office.post(reverse("people:person_add"), {**TYPED, field: typed})
    assert (answer.status_code, list(answer.context["form"].errors)) == (422, [field])
    assert "7,5" in answer.content.decode() or field == "hours_offered_min"
    assert not Person.objects.filter(name__contains="Pleat").exists()


def test_trail_names_fields_and_never_their_values(office: Client, coordinator: Person) -> None:
    """The trail says who was added and which fields changed, but holds no name, address or number."""
    office.post(reverse("people:person_add"), TYPED)
    ada = Person.objects.get(name="Ada Pleat")
    office.post(
        reverse("people:person_change", args=[ada.pk]),
        {**TYPED, "name": "Ada Smock", "telephone": "01632 960999"},
    )
    last = TrailLine.objects.first()
    assert last
    assert last.changes == {"name": None, "telephone": None}
    kept = str(list(TrailLine.objects.values()))
    # Whole numbers, for a moment may hold any three digits.
    numbers = ("01234 555", "01234555", "01632 960999", "01632960999")
    assert not [word for word in ("Ada", "example.org", *numbers) if word in kept]


def test_change_of_tasks_is_in_the_trail(office: Client, volunteer: Person) -> None:
    """Who may do what is changed visibly: the tasks before and after."""
    office.post(reverse("people:person_change", args=[volunteer.pk]), {**TYPED, "roles": ["packer"]})
    last = TrailLine.objects.first()
    assert last
    assert last.changes["roles"] == [["volunteer"], ["packer"]]


def test_new_address_ends_open_sign_ins(office: Client, sign_in: SignIn, volunteer: Person) -> None:
    """When an address changes, whoever was signed in by the old one is signed out."""
    browser = sign_in(volunteer)
    office.post(reverse("people:person_change", args=[volunteer.pk]), TYPED)
    assert browser.get(reverse("people:my_page")).status_code == 302


def test_coordinator_stays_signed_in_after_her_own_change(office: Client, coordinator: Person) -> None:
    """A coordinator who changes her own address goes on working in this browser."""
    office.post(reverse("people:person_change", args=[coordinator.pk]), {**TYPED, "roles": ["coordinator"]})
    assert office.get(reverse("people:person_list")).status_code == 200


def test_last_coordinator_keeps_her_task(office: Client, coordinator: Person) -> None:
    """The group is never left without a coordinator, neither by a change nor by leaving."""
    answer = office.post(
        reverse("people:person_change", args=[coordinator.pk]), {**TYPED, "roles": ["packer"]}
    )
    assert (answer.status_code, "only coordinator" in answer.content.decode()) == (422, True)
    answer = office.post(reverse("people:person_leave", args=[coordinator.pk]))
    assert (answer.status_code, Person.objects.get(pk=coordinator.pk).is_active) == (422, True)


def test_one_of_two_coordinators_may_leave(coordinator: Person, at: datetime) -> None:
    """With another coordinator there, one may leave; the last then may not."""
    second = PersonFactory(roles=["coordinator"])
    assert not leave_group(person=coordinator, by=second, at=at).is_active
    with pytest.raises(LastCoordinator):
        leave_group(person=second, by=second, at=at)


@pytest.mark.django_db(transaction=True)
def test_one_coordinator_is_left_of_many_who_go_at_once(tmp_path: Path, at: datetime) -> None:
    """Of four pairs who let each other go at the same moment all go but one."""
    with database_in_a_file(tmp_path / "race.sqlite3"):
        people = [PersonFactory(roles=["coordinator"]) for _ in range(8)]
        pairs = [(one, people[number ^ 1]) for number, one in enumerate(people)]
        assert at_once([partial(is_gone, one, by, at) for one, by in pairs]).count(False) == 1
        assert Person.objects.filter(is_active=True, role_rows__role="coordinator").count() == 1


def is_gone(person: Person, by: Person, at: datetime) -> bool:
    try:
        leave_group(person=person, by=by, at=at)
    except LastCoordinator:
        return False
    return True


def test_kits_come_back_before_she_leaves(office: Client, volunteer: Person) -> None:
    """Somebody with a kit at home cannot leave, and the page says how many kits she has."""
    KitFactory(state="claimed", holder=volunteer)
    answer = office.post(reverse("people:person_leave", args=[volunteer.pk]))
    assert (answer.status_code, "1 kit." in answer.content.decode()) == (409, True)
    assert Person.objects.get(pk=volunteer.pk).is_active


def test_leaving_can_be_undone(office: Client, volunteer: Person) -> None:
    """She leaves by one button, keeps her row, and comes back by another."""
    page = reverse("people:person_page", args=[volunteer.pk])
    office.post(reverse("people:person_leave", args=[volunteer.pk]))
    assert "has left" in office.get(page).content.decode()
    assert office.post(reverse("people:person_leave", args=[volunteer.pk])).status_code == 409
    office.post(reverse("people:person_return", args=[volunteer.pk]))
    assert Person.objects.get(pk=volunteer.pk).is_active
    assert office.post(reverse("people:person_return", args=[volunteer.pk])).status_code == 409


def test_erased_person_stays_erased(coordinator: Person, volunteer: Person, at: datetime) -> None:
    """Nothing is written down again of a person who was erased."""
    Person.objects.filter(pk=volunteer.pk).update(erased_at=at, is_active=False)
    with pytest.raises(Exception, match="stay erased"):
        change_person(person=volunteer, details=PersonDetails(name="Ada"), by=coordinator, at=at)


def test_lost_telephone_is_signed_out(office: Client, sign_in: SignIn, volunteer: Person) -> None:
    """The coordinator signs somebody out on every device."""
    browser = sign_in(volunteer)
    office.post(reverse("people:person_sign_out", args=[volunteer.pk]))
    assert browser.get(reverse("people:my_page")).status_code == 302


@pytest.mark.parametrize(
    ("query", "names"),
    [
        ({"words": "plea"}, ["Ada Pleat"]),
        ({"words": "ada 555"}, ["Ada Pleat"]),
        ({"role": "packer"}, ["Bea"]),
        ({"role": "driver"}, []),
        ({"has_left": "on"}, ["Cara"]),
        ({"sort": "hours"}, ["Bea", "Ada Pleat", "Coordinator"]),
        ({"sort": "joined"}, ["Ada Pleat", "Bea", "Coordinator"]),
        ({"sort": "nonsense"}, ["Ada Pleat", "Bea", "Coordinator"]),
    ],
)
def test_people_are_found(office: Client, query: dict[str, str], names: list[str]) -> None:
    """People are found by part of a name or number, by task and among those who left, in the order asked for."""
    PersonFactory(
        name="Ada Pleat", telephone="555", roles=["volunteer"], hours_offered_min=60, joined_on="2025-01-01"
    )
    PersonFactory(name="Bea", roles=["packer", "volunteer"], hours_offered_min=120)
    PersonFactory(name="Cara", roles=["volunteer"], is_active=False)
    answer = office.get(reverse("people:person_list"), query)
    assert [person.name for person in answer.context["page_obj"]] == names


def test_long_list_has_pages_and_few_queries(
    office: Client, django_assert_max_num_queries: Callable[[int], object]
) -> None:
    """A hundred people come in pages of twenty-five, with as few queries as ten people."""
    for _ in range(100):
        PersonFactory(roles=["volunteer"])
    with django_assert_max_num_queries(15):  # type: ignore[attr-defined]
        answer = office.get(reverse("people:person_list"), {"page": "2", "sort": "hours"})
    assert len(answer.context["page_obj"]) == 25
    assert "sort=hours" in answer.content.decode()


def test_empty_search_says_what_to_do(office: Client) -> None:
    """A search that finds nobody offers the way back to everybody."""
    page = office.get(reverse("people:person_list"), {"words": "nobody at all"}).content.decode()
    assert "Show everybody" in page


@pytest.mark.parametrize("pk", [0, 999_999, 10**30])
def test_unknown_person_is_not_found(office: Client, pk: int) -> None:
    """A person who never existed answers 404, however large her number."""
    assert office.get(reverse("people:person_page", args=[pk])).status_code == 404


def test_first_person_needs_nobody(group: object, at: datetime) -> None:
    """The very first person is added by nobody, as when a group is set up."""
    first = add_person(details=PersonDetails(name="First", roles=("coordinator",)), by=None, at=at)
    assert (list(roles_of(first)), first.has_usable_password()) == (["coordinator"], False)


def test_hostile_name_is_shown_as_text(office: Client) -> None:
    """What looks like a script in a name is shown as typed and never run."""
    answer = office.post(reverse("people:person_add"), {**TYPED, "name": "<script>x</script>"}, follow=True)
    assert "&lt;script&gt;x" in answer.content.decode()
    assert "<script>x" not in answer.content.decode()


def test_the_coordinator_reads_who_left_until_she_has_seen_it(
    office: Client, volunteer: Person, coordinator: Person, at: datetime
) -> None:
    """Who goes by herself stands on the first page and its list until seen; whom the coordinator let go does not."""
    leave_group(person=volunteer, by=volunteer, at=at)
    assert "1 person has left the group." in office.get("/").content.decode()
    assert volunteer.name in office.get(reverse("people:left_list")).content.decode()
    for _again in range(2):
        office.post(reverse("people:left_seen", args=[volunteer.pk]), {"request_key": "k"})
    assert "has left the group" not in office.get("/").content.decode()
    assert "Nobody has left" in office.get(reverse("people:left_list")).content.decode()
    assert TrailLine.objects.filter(did="see_leave").count() == 1
    return_to_group(person=volunteer, by=coordinator, at=at)
    leave_group(person=volunteer, by=coordinator, at=at)
    assert not people_who_left().exists()
    return_to_group(person=volunteer, by=coordinator, at=at)
    leave_group(person=volunteer, by=volunteer, at=at)
    return_to_group(person=volunteer, by=coordinator, at=at)
    assert not people_who_left().exists()
