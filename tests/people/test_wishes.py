"""What people like to sew, pauses, reminders, and what is typed wrongly into them."""

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from gowngroup.batches.models import Stage
from gowngroup.catalog.models import DesignRevision
from gowngroup.people.actions import MySettings, change_my_settings
from gowngroup.people.models import Person, Practice, SewingStage
from gowngroup.people.queries import minutes_offered
from gowngroup.records.errors import Refusal
from tests.factories import KitFactory, PersonFactory

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
MY_PAGE = "people:my_page"
TYPED = {"has_agreed_to_memorial": "no"}
QUICK = {"roles": "volunteer", "has_agreed_to_memorial": "no"}
# Eighty letters and more in scripts with and without spaces, with marks, and from right to left.
NAMES = (
    "Wilhelmina-Constantia " * 5 + "von Hohen",
    "Đỗ Thị Hồng Ngọc Ánh " * 4,
    "Παρασκευή Αλεξανδροπούλου-" * 4,
    "אסתר בת־שבע " * 7,
    "高橋佐和子" * 20,
    "നന്ദകുമാർ " * 9,
)


@pytest.fixture(autouse=True)
def clock() -> Iterator[time_machine.Traveller]:
    with time_machine.travel(datetime(2026, 3, 10, 9, 30, tzinfo=UTC), tick=False) as traveller:
        yield traveller


def test_the_words_are_those_of_kits_and_designs() -> None:
    """Stages and difficulties people choose are exactly those a kit and a design can have."""
    assert SewingStage.values == Stage.values
    difficulty = DesignRevision._meta.get_field("difficulty")
    assert Practice.values == [number for number, _word in difficulty.flatchoices]


def test_wishes_are_kept_and_shown(sign_in: SignIn, volunteer: Person, coordinator: Person) -> None:
    """What she ticked on her page is kept, and the coordinator reads it in words on hers."""
    typed = {"stages_liked": ["smock", "pleat"], "practice": "2", "has_pleater": "on", "reminded_by": "post"}
    sign_in(volunteer).post(reverse(MY_PAGE), TYPED | typed)
    volunteer.refresh_from_db()
    assert (volunteer.stages_liked, volunteer.practice, volunteer.has_pleater) == (
        ["smock", "pleat"],
        2,
        True,
    )
    page = sign_in(coordinator).get(reverse("people:person_page", args=[volunteer.pk])).content.decode()
    assert "pleating, smocking; has a pleater" in page
    assert "easy ones, and those for some practice" in page
    assert "by post" in page


def test_nothing_ticked_means_whatever_there_is(sign_in: SignIn, volunteer: Person) -> None:
    """Who ticks nothing is shown everything, whatever its difficulty, and is reminded by email."""
    sign_in(volunteer).post(reverse(MY_PAGE), TYPED)
    volunteer.refresh_from_db()
    assert (volunteer.stages_liked, volunteer.practice, volunteer.reminded_by) == ([], 3, "mail")


def test_whoever_is_new_is_not_kept_to_easy_gowns(coordinator: Person, sign_in: SignIn) -> None:
    """The form for somebody new begins with any gown chosen, so that who says nothing is told of all kits."""
    page = sign_in(coordinator).get(reverse("people:person_add")).content.decode()
    assert 'value="3" selected' in page


def test_a_pause_ends_by_itself(sign_in: SignIn, volunteer: Person, clock: time_machine.Traveller) -> None:
    """She is away through the last day she named; from the next her page shows no pause and saves as before."""
    browser = sign_in(volunteer)
    browser.post(reverse(MY_PAGE), TYPED | {"away_until": "2026-03-12"})
    volunteer.refresh_from_db()
    assert (volunteer.is_away(date(2026, 3, 12)), volunteer.is_away(date(2026, 3, 13))) == (True, False)
    assert 'value="2026-03-12"' in browser.get(reverse(MY_PAGE)).content.decode()
    clock.move_to(datetime(2026, 3, 13, 9, tzinfo=UTC))
    assert "2026-03-12" not in browser.get(reverse(MY_PAGE)).content.decode()
    assert browser.post(reverse(MY_PAGE), TYPED).status_code == 302


def test_the_coordinator_sees_who_is_away(sign_in: SignIn, volunteer: Person, coordinator: Person) -> None:
    """The list and her page say until when somebody is away."""
    Person.objects.filter(pk=volunteer.pk).update(away_until="2026-03-20")
    office = sign_in(coordinator)
    assert "away until 20 March" in office.get(reverse("people:person_list")).content.decode()
    page = office.get(reverse("people:person_page", args=[volunteer.pk])).content.decode()
    assert "away until 20 March 2026" in page


@pytest.mark.parametrize(
    ("away_until", "month", "minutes"),
    [
        (None, date(2026, 3, 1), 620),
        (date(2026, 2, 28), date(2026, 3, 1), 620),
        (date(2026, 3, 10), date(2026, 3, 31), 520),
        (date(2026, 4, 9), date(2026, 3, 1), 310),
    ],
)
def test_hours_of_who_is_away_are_not_counted_on(
    group: object, away_until: date | None, month: date, minutes: int
) -> None:
    """A month's hours are those of everybody there, of who pauses the share of the days she is back."""
    PersonFactory(hours_offered_min=310, away_until=away_until)
    PersonFactory(hours_offered_min=310)
    PersonFactory(hours_offered_min=310, is_active=False)
    assert minutes_offered(month=month) == minutes


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("away_until", "2026-03-09", "That day is over"),
        ("away_until", "2062-03-09", "more than two years"),
        ("away_until", "next week", "Please choose a day"),
        ("hours_offered_min", "500", "at most 300"),
        ("hours_offered_min", "-3", "Please type"),
        ("hours_offered_min", "nan", "Please type a number"),
        ("hours_offered_min", "1e999", "Please type"),
        ("stages_liked", "embroider", "not one of the available choices"),
        ("practice", "4", "not one of the available choices"),
        ("reminded_by", "pigeon", "not one of the available choices"),
    ],
)
def test_what_cannot_be_is_asked_back(
    sign_in: SignIn, volunteer: Person, field: str, typed: str, words: str
) -> None:
    """A plain sentence says what to do, what was typed stays, and nothing is saved."""
    answer = sign_in(volunteer).post(reverse(MY_PAGE), TYPED | {"has_large_print": "on", field: typed})
    page = answer.content.decode()
    volunteer.refresh_from_db()
    assert (answer.status_code, volunteer.has_large_print, words in page) == (422, False, True)
    assert typed in page or field in ("stages_liked", "practice", "reminded_by")


@pytest.mark.parametrize("typed", ["0", "300", ""])
def test_no_hours_and_many_hours_are_fine(sign_in: SignIn, volunteer: Person, typed: str) -> None:
    """Nobody has to offer hours, and some offer very many."""
    assert sign_in(volunteer).post(reverse(MY_PAGE), TYPED | {"hours_offered_min": typed}).status_code == 302


def test_a_forged_stage_is_refused(volunteer: Person, at: datetime) -> None:
    """The action itself takes only stages there are."""
    with pytest.raises(Refusal, match="from the list"):
        change_my_settings(settings=MySettings(stages_liked=["knit"]), by=volunteer, at=at)


@pytest.mark.parametrize("name", NAMES)
def test_names_of_any_script_and_length(sign_in: SignIn, coordinator: Person, name: str) -> None:
    """A name of eighty letters and more, in any script, is kept and shown whole."""
    office = sign_in(coordinator)
    answer = office.post(reverse("people:person_add"), QUICK | {"name": name}, follow=True)
    kept = Person.objects.exclude(pk=coordinator.pk).get()
    assert 80 <= len(kept.name) <= 120
    assert kept.name == " ".join(name.split())
    assert kept.name in answer.content.decode()


def test_a_name_too_long_is_asked_back_as_typed(sign_in: SignIn, coordinator: Person) -> None:
    """A name of more than 120 letters comes back whole, to be shortened by whoever knows her."""
    name = "x" * 121
    answer = sign_in(coordinator).post(reverse("people:person_add"), QUICK | {"name": name})
    assert (answer.status_code, f'value="{name}"' in answer.content.decode()) == (422, True)


def test_name_and_number_are_enough(sign_in: SignIn, coordinator: Person) -> None:
    """Somebody who works on paper is added from the list by two fields and one key."""
    office = sign_in(coordinator)
    assert "by name and telephone number alone" in office.get(reverse("people:person_list")).content.decode()
    typed = QUICK | {"name": "Agnes", "telephone": "01234 777"}
    page = office.post(reverse("people:person_add"), typed, follow=True).content.decode()
    agnes = Person.objects.get(name="Agnes")
    assert (agnes.email, agnes.role_rows.get().role, agnes.has_agreed_to_memorial) == ("", "volunteer", False)
    assert "take kits for her and print her sheets" in page


@pytest.mark.parametrize("typed", ["01632960222", "01632 960 222", "960-222", "+44 1632 960222"])
def test_she_is_found_by_the_number_she_rings_from(sign_in: SignIn, coordinator: Person, typed: str) -> None:
    """Spaces and dashes in a telephone number make no difference to the search."""
    PersonFactory(name="Agnes", telephone="(01632) 960-222", roles=["volunteer"])
    PersonFactory(name="Berta", telephone="01632 960 333", roles=["volunteer"])
    answer = sign_in(coordinator).get(reverse("people:person_list"), {"words": typed})
    assert [person.name for person in answer.context["page_obj"]] == ["Agnes"]


def test_her_page_lists_the_kits_she_has(sign_in: SignIn, volunteer: Person, coordinator: Person) -> None:
    """Who rings about a kit is answered from her own page: it names the kit and its day."""
    kit = KitFactory(state="claimed", holder=volunteer, due_on="2026-04-01")
    page = sign_in(coordinator).get(reverse("people:person_page", args=[volunteer.pk])).content.decode()
    assert reverse("batches:kit_page", args=[kit.code]) in page
    assert "due on 1 April 2026" in page


def test_a_code_is_explained_where_it_was_not_asked_for(group: object) -> None:
    """Who opens the code page in another browser reads, before typing, that the code works only in the first."""
    page = Client().get(reverse("people:sign_in_code")).content.decode()
    assert "works only where it was asked for" in page
