"""The demo's rows, built once for the whole session and laid out again for each module that looks at them."""

import os
import pickle
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from django.apps import apps
from django.core.management.color import no_style
from django.core.serializers.json import DjangoJSONEncoder
from django.db import connection, models, transaction
from django.test import TestCase, override_settings

from gowngroup.batches.models import Letter
from gowngroup.demo.post import Outbox
from gowngroup.demo.scenario import build_demo
from gowngroup.people.models import Person
from tests.once import made_once

TODAY = date(2026, 3, 17)
ANOTHER_DAY = date(2026, 3, 28)  # on PostgreSQL: any day of the month must build the same
# Drawn anew by whoever builds: what signs a person in, or stops her letters, must never be the same in two databases.
SECRET_FIELDS = {(Person, "handle"), (Person, "password"), (Letter, "stop_hash")}
OUTBOX = f"{Outbox.__module__}.{Outbox.__name__}"
Rows = list[tuple[type[models.Model], list[models.Model]]]


def shared_demo_rows(folder: Path) -> Rows:
    """Every row of the demo, built by the first process that asks in this folder; the others wait for its file."""
    if "PYTEST_XDIST_WORKER" not in os.environ:
        return demo_rows()
    file = made_once(folder / "demo.pickle", _write_rows, marks=folder)
    stored = pickle.loads(file.read_bytes())  # noqa: S301 - another process of this very test run wrote it
    return [
        (model, [model(**values) for values in found]) for model, found in zip(tables(), stored, strict=True)
    ]


def _write_rows(file: Path) -> None:
    file.write_bytes(pickle.dumps([[_values(row) for row in found] for _, found in demo_rows()]))


def _values(row: models.Model) -> dict[str, Any]:
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}


def demo_rows() -> Rows:
    """Every row of the demo, built here; the database is left as it was."""
    with rolled_back():
        return built(TODAY if connection.vendor == "sqlite" else ANOTHER_DAY)


def built(today: date) -> Rows:
    """Build the demo into empty tables whose numbers begin at one, as in a new database."""
    sequences = connection.introspection.sequence_list()
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_by_name_sql(no_style(), sequences):
            cursor.execute(statement)
    with TemporaryDirectory() as folder, _posting_as_the_demo_does(folder):
        build_demo(seed=1, today=today)
    return [(model, list(model._base_manager.order_by("pk"))) for model in tables()]


@contextmanager
def _posting_as_the_demo_does(folder: str) -> Iterator[None]:
    """Letters go out, or do not, as when the demo is built for somebody to look at."""
    with (
        override_settings(EMAIL_BACKEND=OUTBOX, EMAIL_FILE_PATH=folder),
        TestCase.captureOnCommitCallbacks(execute=True),
    ):
        yield


def tables() -> list[type[models.Model]]:
    """The tables of the rooms."""
    found = apps.get_models(include_auto_created=True)
    return [model for model in found if model.__module__.startswith("gowngroup.")]


def lay_out(rows: Rows) -> None:
    """Put the rows into the empty tables of this database."""
    for model, found in rows:
        model._base_manager.bulk_create(found, batch_size=200)
    # Rows that brought their numbers along leave PostgreSQL's counters behind.
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), tables()):
            cursor.execute(statement)


@contextmanager
def rolled_back() -> Iterator[None]:
    """Everything done inside is undone."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def digest(rows: Rows) -> str:
    """One short text that differs when any value of any row differs, secrets aside."""
    plain = [
        (model._meta.label, [[_plain(row, field) for field in model._meta.concrete_fields] for row in found])
        for model, found in rows
    ]
    return sha256(DjangoJSONEncoder(sort_keys=True).encode(plain).encode()).hexdigest()


def _plain(row: models.Model, field: Any) -> object:
    return None if (type(row), field.name) in SECRET_FIELDS else getattr(row, field.attname)
