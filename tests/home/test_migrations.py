"""Every migration can be taken back and applied again, and the books add up afterwards."""

from collections.abc import Iterable

import pytest
from django.core.management import call_command
from django.db import DataError, connection, migrations, transaction
from django.db.migrations import Migration
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader

from gowngroup.home.audit import violations
from gowngroup.records.triggers import append_only, append_only_tables
from tests.demo.built import Rows, lay_out, tables

on_a_database_of_its_own = [
    pytest.mark.matrix,
    pytest.mark.slow,
    pytest.mark.django_db(transaction=True),
    pytest.mark.usefixtures("race_database"),
]
# With its column a kit's number in its plan is gone, which the audit then says of each kit.
LOSING_NUMBERS = (
    "batches.0003_number_kits_as_in_their_plan",
    "batches.0002_remember_when_a_kit_was_offered",
)
# Kinds of trims with longer names than its columns hold lie on the shelf since: PostgreSQL refuses to go back beyond it.
FIRST_TOO_NARROW = "batches.0007_set_in_entredeux_insertion_and_beading"


def without_way_back(found: Iterable[Migration]) -> list[str]:
    """The migrations with an operation that cannot be taken back."""
    return [str(each) for each in found if not all(operation.reversible for operation in each.operations)]


def our_migrations() -> list[Migration]:
    """Those of the rooms, each after what it builds on."""
    graph = MigrationLoader(None).graph
    order = dict.fromkeys(key for leaf in graph.leaf_nodes() for key in graph.forwards_plan(leaf))
    found = [graph.nodes[key] for key in order]
    return [each for each in found if each.__module__.startswith("gowngroup.")]


def test_every_migration_has_a_way_back() -> None:
    """No operation of any room's migrations is one that Django cannot undo; as a control, one is seen."""
    ours = our_migrations()
    assert len(ours) > 40
    assert without_way_back(ours) == []

    class OneWay(Migration):
        operations = [append_only("table"), migrations.RunPython(migrations.RunPython.noop)]

    one_way = OneWay("one_way", "records")
    assert without_way_back([one_way]) == ["records.one_way"]


def shape() -> dict[str, object]:
    """Tables, columns, constraints and triggers."""
    with connection.cursor() as cursor:
        names = connection.introspection.table_names(cursor)
        columns = {name: connection.introspection.get_table_description(cursor, name) for name in names}
        constraints = {name: connection.introspection.get_constraints(cursor, name) for name in names}
    return {"columns": columns, "constraints": constraints, "triggers": append_only_tables(connection)}


def migrate(target: Migration | None) -> None:
    """Go back to just before a migration, or on to the newest of all."""
    if target is None:
        call_command("migrate", verbosity=0)
        return
    executor = MigrationExecutor(connection)
    key = (target.app_label, target.name)
    before = [parent.key for parent in executor.loader.graph.node_map[key].parents]
    own = [parent for parent in before if parent[0] == target.app_label]
    executor.migrate([own[0] if own else (target.app_label, None)])


class TestOnADatabase:
    """With tables that are really changed."""

    pytestmark = on_a_database_of_its_own

    def test_all_down_and_up(self) -> None:
        """Down to nothing nothing of ours is left; up again every table, column, constraint and trigger is as before."""
        before = shape()
        for each in our_migrations():
            if each.initial:
                migrate(each)
        assert not {model._meta.db_table for model in tables()} & {*connection.introspection.table_names()}
        migrate(None)
        assert shape() == before

    def test_each_down_and_up_with_a_group_at_work(self, built_demo: Rows) -> None:
        """Each by itself, with all that builds on it, on the demo's rows: nothing breaks, and the audit is clean but where rows lost what it needs.

        Where rows do not fit the older tables, PostgreSQL refuses the step whole, and nothing is lost.
        """
        with transaction.atomic():
            lay_out(built_demo)
        assert violations() == []
        newest_first = [each for each in reversed(our_migrations()) if not each.initial]
        refused = []
        for each in sorted(newest_first, key=lambda each: str(each) in LOSING_NUMBERS):
            try:
                migrate(each)
            except DataError:
                refused.append(str(each))
            migrate(None)
            assert str(each) in LOSING_NUMBERS or violations() == [], each
        assert (FIRST_TOO_NARROW in refused) is (connection.vendor == "postgresql")
        assert not refused or connection.vendor == "postgresql"
        assert all("plan and books differ" in each.sentence for each in violations())
