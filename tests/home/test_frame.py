"""What stands around every page: navigation by role, landmarks, error pages, the policy against scripts."""

import re
from collections.abc import Callable

import pytest
from django.template.loader import get_template
from django.test import Client, override_settings

from gowngroup.home.navigation import navigation
from gowngroup.people.models import Person
from gowngroup.records.templatetags.drawings import BAND, pleat_band

SignIn = Callable[[Person], Client]


@pytest.fixture
def page(sign_in: SignIn, coordinator: Person) -> str:
    return sign_in(coordinator).get("/").content.decode()


def test_the_first_link_leads_to_the_page(page: str) -> None:
    """Who uses the keyboard can pass the navigation."""
    first = re.search(r"<a [^>]*href=\"([^\"]+)\"", page)
    assert first is not None
    assert first[1] == "#main"
    assert '<main id="main" tabindex="-1">' in page


def test_nothing_on_a_page_needs_inline_style_or_script(sign_in: SignIn, coordinator: Person) -> None:
    """The policy sent with each page allows only files of our own, and the page holds nothing else."""
    response = sign_in(coordinator).get("/")
    policy = response.headers["Content-Security-Policy"]
    assert "unsafe" not in policy
    assert "default-src 'none'" in policy
    assert not re.search(r"\sstyle=|<style|<script(?![^>]*src=)|\son[a-z]+=", response.content.decode())


def test_no_copy_of_a_page_serves_anybody_else(sign_in: SignIn, coordinator: Person) -> None:
    """Caches keep pages for their reader alone and ask again before they show one (RFC 9111), the sign-in page, too."""
    for client, path in ((sign_in(coordinator), "/"), (Client(), "/sign-in/")):
        headers = client.get(path).headers
        assert headers["Cache-Control"] == "private, no-cache"
        assert {"Cookie", "Accept-Language"} <= set(headers["Vary"].split(", "))


def test_only_one_heading_of_the_first_rank(page: str) -> None:
    """A page has one main heading."""
    assert page.count("<h1") == 1


@pytest.mark.parametrize("is_demo", [True, False])
def test_only_the_demonstration_says_it_is_one(sign_in: SignIn, coordinator: Person, is_demo: bool) -> None:
    """The band with invented names stands in the demonstration alone."""
    with override_settings(IS_DEMO=is_demo):
        page = sign_in(coordinator).get("/").content.decode()
    assert ("All names are invented" in page) is is_demo


def test_volunteers_are_shown_only_their_own_pages() -> None:
    """A volunteer's navigation is her first page, the kits waiting and her own."""
    labels = [str(entry.label) for entry in navigation({"volunteer"}, "/")]
    assert labels == ["Today", "Kits waiting", "My kits"]


def test_a_coordinator_is_shown_every_table() -> None:
    """A coordinator's navigation has her day first and leaves out what only those who sew need."""
    labels = [str(entry.label) for entry in navigation({"coordinator"}, "/")]
    assert labels[0] == "Today"
    assert "Kits" in labels
    assert "My kits" not in labels


def test_the_page_one_is_on_is_marked() -> None:
    """The entry whose pages one is looking at is the current one, and only that."""
    entries = navigation({"coordinator"}, "/stock/lots/")
    assert [str(entry.label) for entry in entries if entry.is_current] in (["Shelf"], [])
    assert [str(e.label) for e in navigation({"coordinator"}, "/") if e.is_current] == ["Today"]


def test_an_unknown_address_is_told_kindly(sign_in: SignIn, volunteer: Person) -> None:
    """A wrong address is 404, in words and with a way out."""
    response = sign_in(volunteer).get("/no-such-page/")
    assert response.status_code == 404
    assert "There is nothing here" in response.content.decode()


def test_a_page_of_other_roles_is_told_kindly(sign_in: SignIn, volunteer: Person) -> None:
    """A page of another role is 403, in words and with a way out."""
    response = sign_in(volunteer).get("/batches/kits/")
    assert response.status_code == 403
    assert "not open to you" in response.content.decode()


@pytest.mark.parametrize("name", ["500.html", "403_csrf.html"])
def test_pages_of_last_resort_need_nothing(name: str) -> None:
    """The pages shown when all else fails are written without database, request or person."""
    assert '<main id="main"' in get_template(name).render()


def test_an_expired_form_is_told_kindly(coordinator: Person) -> None:
    """A form without its token is 403 with advice."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(coordinator)
    response = client.post("/")
    assert response.status_code == 403
    assert "Please send it again" in response.content.decode()


def test_the_band_joins_without_a_seam() -> None:
    """Every stitch of the tile comes again one tile further left, so that tiles join without a seam."""
    tile = pleat_band()["tile"]
    width = float(tile.width)
    runs = [[float(number) for number in re.findall(r"-?[\d.]+", line)] for line in tile.stitches]
    stitches = {tuple(run[at : at + 4]) for run in runs for at in range(0, len(run) - 3, 2)}
    shown = {(x, y, to_x, to_y) for x, y, to_x, to_y in stitches if 0 <= x < width}
    assert len(shown) > len(BAND.rows)
    assert {(x - width, y, to_x - width, to_y) for x, y, to_x, to_y in shown} <= stitches
