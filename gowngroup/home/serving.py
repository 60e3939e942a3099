"""The application server: the same in the demo and in use."""

from hashlib import sha256
from pathlib import Path
from typing import Any

import waitress
from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command
from django.core.wsgi import get_wsgi_application
from django.db import connection
from django.db.migrations.executor import MigrationExecutor


def serve(*, host: str, port: int, thread_count: int = 8) -> None:
    """Serve the app until stopped; static files come from it too."""
    # Made only now: it looks once which static files there are, and they have just been collected.
    app = get_wsgi_application()
    waitress.serve(app, host=host, port=port, threads=thread_count, ident=None, **proxy_options())


def proxy_options() -> dict[str, Any]:
    """Whom the server believes that a page was asked for by https: the proxy where there is one, else nobody.

    By itself the server drops that header, whoever sends it; each page would then lead to its https address for ever.
    """
    if settings.SECURE_PROXY_SSL_HEADER is None:
        return {}
    return {"trusted_proxy": "*", "trusted_proxy_headers": {"x-forwarded-proto"}}


def make_ready() -> None:
    """Bring tables and static files up to this version, each only where it is behind, so that a server that was killed is soon back."""
    if is_database_behind():
        call_command("migrate", verbosity=0)
    gather_files()


def is_database_behind() -> bool:
    """Does a table wait for a migration?"""
    executor = MigrationExecutor(connection)
    return bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))


def gather_files() -> None:
    """Gather the static files where any of them is another than when they were gathered last."""
    root = Path(settings.STATIC_ROOT)
    note, wanted = root.with_name(f"{root.name}.sum"), _sum_of_files()
    if root.is_dir() and note.exists() and note.read_text() == wanted:
        return
    note.unlink(missing_ok=True)  # so that nothing gathered by halves passes for whole
    call_command("collectstatic", interactive=False, verbosity=0)
    note.write_text(wanted)


def _sum_of_files() -> str:
    found = sha256(repr(settings.STORAGES["staticfiles"]).encode())
    for finder in get_finders():
        for path, storage in finder.list(None):
            found.update(f"{getattr(storage, 'prefix', '')}/{path}".encode())
            with storage.open(path) as file:
                found.update(sha256(file.read()).digest())
    return found.hexdigest()
