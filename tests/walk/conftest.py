"""A server on a database that several people really share, a browser, and the month about to begin."""

from collections.abc import Iterator

import pytest
from pytest_django.fixtures import Settings
from pytest_django.live_server_helper import LiveServer

from tests.walk.beginning import begin


@pytest.fixture
def server(race_database: None, settings: Settings) -> Iterator[LiveServer]:
    """The app on a real port; each request has its own thread and its own connection to the database."""
    server = LiveServer("127.0.0.1")
    settings.SITE_ADDRESS = server.url
    yield server
    server.stop()


@pytest.fixture
def month(race_database: None) -> None:
    """A group with people, a ward, a catalog and a filled shelf, and nothing asked for yet."""
    begin()
