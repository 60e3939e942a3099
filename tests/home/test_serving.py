"""The application server behind a proxy that speaks https, and without one."""

import os
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
import waitress
from django.core.handlers.wsgi import WSGIRequest
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.test import override_settings
from pytest_django.fixtures import Settings

from gowngroup.home.serving import gather_files, is_database_behind, proxy_options

HEADER = ("HTTP_X_FORWARDED_PROTO", "https")


def says_whether_secure(environ: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
    """An app that answers what Django makes of a request."""
    start("200 OK", [("Content-Type", "text/plain")])
    return [str(WSGIRequest(environ).is_secure()).encode()]


@contextmanager
def served() -> Iterator[int]:
    """The port of a real server, asked one thing at a time."""
    server = waitress.create_server(
        says_whether_secure, host="127.0.0.1", port=0, threads=1, **proxy_options()
    )
    thread = Thread(target=server.run)
    thread.start()
    try:
        yield server.effective_port
    finally:
        server.trigger.pull_trigger(
            server.close
        )  # by the thread that serves, between two looks at its sockets
        thread.join(10)
        server.task_dispatcher.shutdown()


@pytest.mark.parametrize(
    ("has_proxy", "sent", "is_secure"),
    [(True, "https", "True"), (True, "http", "False"), (False, "https", "False")],
)
def test_only_a_proxy_is_believed(*, has_proxy: bool, sent: str, is_secure: str) -> None:
    """What came to the proxy by https is known as such, so that no page leads round in circles; else nobody is believed."""
    with override_settings(SECURE_PROXY_SSL_HEADER=HEADER if has_proxy else None), served() as port:
        line = HTTPConnection("127.0.0.1", port, timeout=60)
        line.request("GET", "/", headers={"X-Forwarded-Proto": sent, "Connection": "close"})
        assert line.getresponse().read().decode() == is_secure
        line.close()


def test_files_are_gathered_where_one_has_changed(settings: Settings, tmp_path: Path) -> None:
    """A server that was killed need not gather all files again; after a new version, or where they are gone, it does."""
    sources, settings.STATIC_ROOT = tmp_path / "ours", tmp_path / "gathered"
    settings.STATICFILES_DIRS = [sources]
    settings.STATICFILES_FINDERS = ["django.contrib.staticfiles.finders.FileSystemFinder"]
    source, gathered = sources / "base.css", settings.STATIC_ROOT / "base.css"
    sources.mkdir()
    for changed_at, text in enumerate(("body {}", "main {}")):
        source.write_text(text)
        os.utime(source, (time.time() + 60 * changed_at,) * 2)
        gather_files()
        assert gathered.read_text() == text
    gathered.write_text("left alone")
    gather_files()
    assert gathered.read_text() == "left alone"
    settings.STATIC_ROOT.rename(tmp_path / "away")
    gather_files()
    assert gathered.read_text() == "main {}"


@pytest.mark.django_db
def test_a_table_that_waits_for_a_migration_is_noticed() -> None:
    """Only then are migrations applied at the start, for looking takes a second less."""
    assert not is_database_behind()
    newest = MigrationLoader(connection).graph.leaf_nodes("people")[0]
    MigrationRecorder(connection).record_unapplied(*newest)
    assert is_database_behind()
