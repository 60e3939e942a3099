"""The server's log can be read by others than those whose addresses stand in it."""

import logging
from collections.abc import Iterator
from io import StringIO

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.records.logs import HideSecrets
from tests.factories import GroupFactory

pytestmark = pytest.mark.django_db
SECRET = "kq7Xw_3ZfT0mYb-Lr5Nn8sVtGd1HcJe2PaQoUi4R6Ey"
OPENED = {
    "people:sign_in_link": "/sign-in/link/…",
    "exchange:calendar_feed": "/calendar/…",
    "batches:letters_stop": "/batches/letters/stop/…",
}


@pytest.fixture
def written() -> Iterator[StringIO]:
    """What the handler that a server writes by puts out."""
    handlers = logging.getLogger().handlers
    ours = next(each for each in handlers if any(isinstance(one, HideSecrets) for one in each.filters))
    assert isinstance(ours, logging.StreamHandler)
    out, usual = StringIO(), ours.stream
    ours.setStream(out)
    yield out
    ours.setStream(usual)


@pytest.mark.parametrize(("name", "hidden"), OPENED.items())
def test_no_address_that_opens_something_is_logged(name: str, hidden: str, written: StringIO) -> None:
    """A refused look or press at such an address is logged without the part nobody else may know."""
    GroupFactory()
    url = reverse(name, args=[SECRET])
    assert Client(enforce_csrf_checks=True).post(url).status_code in (403, 405)
    assert Client().get(url).status_code == 404
    assert SECRET not in written.getvalue()
    assert f"Not Found: {hidden}" in written.getvalue()
