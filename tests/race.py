"""Many people doing something at the same moment: real threads on a real database file or server."""

import sqlite3
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

from django.db import connection, connections, transaction

from gowngroup.records.errors import Refusal

R = TypeVar("R")


def at_once(jobs: Sequence[Callable[[], R]]) -> list[R]:
    """Run every job in a thread of its own, all let go at the same moment, and give their results in order."""
    start = threading.Barrier(len(jobs), timeout=60)

    def run(job: Callable[[], R]) -> R:
        try:
            start.wait()
            return job()
        finally:
            connections.close_all()

    with ThreadPoolExecutor(max_workers=len(jobs)) as pool:
        return [future.result() for future in [pool.submit(run, job) for job in jobs]]


LINGER_S = 0.2  # the first does not end before the second has begun


def overlapping(first: Callable[[], object], second: Callable[[], object]) -> list[object]:
    """Begin the second when the first has done its work and not ended yet; gives what each gave, or why it refused."""
    is_begun = threading.Event()

    def begin() -> object:
        try:
            with transaction.atomic():
                done = first()
                is_begun.set()
                time.sleep(LINGER_S)
        finally:
            is_begun.set()
        return done

    def follow() -> object:
        is_begun.wait()
        try:
            return second()
        except Refusal as refusal:
            return refusal

    return at_once([begin, follow])


@contextmanager
def database_in_a_file(path: Path) -> Iterator[None]:
    """Put the in-memory SQLite test database into a file, as threads lock a file and not a memory.

    On PostgreSQL there is nothing to do.
    """
    if connection.vendor != "sqlite":
        yield
        return
    connection.ensure_connection()
    memory, name = connection.connection, connection.settings_dict["NAME"]
    with sqlite3.connect(path) as file:
        memory.backup(file)
    file.close()
    connection.connection, connection.settings_dict["NAME"] = None, str(path)
    try:
        yield
    finally:
        connection.close()
        connection.connection, connection.settings_dict["NAME"] = memory, name
