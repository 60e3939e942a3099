"""Two places at the printer for all processes of this machine: locked files, which the system frees when a holder dies."""

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import IO

from django.conf import settings
from django.utils.translation import gettext as _

from gowngroup.records.errors import NotNow

AT_ONCE = 2
LOOK_AGAIN_S = 0.02
TRY_AGAIN_S = 10

if sys.platform == "win32":
    import msvcrt

    def _lock(file: IO[bytes]) -> None:
        file.seek(0)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _lock(file: IO[bytes]) -> None:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


class PrinterBusy(NotNow):
    """As many PDFs as may be made at once are being made."""

    def __init__(self) -> None:
        message = _("Several sheets are being made just now. Please try again in a moment.")
        super().__init__(message, retry_after_s=TRY_AGAIN_S)


@contextmanager
def place(*, wait_s: float) -> Iterator[None]:
    """One of the places; raises PrinterBusy where none gets free in time.

    Only one waits for a place at a time, the others wait for that one's turn: so a long print, which asks for a place
    again after each sheet, lets everybody else in between.
    """
    until = time.monotonic() + wait_s
    turn = _first_free(("turn",), until)
    try:
        taken = _first_free(tuple(f"place-{number}" for number in range(1, AT_ONCE + 1)), until)
    finally:
        turn.close()
    try:
        yield
    finally:
        taken.close()


def _first_free(names: tuple[str, ...], until: float) -> IO[bytes]:
    while True:
        for name in names:
            held = _held(name)
            if held is not None:
                return held
        if time.monotonic() >= until:
            raise PrinterBusy
        time.sleep(LOOK_AGAIN_S)


def _held(name: str) -> IO[bytes] | None:
    """The locked file; None while somebody else holds it."""
    settings.PLACES_DIR.mkdir(parents=True, exist_ok=True)
    file = (settings.PLACES_DIR / name).open("ab")
    try:
        _lock(file)
    except OSError:
        file.close()
        return None
    return file
