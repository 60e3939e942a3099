"""The test database is migrated once; each process begins with a copy, and later runs with the same migrations too."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from typing import Any

import django
from django.conf import settings
from django.db import connection
from django.db.backends.signals import connection_created

from tests.once import made_once

TEMPLATE = "gowngroup_migrated"  # on PostgreSQL, whose server copies it


@contextmanager
def begun_from_copy(kept: Path, marks: Path) -> Iterator[None]:
    """Let the test database that is made inside begin with all tables there."""
    if connection.vendor == "sqlite":
        file = made_once(
            kept / f"migrated-{_version()}.sqlite3", lambda half: _migrate(str(half)), marks=marks
        )
        connection_created.connect(fill := _filler(file))
        yield
        connection_created.disconnect(fill)
    else:
        made_once(marks / "migrated", _migrate_template, marks=marks)
        connection.settings_dict["TEST"]["TEMPLATE"] = f"{TEMPLATE}_{_version()}"
        yield


def _filler(file: Path) -> Callable[..., None]:
    def fill(**about: Any) -> None:
        memory = about["connection"].connection
        if not memory.execute("SELECT 1 FROM sqlite_master").fetchone():
            with sqlite3.connect(file) as migrated:
                migrated.backup(memory)
            migrated.close()

    return fill


def _migrate_template(marker: Path) -> None:
    _migrate(f"{TEMPLATE}_{_version()}")
    marker.touch()


def _migrate(name: str) -> None:
    """Apply every migration to an empty database of that name."""
    test, usual = connection.settings_dict["TEST"], connection.settings_dict["NAME"]
    wanted, test["NAME"] = test["NAME"], name
    try:
        connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
    finally:
        connection.close()
        test["NAME"] = wanted
        settings.DATABASES["default"]["NAME"] = connection.settings_dict["NAME"] = usual


def _version() -> str:
    """A name that changes with any migration, and with Django."""
    root = Path(settings.BASE_DIR) / "gowngroup"
    sources = sorted([*root.glob("*/migrations/*.py"), root / "records" / "triggers.py"])
    said = b"".join(path.name.encode() + path.read_bytes() for path in sources)
    return sha256(said + django.__version__.encode()).hexdigest()[:16]
