"""The application server behind a proxy that speaks https, and without one."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from threading import Thread
from typing import Any

import pytest
import waitress
from django.core.handlers.wsgi import WSGIRequest
from django.test import override_settings

from gowngroup.home.serving import proxy_options

HEADER = ("HTTP_X_FORWARDED_PROTO", "https")


def says_whether_secure(environ: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
    """An app that answers what Django makes of a request."""
    start("200 OK", [("Content-Type", "text/plain")])
    return [str(WSGIRequest(environ).is_secure()).encode()]


@contextmanager
def served() -> Iterator[int]:
    """The port of a real server, asked one thing at a time."""
    server = waitress.create_server(
        says_whether_secure, host="127.0.0.1", port=0, threads=1, **proxy_options()
    )
    thread = Thread(target=server.run)
    thread.start()
    try:
        yield server.effective_port
    finally:
        server.trigger.pull_trigger(
            server.close
        )  # by the thread that serves, between two looks at its sockets
        thread.join(10)
        server.task_dispatcher.shutdown()


@pytest.mark.parametrize(
    ("has_proxy", "sent", "is_secure"),
    [(True, "https", "True"), (True, "http", "False"), (False, "https", "False")],
)
def test_only_a_proxy_is_believed(*, has_proxy: bool, sent: str, is_secure: str) -> None:
    """What came to the proxy by https is known as such, so that no page leads round in circles; else nobody is believed."""
    with override_settings(SECURE_PROXY_SSL_HEADER=HEADER if has_proxy else None), served() as port:
        line = HTTPConnection("127.0.0.1", port, timeout=10)
        line.request("GET", "/", headers={"X-Forwarded-Proto": sent, "Connection": "close"})
        assert line.getresponse().read().decode() == is_secure
        line.close()
