"""Several people at once: jobs in real threads, each with its own connection to one database."""

import sqlite3
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.db import connection, connections

AtOnce = Callable[..., list[Any]]


@pytest.fixture
def at_once(transactional_db: None, tmp_path: Path) -> Iterator[AtOnce]:
    """Run jobs at the same moment and give back what each returned or raised.

    SQLite's shared memory refuses a second writer where a file lets it wait, so there the first call moves
    what the test has made so far into a file; look at the outcome by another call.
    """
    is_moved = connection.vendor != "sqlite"
    database = connections.settings["default"]
    name = database["NAME"]

    def run(*jobs: Callable[[], Any]) -> list[Any]:
        nonlocal is_moved
        if not is_moved:
            copy = str(tmp_path / "several.sqlite3")
            with connection.cursor() as cursor:
                cursor.execute("VACUUM INTO %s", [copy])
            with closing(sqlite3.connect(copy)) as file:
                file.execute("PRAGMA journal_mode=WAL")  # as any database is once the app has opened it
            database["NAME"] = copy
            is_moved = True
        start = threading.Barrier(len(jobs))
        with ThreadPoolExecutor(len(jobs)) as pool:
            return list(pool.map(lambda job: _result(job, start), jobs))

    yield run
    database["NAME"] = name


def _result(job: Callable[[], Any], start: threading.Barrier) -> Any:
    try:
        start.wait()
        return job()
    except Exception as error:  # noqa: BLE001 - what a job raised is its result
        return error
    finally:
        connections["default"].close()
