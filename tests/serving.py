"""The app as a group runs it: a process of its own on a real port, and people signed in who ask it over the network."""

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from http.cookies import SimpleCookie
from pathlib import Path
from typing import NamedTuple
from urllib.parse import urlencode

from django.conf import settings
from django.db import connection
from django.test import Client

from gowngroup.people.models import Person

PATIENCE_S = 60
START_PATIENCE_S = 300  # gathering files at the first start, on a busy machine
CSRF = "a" * 32
SERVE = "from gowngroup.home.serving import serve; serve(host='127.0.0.1', port={port})"
PLAIN_FILES = "django.contrib.staticfiles.storage.StaticFilesStorage"


class Answer(NamedTuple):
    """What the server answered, and where it leads."""

    status: int
    location: str
    text: str
    seconds: float


class Visitor:
    """Somebody signed in, with one line to the server that is kept open."""

    def __init__(self, port: int, person: Person) -> None:
        client = Client()
        client.force_login(person)
        cookies = SimpleCookie({settings.CSRF_COOKIE_NAME: CSRF})
        cookies.load({name: each.value for name, each in client.cookies.items()})
        self._headers = {
            "Cookie": "; ".join(f"{name}={each.value}" for name, each in cookies.items()),
            "X-CSRFToken": CSRF,
        }
        self.line = HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)

    def get(self, address: str) -> Answer:
        """Look at a page."""
        return self._ask("GET", address)

    def post(self, address: str, **fields: object) -> Answer:
        """Send a form."""
        return self._ask("POST", address, urlencode(fields))

    def _ask(self, verb: str, address: str, body: str | None = None) -> Answer:
        kind = {"Content-Type": "application/x-www-form-urlencoded"} if body is not None else {}
        begun = time.monotonic()
        self.line.request(verb, address, body, {**self._headers, **kind})
        got = self.line.getresponse()
        text = got.read().decode()
        return Answer(got.status, got.headers.get("Location", ""), text, time.monotonic() - begun)


class Server:
    """The app in a process of its own, on the database of the test."""

    def __init__(self, folder: Path, *, code: str = SERVE, command: str = "") -> None:
        """`code` is run as it is; `command` of manage.py instead of it, with files as in use."""
        self._code, self._command = code, command
        self._environment = {
            **{name: value for name, value in os.environ.items() if name != "STATIC_STORAGE"},
            "DJANGO_SETTINGS_MODULE": "gowngroup.settings",
            "GOWNGROUP_DEMO": "1",
            "GOWNGROUP_VAR_DIR": str(folder),
            "DATABASE_URL": _database_url(),
            **({} if command else {"STATIC_STORAGE": PLAIN_FILES}),
        }
        (folder / "staticfiles").mkdir(exist_ok=True)
        self.port = 0
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> float:
        """Start, and wait until it answers; gives the seconds that took."""
        begun = time.monotonic()
        while True:
            self.port = _free_port()
            self._process = subprocess.Popen(  # noqa: S603 - our own server
                self._words(), cwd=settings.BASE_DIR, env=self._environment
            )
            if self._is_ready():
                return time.monotonic() - begun

    def _words(self) -> list[str]:
        if self._command:
            return [sys.executable, "manage.py", self._command, "--port", str(self.port)]
        return [sys.executable, "-c", self._code.format(port=self.port)]

    def _is_ready(self) -> bool:
        """Does it answer? False where it ended by itself, as it does if somebody took the port meanwhile."""
        assert self._process is not None
        give_up_at = time.monotonic() + START_PATIENCE_S
        while self._process.poll() is None:
            line = HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
            try:
                line.request("GET", "/healthz")
                if line.getresponse().status == 200:
                    return True
            except OSError:
                time.sleep(0.02)
            finally:
                line.close()
            assert time.monotonic() < give_up_at, "the server does not answer"
        assert self._process.returncode == 1, f"the server ended with {self._process.returncode}"
        return False

    def processor_s(self) -> float:
        """The processor's seconds it has used since it was started, which a busy machine does not lengthen."""
        assert self._process is not None
        told = Path(f"/proc/{self._process.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return (int(told[11]) + int(told[12])) / os.sysconf("SC_CLK_TCK")

    def kill(self) -> None:
        """End it as a power cut would, without a word to it."""
        assert self._process is not None
        self._process.send_signal(signal.SIGKILL)
        self._process.wait()


@contextmanager
def killed_at_last(server: Server) -> Iterator[Server]:
    """A server that is gone afterwards, whatever happens."""
    try:
        yield server
    finally:
        server.kill()


def _free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return int(found.getsockname()[1])


def _database_url() -> str:
    about = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{about['NAME']}"
    return f"postgresql://{about['USER']}@{about['HOST']}:{about['PORT']}/{about['NAME']}"
