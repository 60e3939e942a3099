"""Every page of the site opens on the demo, for whomever it is."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.people.models import Person, Role
from gowngroup.people.queries import roles_of
from tests.demo.drawings import wrong_numbers
from tests.demo.whole_site import DETAILS, LISTS, ONE_TIME_LINKS, address_of, member, values_of

pytestmark = pytest.mark.usefixtures("demo")
SignIn = Callable[[Person], Client]
IN_SPANISH = {"accept-language": "es"}


@pytest.mark.parametrize("role", Role.values)
def test_every_list_opens_for_those_it_is_for(role: str, sign_in: SignIn) -> None:
    """Pages without a number in their address answer, and only those with the role see them."""
    person = member(role)
    client = sign_in(person)
    for name in LISTS:
        is_allowed = roles_of(person) & {*(address_of(name).roles() or [])}
        status = client.get(reverse(name)).status_code
        # 422: a page that prints what was chosen, and nothing has been.
        assert status in ((200, 302, 422) if is_allowed else (403,)), f"{name} answered {status}"


@pytest.mark.parametrize("role", Role.values)
def test_the_first_page_shows_what_needs_her_today(role: str, sign_in: SignIn) -> None:
    """Everybody's first page has something to do on it."""
    page = sign_in(member(role)).get("/").content.decode()
    assert "main" in page
    shown = {
        "coordinator": "past their day",
        "packer": "to be packed",
        "inspector": "first check",
        "driver": "Newborn Intensive Care",
        "volunteer": "kits",
    }
    assert shown[role] in page


@pytest.mark.parametrize(
    "name", [name for name in DETAILS if not name.endswith("_pdf") and name not in ONE_TIME_LINKS]
)
def test_pages_of_single_things_open(name: str, sign_in: SignIn) -> None:
    """The coordinator opens every page of a thing in each of its states, in Spanish; what is past answers kindly."""
    client = sign_in(member(Role.COORDINATOR))
    answers = [client.get(reverse(name, kwargs=values), headers=IN_SPANISH) for values in values_of(name)]
    statuses = {answer.status_code for answer in answers}
    assert not {
        wrong for answer in answers for wrong in wrong_numbers(answer.content.decode(errors="replace"))
    }
    assert statuses & {200, 302}, f"{name} opened for none: {statuses}"
    assert statuses <= {200, 302, 404, 409}, f"{name} answered {statuses}"


@pytest.mark.parametrize(
    "drawing", ['x="1,5"', 'viewBox="0 0 1,5 2"', 'd="M1,5 2"', 'points="1,5,2"', 'width="12,5mm"']
)
def test_a_comma_in_a_drawing_is_seen(drawing: str) -> None:
    """The look above finds a number written as one reads it, where a browser would draw something else."""
    assert wrong_numbers(f"<svg {drawing}></svg>")
    assert not wrong_numbers(f"<svg {drawing.replace(',', '.', 1)}></svg>")


@pytest.mark.parametrize("role", [None, *Role.values])
def test_nobody_breaks_a_page(role: str | None, sign_in: SignIn) -> None:
    """Whoever opens whichever page gets it, a sign-in page, or a plain no."""
    client = sign_in(member(role)) if role else Client()
    for name in DETAILS:
        if not name.endswith("_pdf"):
            status = client.get(reverse(name, kwargs=next(values_of(name)))).status_code
            assert status in (200, 302, 403, 404, 409), f"{name} answered {status}"


@pytest.mark.parametrize("name", [name for name in DETAILS if name.endswith("_pdf")])
def test_sheets_of_paper_open(name: str, sign_in: SignIn) -> None:
    """A PDF is made for a thing that has one."""
    client = sign_in(member(Role.COORDINATOR))
    answers = [client.get(reverse(name, kwargs=values)) for values in list(values_of(name))[:2]]
    assert any(answer.headers["Content-Type"] == "application/pdf" for answer in answers)
