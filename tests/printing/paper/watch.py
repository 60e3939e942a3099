"""What is opened and asked for while sheets are made, as Python itself reports it (PEP 578)."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from gowngroup.printing import engine, own_files
from tests.printing.paper.here import PrintedHere

SECRET_FILES = ("/etc/passwd", "/etc/hosts")
_events: list[str] = []
_is_listening = False


def _listen(event: str, args: tuple[object, ...]) -> None:
    if not _is_listening:
        return
    if event == "open" and str(args[0]) in SECRET_FILES:
        _events.append(f"read {args[0]}")
    elif event in ("socket.connect", "socket.getaddrinfo", "urllib.Request"):
        _events.append(event)


sys.addaudithook(_listen)


@contextmanager
def listening() -> Iterator[list[str]]:
    """The secrets read and the connections tried meanwhile."""
    global _is_listening  # noqa: PLW0603 - an audit hook cannot be taken away, only told to sleep
    _events.clear()
    _is_listening = True
    try:
        yield _events
    finally:
        _is_listening = False


@contextmanager
def watched(patch: pytest.MonkeyPatch, *, is_fresh: bool = False) -> Iterator[PrintedHere]:
    """The engine in this process; afterwards it must have asked for our own static files and for nothing else.

    Style sheets that an earlier test has read are asked for again only where it is to begin afresh.
    """
    addresses: list[str] = []
    serve = own_files.own_file

    def listed(url: str) -> tuple[bytes, str]:
        addresses.append(url)
        return serve(url)

    patch.setattr("gowngroup.printing.engine.own_file", listed)
    if is_fresh:
        engine._style_sheet.cache_clear()
    with listening() as events:
        yield PrintedHere(patch)
    assert events == []
    assert addresses or not is_fresh
    assert all(url.startswith(f"{own_files.BASE_URL}static/") for url in addresses)
