"""How the group works, and its figures, as the coordinator sets them."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.people.actions import GroupDetails, set_up_group
from gowngroup.people.actions.group import UnknownTimeZone
from gowngroup.people.models import Group, Person
from gowngroup.people.queries import the_group
from gowngroup.records.figure_words import figure_words
from gowngroup.records.models import FigureChange, TrailLine
from gowngroup.records.queries import figures_in_force

pytestmark = pytest.mark.django_db
TYPED = {
    "name": "New circle",
    "telephone": "01234 999",
    "pick_up_place": "12 Cotton Row",
    "time_zone": "Europe/London",
    "length_unit": "in",
    "language": "es",
    "paper_size": "Letter",
    "claim_limit_count": "3",
    "sewing_time_days": "21",
    "share_passed_percent": "88",
    "label_line": "",
}
FIGURE = "thread_waste_share"


@pytest.fixture
def office(sign_in: Callable[[Person], Client], coordinator: Person) -> Client:
    """The coordinator's browser."""
    return sign_in(coordinator)


def test_group_works_as_it_was_set(office: Client) -> None:
    """What the coordinator set is kept in the one row of the group."""
    assert office.post(reverse("people:group_settings"), TYPED).status_code == 302
    group = the_group()
    assert (group.name, group.claim_limit_count, group.time_zone) == ("New circle", 3, "Europe/London")
    assert Group.objects.count() == 1


def test_trail_says_from_what_to_what_but_no_number(office: Client) -> None:
    """The trail keeps how the group worked before, without the telephone number and the place."""
    office.post(reverse("people:group_settings"), TYPED)
    changes = TrailLine.objects.get().changes
    assert (changes["claim_limit_count"], changes["telephone"]) == ([2, 3], None)
    assert not [word for word in ("999", "Cotton") if word in str(changes)]


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("time_zone", "Nowhere/Much", ""),
        ("claim_limit_count", "0", "Please type 1 or more."),
        ("claim_limit_count", "-3", "Please type 1 or more."),
        ("claim_limit_count", "2,5", "Please type a whole number, such as 12."),
        ("sewing_time_days", "99999999999999999999", "Please type 365 or less."),
        ("share_passed_percent", "101", "Please type 100 or less."),
        ("share_passed_percent", "most", "Please type a whole number, such as 12."),
        ("name", "", "Please fill this in."),
        ("name", "long" * 50, "Please shorten this to 120 characters; it has 200."),
        ("telephone", "<b>", "Please type the number with digits"),
    ],
)
def test_what_cannot_be_is_asked_back(office: Client, field: str, typed: str, sentence: str) -> None:
    """A setting that cannot be right is named in plain words, and nothing is saved."""
    answer = office.post(reverse("people:group_settings"), {**TYPED, field: typed})
    assert (answer.status_code, list(answer.context["form"].errors)) == (422, [field])
    assert sentence in answer.content.decode()
    assert the_group().name == "Test circle"


def test_unknown_time_zone_is_refused_by_the_action(at: datetime) -> None:
    """A time zone nobody knows is refused even where no form has checked it."""
    with pytest.raises(UnknownTimeZone):
        set_up_group(details=GroupDetails(name="X", time_zone="Mars/Base"), by=None, at=at)


def test_group_is_set_up_by_nobody(db: None, at: datetime) -> None:
    """The group is set up before there is anybody to do it."""
    group = set_up_group(details=GroupDetails(name="First"), by=None, at=at)
    assert (group.pk, str(the_group())) == (1, "First")


def test_own_figure_is_put_in_with_its_source(office: Client) -> None:
    """A figure of our own counts at once, is shown with its source, and what it was stays readable."""
    page = reverse("people:figure_page", args=[FIGURE])
    shown = office.post(page, {"value": "12,5", "source": "our kits"}, follow=True).content.decode()
    assert figures_in_force()[FIGURE] == 0.125
    assert "12.5 % (our kits)" in shown
    assert "Coordinator" in shown


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"value": "90", "source": "ours"}, "value"),
        ({"value": "1e-9", "source": "ours"}, "value"),
        ({"value": "12", "source": ""}, "source"),
    ],
)
def test_figure_that_cannot_be_is_asked_back(office: Client, typed: dict[str, str], field: str) -> None:
    """A figure outside its likely range or without a source is asked back with the field named."""
    answer = office.post(reverse("people:figure_page", args=[FIGURE]), typed)
    assert (answer.status_code, list(answer.context["form"].errors)) == (422, [field])
    assert not FigureChange.objects.exists()


def test_choice_is_made_by_yes_or_no(office: Client) -> None:
    """A figure that is a choice is told and chosen in words; there is nothing it lies between."""
    page = reverse("people:figure_page", args=["floss_ends_on_whole_stitch"])
    assert "Likely between" not in office.get(page).content.decode()
    shown = office.post(page, {"value": "yes", "source": "our kits"}, follow=True).content.decode()
    assert figures_in_force()["floss_ends_on_whole_stitch"] == 1
    assert "yes (our kits)" in shown


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        (0.04, "share", "4 %"),
        (1 / 6, "share", "16.67 %"),
        (0, "yes or no", "no"),
        (3.25, "ratio", "3.25 to 1"),
        (25.0, "mm", "25 mm"),
        (0.54, "", "0.54"),
        (1.0, "cuts", "1 cut"),
        (3.0, "cuts", "3 cuts"),
        (1.0, "gowns a month", "1 gown a month"),
    ],
)
def test_figure_is_told_as_people_say_it(value: float, unit: str, words: str) -> None:
    """Shares in hundredths, choices in words, ratios to one, everything else with its unit, one of it as one."""
    assert figure_words(value, unit) == words


def test_figures_are_found_by_word_and_by_change(office: Client) -> None:
    """Figures are found by a word of their name, or only those the group has changed."""
    office.post(reverse("people:figure_page", args=[FIGURE]), {"value": "12", "source": "ours"})
    own = office.get(reverse("people:figure_list"), {"is_own": "on"}).context["page_obj"]
    assert [row["key"] for row in own] == [FIGURE]
    found = office.get(reverse("people:figure_list"), {"words": "SPOOL"}).context["page_obj"]
    assert "thread_spool_mm" in [row["key"] for row in found]


def test_every_figure_can_be_reached(office: Client) -> None:
    """Turning the pages shows every figure of the planner once."""
    pages = office.get(reverse("people:figure_list")).context["page_obj"].paginator
    seen = [
        row["key"]
        for number in pages.page_range
        for row in office.get(reverse("people:figure_list"), {"page": number}).context["page_obj"]
    ]
    assert sorted(seen) == sorted(figures_in_force())


def test_unknown_figure_is_not_found(office: Client) -> None:
    """A figure the planner does not know answers 404."""
    assert office.get(reverse("people:figure_page", args=["nonsense"])).status_code == 404
