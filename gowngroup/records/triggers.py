"""Database triggers that refuse to change or remove lines of a ledger or trail, on both engines."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

POSTGRESQL_FUNCTION = """
CREATE OR REPLACE FUNCTION gowngroup_refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION 'lines of % are never changed or removed', TG_TABLE_NAME; END $$;
"""


def create_sql(vendor: str, table: str) -> list[str]:
    """Statements that make `table` append-only."""
    if vendor == "postgresql":
        trigger = (
            f"CREATE TRIGGER {table}_append_only BEFORE UPDATE OR DELETE ON {table} "
            "FOR EACH ROW EXECUTE FUNCTION gowngroup_refuse_change();"
        )
        return [POSTGRESQL_FUNCTION, trigger]
    return [
        f"CREATE TRIGGER {table}_no_{event} BEFORE {event} ON {table} "
        f"BEGIN SELECT RAISE(ABORT, 'lines of {table} are never changed or removed'); END;"
        for event in ("update", "delete")
    ]


def drop_sql(vendor: str, table: str) -> list[str]:
    """Statements that take the protection of `table` away again."""
    if vendor == "postgresql":
        return [f"DROP TRIGGER IF EXISTS {table}_append_only ON {table};"]
    return [f"DROP TRIGGER IF EXISTS {table}_no_{event};" for event in ("update", "delete")]


def append_only(table: str) -> migrations.RunPython:
    """A migration operation that makes `table` refuse UPDATE and DELETE."""

    # Without params=None PostgreSQL's driver takes the per cent sign of the message for a placeholder.
    def forwards(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
        for statement in create_sql(editor.connection.vendor, table):
            editor.execute(statement, params=None)

    def backwards(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
        for statement in drop_sql(editor.connection.vendor, table):
            editor.execute(statement, params=None)

    return migrations.RunPython(forwards, backwards)


def append_only_tables(connection: BaseDatabaseWrapper) -> set[str]:
    """The tables of this database that refuse UPDATE and DELETE."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(
                "SELECT relname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid "
                "WHERE tgname = relname || '_append_only'"
            )
        else:
            cursor.execute(
                "SELECT tbl_name FROM sqlite_master WHERE type = 'trigger' AND name = tbl_name || '_no_update'"
            )
        return {table for (table,) in cursor.fetchall()}


@contextmanager
def lifted(connection: BaseDatabaseWrapper, table: str) -> Iterator[None]:
    """Let lines of `table` be changed inside, in the transaction that is open; for forgetting a person alone."""
    with connection.cursor() as cursor:
        for statement in drop_sql(connection.vendor, table):
            cursor.execute(statement)
    yield
    with connection.cursor() as cursor:
        for statement in create_sql(connection.vendor, table):
            cursor.execute(statement)
