"""Whether the site is well, for whoever watches over it."""

import pytest
from django.db import DatabaseError, connection
from django.test import Client


@pytest.mark.django_db
def test_well_when_the_database_answers(client: Client) -> None:
    """Anybody may ask, and gets 200 and `ok`."""
    response = client.get("/healthz")
    assert (response.status_code, response.content) == (200, b"ok")


@pytest.mark.django_db
def test_unwell_when_the_database_does_not_answer(client: Client) -> None:
    """A database that refuses makes it 503."""

    def refuse(*args: object) -> None:
        raise DatabaseError("gone")

    with connection.execute_wrapper(refuse):
        assert client.get("/healthz").status_code == 503


@pytest.mark.django_db
def test_it_is_only_read(client: Client) -> None:
    """It takes no POST."""
    assert client.post("/healthz").status_code == 405
