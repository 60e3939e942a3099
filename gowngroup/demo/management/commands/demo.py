"""Bring up the app with the invented scenario, its background worker and a real application server."""

import os
import signal
import socket
import sys
from argparse import ArgumentParser
from pathlib import Path
from types import FrameType

from django.conf import settings
from django.core.management import BaseCommand, CommandError, call_command

from gowngroup.demo.watching import Watched
from gowngroup.home.serving import make_ready, serve

FIRST_PORT, LAST_PORT = 8000, 8019


class Command(BaseCommand):
    help = "Show the app with an invented sewing circle; stop it with Ctrl+C."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=int, help="port to listen on (default: the first free from 8000)")

    def handle(self, *, port: int | None, **options: object) -> None:
        if not settings.IS_DEMO:
            raise CommandError("The demo runs only as: python3 manage.py demo")
        chosen = port or first_free_port()
        # Letters and squares lead here, also those the worker writes.
        settings.SITE_ADDRESS = os.environ.setdefault("SITE_ADDRESS", f"http://127.0.0.1:{chosen}")
        Path(settings.VAR_DIR).mkdir(parents=True, exist_ok=True)
        make_ready()
        call_command("seed_demo")
        self.stdout.write(
            f"\nGowngroup is ready. Open this address in a browser:\n\n    http://127.0.0.1:{chosen}/\n"
        )
        self.stdout.write("Stop it with Ctrl+C.\n")
        self.stdout.flush()
        worker = Watched([sys.executable, sys.argv[0], "db_worker"], self._say)

        def end(_number: int, _frame: FrameType | None) -> None:
            worker.let_go()
            sys.exit(0)

        # Stopped by another program instead of Ctrl+C, the worker is taken along all the same.
        for each in (signal.SIGINT, signal.SIGTERM):
            signal.signal(each, end)
        try:
            serve(host="127.0.0.1", port=chosen)
        finally:
            worker.stop()

    def _say(self, line: str) -> None:
        self.stdout.write(line)
        self.stdout.flush()


def first_free_port() -> int:
    """The first port from 8000 that nothing listens on."""
    for port in range(FIRST_PORT, LAST_PORT + 1):
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)):
                return port
    raise CommandError(f"Ports {FIRST_PORT} to {LAST_PORT} are all in use; name a free one with --port.")
