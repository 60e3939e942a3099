"""A whole copy of everything that is kept, made while people go on working, and put back into an empty place.

A copy is a zip of two members: the database as its own tools write it, and a note with the sum of it, so that a file
damaged since is refused before anything is put back. Kept sheets and receipts lie in the database, too.
"""

import errno
import json
import os
import shutil
import sqlite3
import subprocess
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from zipfile import ZIP_DEFLATED, BadZipFile, ZipFile

from django.db import connection
from django.db.migrations.loader import MigrationLoader

FORMAT, NOTE, DATABASE = 1, "note.json", "database"
AT_ONCE = 1 << 20
DAMAGED = (
    BadZipFile,
    zlib.error,
    EOFError,
    KeyError,
    ValueError,
    TypeError,
    NotImplementedError,
    RuntimeError,
)


class CannotCopy(Exception):
    """No copy was made, or nothing was put back; the sentence says why and what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """What a copy says of itself: of which kind of database, made when, after which migrations, and its sum."""

    format: int
    vendor: str
    made_at: str
    migrations: tuple[tuple[str, str], ...]
    sha256: str


def make_copy(file: Path, *, at: datetime) -> None:
    """Write a copy of everything; it stands there whole or not at all, for nobody else on the machine to read."""
    if file.exists():
        raise CannotCopy(f"{file} is there already; please choose another name.")
    if not file.parent.is_dir():
        raise CannotCopy(f"There is no folder {file.parent}; please make it first.")
    try:
        with TemporaryDirectory(dir=file.parent, prefix=".copy-") as folder:
            database, half = Path(folder, DATABASE), Path(folder, "half")
            _written_out(database)
            note = Note(
                format=FORMAT,
                vendor=connection.vendor,
                made_at=at.isoformat(timespec="seconds"),
                migrations=tuple(sorted(MigrationLoader(connection).applied_migrations)),
                sha256=_sum_of(database),
            )
            with half.open("xb") as out, ZipFile(out, "w", ZIP_DEFLATED) as copy:
                copy.write(database, DATABASE)
                copy.writestr(NOTE, json.dumps(asdict(note)))
            with half.open("rb+") as written:
                os.fsync(written.fileno())
            half.chmod(0o600)
            half.replace(file)
    except (OSError, sqlite3.Error) as error:
        raise CannotCopy(f"The copy could not be written: {error}.") from error


def put_back(file: Path) -> Note:
    """Put a copy back where nothing is yet; gives what it says of itself.

    Whatever cannot be read whole, is of another kind of database or of a newer version of this program is refused.
    """
    _check_empty()
    database = _database_file()
    where = database.parent if database else None
    if where:
        where.mkdir(parents=True, exist_ok=True)
    try:
        with TemporaryDirectory(dir=where, prefix=".copy-") as folder:
            unpacked = Path(folder, DATABASE)
            note = _unpacked(file, unpacked)
            _check_known(note)
            if database:
                connection.close()
                unpacked.replace(database)
            else:
                run_tool("pg_restore", "--single-transaction", "--exit-on-error", "--no-owner", "--no-privileges",
                     "--dbname", str(connection.settings_dict["NAME"]), str(unpacked))  # fmt: skip
    except OSError as error:
        raise CannotCopy(f"The copy could not be put back: {error}.") from error
    return note


def _written_out(to: Path) -> None:
    """The database as it stands at one moment, in a file; SQLite and PostgreSQL both let others go on writing."""
    if connection.vendor != "sqlite":
        run_tool("pg_dump", "--format=custom", "--no-owner", "--no-privileges", "--file", str(to),
             str(connection.settings_dict["NAME"]))  # fmt: skip
        return
    connection.ensure_connection()
    copy = sqlite3.connect(to)
    try:
        connection.connection.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")  # all of it in this one file
    finally:
        copy.close()


def _unpacked(file: Path, to: Path) -> Note:
    if not file.is_file():
        raise CannotCopy(f"There is no file {file}.")
    try:
        with ZipFile(file) as copy:
            told = json.loads(copy.read(NOTE))
            with copy.open(DATABASE) as packed, to.open("xb") as out:
                shutil.copyfileobj(packed, out, AT_ONCE)
        told["migrations"] = tuple((str(app), str(name)) for app, name in told["migrations"])
        note = Note(**told)
    except (*DAMAGED, OSError) as error:
        # A wrong place within the zip is an argument that cannot be; any other such error is of the machine.
        if isinstance(error, OSError) and error.errno != errno.EINVAL:
            raise
        raise CannotCopy(f"{file} is damaged or no copy of this program; nothing was put back.") from error
    if note.sha256 != _sum_of(to):
        raise CannotCopy(f"{file} is damaged; nothing was put back. Please take another copy.")
    return note


def _check_known(note: Note) -> None:
    if note.vendor != connection.vendor:
        raise CannotCopy(
            f"This copy is of a database of another kind ({note.vendor}); DATABASE_URL names one of {connection.vendor}."
        )
    newer = set(note.migrations) - set(MigrationLoader(None).disk_migrations)
    if newer or note.format != FORMAT:
        raise CannotCopy("This copy was made by a newer version of the program; please install that first.")


def _check_empty() -> None:
    database = _database_file()
    if left := _left_over(database):
        raise CannotCopy(
            f"What an earlier database has not written yet lies here still: {', '.join(left)}. Beside it a copy would "
            "turn into that database again. Please name an empty folder in GOWNGROUP_VAR_DIR, or move these files away."
        )
    if (database is not None and not database.exists()) or not connection.introspection.table_names():
        connection.close()
        return
    raise CannotCopy(
        f"There is something in {connection.settings_dict['NAME']} already. Please name an empty place: another folder "
        "in GOWNGROUP_VAR_DIR, or another database in DATABASE_URL."
    )


def _left_over(database: Path | None) -> list[str]:
    """Files of an SQLite database that is gone itself; whatever is put into its place would be changed by them."""
    if database is None or database.exists():
        return []
    beside = [database.with_name(database.name + end) for end in ("-wal", "-shm", "-journal")]
    return [str(file) for file in beside if file.exists()]


def _database_file() -> Path | None:
    """The file of an SQLite database."""
    return Path(connection.settings_dict["NAME"]) if connection.vendor == "sqlite" else None


def _sum_of(file: Path) -> str:
    found = sha256()
    with file.open("rb") as data:
        while part := data.read(AT_ONCE):
            found.update(part)
    return found.hexdigest()


def run_tool(tool: str, *arguments: str) -> None:
    """Run one of PostgreSQL's own tools; the password goes along unseen by others on the machine."""
    found = shutil.which(tool) or next(iter(_of_the_server(tool)), None)
    if found is None:
        raise CannotCopy(f"PostgreSQL’s own tool {tool} is missing: sudo apt install postgresql-client.")
    ran = subprocess.run(  # noqa: S603 - PostgreSQL's own tool and our own words
        [found, *arguments], env={**os.environ, **_way_in()}, capture_output=True, text=True, check=False
    )
    if ran.returncode:
        raise CannotCopy(f"{tool} says: {ran.stderr.strip() or ran.returncode}")


def _of_the_server(tool: str) -> Sequence[str]:
    """Where Debian keeps tools of each version, the newest first."""
    return sorted(map(str, Path("/usr/lib/postgresql").glob(f"*/bin/{tool}")), reverse=True)


def _way_in() -> Mapping[str, str]:
    about = connection.settings_dict
    named = {
        "PGHOST": about["HOST"],
        "PGPORT": about["PORT"],
        "PGUSER": about["USER"],
        "PGPASSWORD": about["PASSWORD"],
    }
    sslmode = about["OPTIONS"].get("sslmode", "")
    return {key: str(value) for key, value in {**named, "PGSSLMODE": sslmode}.items() if value}
