"""The cast of the tests, and what every test needs from the database."""

import gc
import os
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

import hypothesis
import pytest
from django.conf import settings
from django.db import connection
from django.test import Client
from django.test.utils import setup_databases, teardown_databases
from pytest_django import DjangoDbBlocker

from gowngroup.people.models import Group, Person
from gowngroup.printing import children, pdf
from gowngroup.records.triggers import create_sql, drop_sql
from tests.factories import GroupFactory, PersonFactory
from tests.migrated import begun_from_copy
from tests.race import database_in_a_file

if TYPE_CHECKING:
    from tests.browser import Chromium
    from tests.demo.built import Rows

os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")  # playwright's loop runs in the test's own thread

gc.set_threshold(
    100_000, 50, 100
)  # the usual looking through memory after 700 new objects is a tenth of all the time

# A busy machine is no fault of the code, and a change of ours is not to fail by what chance finds in another room:
# examples are the same every time. `--hypothesis-profile=wander` looks for others.
USUAL = hypothesis.settings(deadline=None, suppress_health_check=[hypothesis.HealthCheck.too_slow])
hypothesis.settings.register_profile("gowngroup", USUAL, derandomize=True)
hypothesis.settings.register_profile("wander", USUAL)
hypothesis.settings.load_profile("gowngroup")

USUAL_DATABASE = connection.settings_dict["NAME"]
APPEND_ONLY_TABLES = (
    "records_trailline",
    "records_figurechange",
    "stock_ledgerline",
    "deliveries_receiptfile",
    "printing_kitsheetfile",
)


@pytest.hookimpl(tryfirst=True)
def pytest_collection(session: pytest.Session) -> None:
    """Where several processes are to read all tests, each begins at another place, and later finds compiled what others began with."""
    is_everything = session.config.args == session.config.getini("testpaths")
    if "PYTEST_XDIST_WORKER" not in os.environ or not is_everything or session.config.getoption("ignore"):
        return
    number, count = (int(os.environ[f"PYTEST_XDIST_WORKER{end}"].lstrip("gw")) for end in ("", "_COUNT"))
    here = Path(__file__).parent
    files = sorted(here.rglob("test_*.py"))
    first = len(files) * number // count
    with suppress(Exception):  # collection meets it again and tells it better
        for file in [*files[first:], *files[:first]]:
            import_module(".".join(file.relative_to(here.parent).with_suffix("").parts))


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Begin with what takes longest and end with what reads the demo, while somebody builds it; ask PostgreSQL only what asks a database."""
    if connection.vendor == "postgresql":
        config.hook.pytest_deselected(items=[item for item in items if not _asks_the_database(item)])
        items[:] = [item for item in items if _asks_the_database(item)]
    items.sort(key=_turn)


def _turn(item: pytest.Item) -> tuple[bool, bool]:
    """What is slow comes before all else, and whoever builds the demo before all; its readers come last, so that none waits for it."""
    is_slow = item.get_closest_marker("slow") is not None
    reads_demo = "built_demo" in getattr(item, "fixturenames", ())
    return not is_slow, reads_demo is not is_slow


def _asks_the_database(item: pytest.Item) -> bool:
    fixtures = {"db", "transactional_db", "_own_database"} & {*getattr(item, "fixturenames", ())}
    return bool(fixtures) or item.get_closest_marker("django_db") is not None


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    django_db_modify_db_settings_parallel_suffix: None,
    django_db_blocker: DjangoDbBlocker,
    pytestconfig: pytest.Config,
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[None]:
    """Begin with a copy of a migrated database."""
    kept = Path(pytestconfig.cache.mkdir("migrated"))
    with django_db_blocker.unblock(), begun_from_copy(kept, marks=_folder_of_this_run(tmp_path_factory)):
        yield


def _folder_of_this_run(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that the processes of one run share, and no other run."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


@pytest.fixture(autouse=True, scope="session")
def _flush_past_triggers() -> Iterator[None]:
    """Let the test database be emptied between transactional tests although ledger and trail refuse DELETE."""
    flush = connection.ops.execute_sql_flush

    def without_triggers(sql_list: list[str]) -> None:
        with connection.cursor() as cursor:
            for statement in (s for table in APPEND_ONLY_TABLES for s in drop_sql(connection.vendor, table)):
                cursor.execute(statement)
        flush(sql_list)
        with connection.cursor() as cursor:
            for statement in (
                s for table in APPEND_ONLY_TABLES for s in create_sql(connection.vendor, table)
            ):
                cursor.execute(statement)

    # For the whole session: a single test's patch would be gone before that test's database is emptied.
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(type(connection.ops), "execute_sql_flush", lambda _ops, sql: without_triggers(sql))
        yield


@pytest.fixture(autouse=True, scope="session")
def _places_of_our_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Let each process of the tests make PDFs as if it were alone on the machine, however busy that is."""
    settings.PLACES_DIR = tmp_path_factory.mktemp("places")
    with pytest.MonkeyPatch.context() as patch:
        for module, name in ((pdf, "LIMIT_S"), (pdf, "WAIT_S"), (children, "START_LIMIT_S")):
            patch.setattr(module, name, 300.0)
        yield


@pytest.fixture(scope="session")
def chromium() -> Iterator["Chromium"]:
    """A browser for all tests of this process; each visit has a window of its own."""
    from tests.browser import chromium_thread  # noqa: PLC0415 - a second, spared where no browser is wanted

    with chromium_thread() as chromium:
        yield chromium


@pytest.fixture
def at() -> datetime:
    """The moment at which the tests' actions happen."""
    return datetime(2026, 3, 10, 9, 30, tzinfo=UTC)


@pytest.fixture
def group(db: None) -> Group:
    return GroupFactory()


@pytest.fixture
def coordinator(group: Group) -> Person:
    return PersonFactory(name="Coordinator", roles=["coordinator"])


@pytest.fixture
def packer(group: Group) -> Person:
    return PersonFactory(name="Packer", roles=["packer"])


@pytest.fixture
def inspector(group: Group) -> Person:
    return PersonFactory(name="Inspector", roles=["inspector"])


@pytest.fixture
def driver(group: Group) -> Person:
    return PersonFactory(name="Driver", roles=["driver"])


@pytest.fixture
def volunteer(group: Group) -> Person:
    return PersonFactory(name="Volunteer", roles=["volunteer"])


@pytest.fixture
def colleague(group: Group) -> Person:
    """A second volunteer."""
    return PersonFactory(name="Colleague", roles=["volunteer"])


@pytest.fixture
def sign_in() -> Callable[[Person], Client]:
    """A browser signed in as a person."""

    def client_of(person: Person) -> Client:
        client = Client()
        client.force_login(person)
        return client

    return client_of


@pytest.fixture
def race_database(transactional_db: None, tmp_path: Path) -> Iterator[None]:
    """A database that many threads really share."""
    with database_in_a_file(tmp_path / "race.sqlite3"):
        yield


@pytest.fixture(scope="session")
def _own_database(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """A database of the tests' own, which otherwise is made only where a test that runs is marked to want one."""
    if connection.settings_dict["NAME"] != USUAL_DATABASE:
        yield
        return
    with django_db_blocker.unblock():
        made = setup_databases(verbosity=0, interactive=False, aliases={"default": False})
    yield
    with django_db_blocker.unblock():
        teardown_databases(made, verbosity=0)


@pytest.fixture(scope="session")
def built_demo(
    _own_database: None, django_db_blocker: DjangoDbBlocker, tmp_path_factory: pytest.TempPathFactory
) -> "Rows":
    """The demo's rows, built by one process and read by the others."""
    from tests.demo.built import shared_demo_rows  # noqa: PLC0415 - most of the app, which who only hands out tests is spared

    with django_db_blocker.unblock():
        return shared_demo_rows(_folder_of_this_run(tmp_path_factory))


@pytest.fixture(scope="module")
def laid_out_demo(built_demo: "Rows", django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """The demo's rows in the test database, for this module only; each test undoes what it changes."""
    from tests.demo.built import lay_out, rolled_back  # noqa: PLC0415 - as above

    with django_db_blocker.unblock(), rolled_back():
        lay_out(built_demo)
        yield
