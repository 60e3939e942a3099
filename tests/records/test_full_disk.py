"""A database with no room left: what is there can be looked at, and whoever saves something is asked to wait."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse

from gowngroup.people.models import Person
from gowngroup.wards.models import Hospital
from tests.race import database_in_a_file

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(connection.vendor != "sqlite", reason="only SQLite can be told how large it may get"),
]
MOST_PAGES, MOST_TRIES = 2**30, 60


@contextmanager
def no_room_left() -> Iterator[None]:
    """Let the file grow no further, as on a full disk: SQLite answers with the very same error."""
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA page_count")
        (count,) = cursor.fetchone()
        cursor.execute(f"PRAGMA max_page_count = {count}")
        try:
            yield
        finally:
            cursor.execute(f"PRAGMA max_page_count = {MOST_PAGES}")


def test_reading_goes_on_and_saving_waits(
    coordinator: Person, sign_in: Callable[[Person], Client], tmp_path: Path
) -> None:
    """A form that finds no room answers 503 with a plain page and when to try again; nothing of it is kept, then it is."""
    with database_in_a_file(tmp_path / "small.sqlite3"):
        browser, url = sign_in(coordinator), reverse("wards:hospital_new")
        typed = {"name": "Rowan Hospital", "address": "a long way " * 40}
        names = [f"{number} {typed['name']}" for number in range(MOST_TRIES)]
        with no_room_left():
            answers = (browser.post(url, {**typed, "name": name}) for name in names)
            refused = next(answer for answer in answers if answer.status_code != 302)
            assert browser.get(reverse("wards:ward_list")).status_code == 200
        assert (refused.status_code, refused.headers["Retry-After"]) == (503, "60")
        assert "Nothing was saved halfway" in refused.content.decode()
        assert refused.wsgi_request.POST["name"] not in Hospital.objects.values_list("name", flat=True)
        assert browser.post(url, typed).status_code == 302
