"""Copies made while people work are whole, and what is put back is what there was, row for row."""

import json
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from io import StringIO
from pathlib import Path
from threading import Event
from typing import Any
from zipfile import ZipFile

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connection

from gowngroup.home.copies import DATABASE, NOTE, CannotCopy, make_copy, put_back, run_tool
from gowngroup.people.actions import PersonDetails, add_person
from gowngroup.people.models import Person, PersonRole
from gowngroup.records.models import TrailLine
from tests.factories import GroupFactory
from tests.race import at_once

AT = datetime(2026, 3, 10, 9, 30, tzinfo=UTC)
COPIES, WRITERS = 8, 4
pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("race_database")]
of_sqlite = pytest.mark.skipif(connection.vendor != "sqlite", reason="looks into an SQLite file")


@contextmanager
def empty_place(folder: Path) -> Iterator[None]:
    """Another database, with nothing in it."""
    about, name = connection.settings_dict, connection.settings_dict["NAME"]
    other = str(folder / "new" / "other.sqlite3") if connection.vendor == "sqlite" else f"{name}_other"
    if connection.vendor != "sqlite":
        with connection.cursor() as cursor:
            cursor.execute(f"CREATE DATABASE {other}")
    connection.close()
    about["NAME"] = other
    try:
        yield
    finally:
        connection.close()
        about["NAME"] = name
        if connection.vendor != "sqlite":
            with connection.cursor() as cursor:
                cursor.execute(f"DROP DATABASE {other}")


def is_empty() -> bool:
    """Is there nothing in the place where the database would be? An SQLite file would be made by looking into it."""
    if connection.vendor == "sqlite":
        return not Path(connection.settings_dict["NAME"]).exists()
    return not connection.introspection.table_names()


def rows() -> dict[str, list[str]]:
    """Every row of every table."""
    found = {}
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names():
            cursor.execute(f'SELECT * FROM "{table}"')  # noqa: S608 - the tables there are
            found[table] = sorted(map(repr, cursor.fetchall()))
    return found


def add(name: str) -> Person:
    return add_person(details=PersonDetails(name=name, roles=("coordinator",)), by=None, at=AT)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A copy of a group with somebody in it."""
    GroupFactory()
    add("Olwen Pritchard")
    make_copy(tmp_path / "copy.zip", at=AT)
    return tmp_path / "copy.zip"


def test_what_is_put_back_is_what_there_was(copy: Path, tmp_path: Path) -> None:
    """Every row of every table, with the triggers that keep the trail; the books add up, and more can be written."""
    before, said = rows(), StringIO()
    assert sum(map(len, before.values())) > 50
    with empty_place(tmp_path):
        call_command("restore", str(copy), stdout=said)
        assert rows() == before
        with pytest.raises(Exception, match="never changed or removed"), connection.cursor() as cursor:
            cursor.execute("DELETE FROM records_trailline")
        assert add("Somebody new").pk
    assert "Everything is back as it was at 2026-03-10T09:30:00+00:00." in said.getvalue()
    assert "Everything adds up." in said.getvalue()


def test_only_into_an_empty_place(copy: Path, tmp_path: Path) -> None:
    """Beside what is there nothing is put back, nor is a copy written over another."""
    before = rows()
    with pytest.raises(CommandError, match=r"something in .* already.*GOWNGROUP_VAR_DIR"):
        call_command("restore", str(copy))
    for file, why in ((copy, "is there already"), (tmp_path / "none" / "copy.zip", "There is no folder")):
        with pytest.raises(CommandError, match=why):
            call_command("backup", str(file))
    assert rows() == before
    assert copy.stat().st_mode & 0o077 == 0


@of_sqlite
def test_not_beside_what_is_left_of_another_database(copy: Path, tmp_path: Path) -> None:
    """SQLite would write what a database that is gone left unwritten over what was put back, and say nothing."""
    with empty_place(tmp_path):
        left = Path(f"{connection.settings_dict['NAME']}-wal")
        left.parent.mkdir()
        left.write_bytes(b"unwritten")
        with pytest.raises(CommandError, match=r"earlier database .*other\.sqlite3-wal"):
            call_command("restore", str(copy))
        assert is_empty()
        left.unlink()
        call_command("restore", str(copy), stdout=StringIO())


@of_sqlite
def test_copies_made_while_people_work_are_whole(tmp_path: Path) -> None:
    """In each is whatever was acknowledged before it was begun, nothing half; a file merely copied, as a control, lacks it."""
    GroupFactory()
    noted: list[str] = []
    is_over, naive = Event(), tmp_path / "naive.sqlite3"

    def work(writer: int) -> None:
        number = 0
        while not is_over.is_set():
            number += 1
            noted.append(add(f"Writer {writer} {number}").name)

    def copies() -> list[set[str]]:
        found = []
        for number in range(COPIES):
            found.append({*noted})
            make_copy(tmp_path / f"{number}.zip", at=AT)
        is_over.set()
        return found

    jobs: list[Callable[[], Any]] = [
        copies,
        *(lambda writer=writer: work(writer) for writer in range(WRITERS)),
    ]
    acknowledged, *_rest = at_once(jobs)
    assert noted
    for number, before in enumerate(acknowledged):
        with ZipFile(tmp_path / f"{number}.zip") as packed:
            packed.extract(DATABASE, tmp_path / str(number))
        names, roles, lines = told_by(tmp_path / str(number) / DATABASE)
        assert before <= names
        assert len(names) == roles == lines
    shutil.copy(connection.settings_dict["NAME"], naive)
    add("The last")
    shutil.copy(connection.settings_dict["NAME"], naive)
    with pytest.raises((AssertionError, sqlite3.Error)):
        assert "The last" in told_by(naive)[0]


def told_by(file: Path) -> tuple[set[str], int, int]:
    """The people in an SQLite file, and how many roles and lines of the trail they have."""
    with closing(sqlite3.connect(file)) as database:
        names = {name for (name,) in database.execute(f"SELECT name FROM {Person._meta.db_table}")}  # noqa: S608
        roles = database.execute(f"SELECT count(*) FROM {PersonRole._meta.db_table}").fetchone()[0]  # noqa: S608
        lines = database.execute(
            f"SELECT count(*) FROM {TrailLine._meta.db_table} WHERE did = 'add_person'"  # noqa: S608
        ).fetchone()[0]
    return names, roles, lines


@of_sqlite
def test_a_damaged_copy_is_refused(copy: Path, tmp_path: Path) -> None:
    """Whichever byte is another: refused with a sentence, or what is put back is the same; never something else."""
    whole, before = copy.read_bytes(), rows()
    hurt = tmp_path / "hurt.zip"
    places = [*range(7, len(whole), max(1, len(whole) // 24))]
    said = []
    for place in places:
        hurt.write_bytes(whole[:place] + bytes([whole[place] ^ 0x40]) + whole[place + 1 :])
        with empty_place(tmp_path):
            try:
                put_back(hurt)
            except CannotCopy as why:
                said.append(str(why))
                assert is_empty()
            else:
                assert rows() == before
            shutil.rmtree(tmp_path / "new", ignore_errors=True)
    assert len(said) > 0.9 * len(places)
    assert all("nothing was put back" in each for each in said)


NOT_FITTING: list[tuple[dict[str, object], str]] = [
    ({"migrations": [["people", "9999_of_tomorrow"]]}, "newer version"),
    ({"format": 2}, "newer version"),
    ({"vendor": "another"}, "of a database of another kind"),
    ({"sha256": "0"}, "is damaged"),
    ({"migrations": 5}, "is damaged or no copy"),
]


def test_what_does_not_fit_is_refused(copy: Path, tmp_path: Path) -> None:
    """A copy of tomorrow's version, of another kind of database, or whose note is not its own; and any other file."""
    with empty_place(tmp_path):
        for number, (change, why) in enumerate(NOT_FITTING):
            other = tmp_path / f"{number}.zip"
            with ZipFile(copy) as packed, ZipFile(other, "w") as changed:
                changed.writestr(NOTE, json.dumps({**json.loads(packed.read(NOTE)), **change}))
                changed.writestr(DATABASE, packed.read(DATABASE))
            with pytest.raises(CannotCopy, match=why):
                put_back(other)
        with pytest.raises(CannotCopy, match="There is no file"):
            put_back(tmp_path / "none.zip")
        with pytest.raises(CannotCopy, match="no copy of this program"):
            put_back(settings.BASE_DIR / "README.md")
        assert is_empty()


def test_a_missing_tool_is_named(tmp_path: Path) -> None:
    """Where PostgreSQL's tools are not installed, the sentence says what to install."""
    with pytest.raises(CannotCopy, match="pg_copy is missing: sudo apt install postgresql-client"):
        run_tool("pg_copy", str(tmp_path))
