"""Guarded child processes that make PDFs: kept warm, one sheet at a time each, killed where a sheet takes too long."""

import atexit
import json
import logging
import os
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import IO, Any, cast

from django.conf import settings

CHILD = (sys.executable, "-m", "gowngroup.printing.render_child")
KEPT_WARM = 2
START_LIMIT_S = 60.0  # loading takes a second, on a busy machine several
MOST_SHEETS = 200  # then it is replaced by a fresh one, whatever memory it has gathered


class ChildGone(Exception):
    """The child broke down, or was ended by somebody, before it answered."""


class TooLong(Exception):
    """The child was stopped because its time was up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a child says to a sheet: how it went, the PDF, what it cost, why not."""

    state: str
    content: bytes = b""
    error: str = ""
    cpu_s: float = 0.0
    peak_bytes: int = 0


class Child:
    """One child process."""

    def __init__(self) -> None:
        self.sheet_count, self._is_ready = 0, False
        # A child that is killed cannot clear up after itself: what the engine puts by lies where we can.
        self._scratch = tempfile.mkdtemp(prefix="gowngroup-sheets-")
        self._process = subprocess.Popen(  # noqa: S603 - our own interpreter and our own module
            CHILD,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            cwd=settings.BASE_DIR,
            env=os.environ | dict.fromkeys(("TMPDIR", "TEMP", "TMP"), self._scratch),
        )
        self._questions = cast("IO[bytes]", self._process.stdin)
        self._answers = cast("IO[bytes]", self._process.stdout)

    @property
    def pid(self) -> int:
        return self._process.pid

    def is_alive(self) -> bool:
        return self._process.poll() is None

    def answer(self, html: str, variant: str, *, limit_s: float) -> Answer:
        """What it makes of a sheet, the time counted once it is ready. Raises TooLong, having killed it, or ChildGone."""
        if not self._is_ready:
            with self._within(START_LIMIT_S):
                self._read()
            self._is_ready = True
        with self._within(limit_s):
            self._ask(html, variant)
            return self._read()

    @contextmanager
    def _within(self, limit_s: float) -> Iterator[None]:
        """Kill the child when the time is up."""
        is_late = threading.Event()
        watch = threading.Timer(limit_s, self._stop_late, (is_late,))
        watch.daemon = True
        watch.start()
        try:
            yield
        except (OSError, ValueError, EOFError) as error:
            self.close()
            raise (TooLong if is_late.is_set() else ChildGone)(str(error)) from error
        finally:
            watch.cancel()

    def _stop_late(self, is_late: threading.Event) -> None:
        is_late.set()
        self._process.kill()

    def _ask(self, html: str, variant: str) -> None:
        self.sheet_count += 1
        content = html.encode()
        question = json.dumps({"size": len(content), "variant": variant})
        self._questions.write(question.encode() + b"\n" + content)
        self._questions.flush()

    def _read(self) -> Answer:
        line = self._answers.readline()
        said: dict[str, Any] = json.loads(line)  # an end too early is no JSON: a ValueError
        size = said.pop("size")
        content = self._answers.read(size)
        if len(content) < size:
            raise EOFError
        for name, level, text in said.pop("said"):
            logging.getLogger(name).log(level, "%s", text)
        return Answer(content=content, **said)

    def close(self) -> None:
        """End it for good."""
        self._process.kill()
        for pipe in (self._questions, self._answers):
            with suppress(OSError):  # what was still to be sent goes nowhere
                pipe.close()
        self._process.wait()
        shutil.rmtree(self._scratch, ignore_errors=True)


_idle: list[Child] = []
_lock = threading.Lock()


def answer(html: str, variant: str, *, limit_s: float) -> Answer:
    """What a warm child makes of a sheet; once more with a fresh one where it breaks down."""
    with suppress(ChildGone), _warm() as child:
        return child.answer(html, variant, limit_s=limit_s)
    with _fresh() as child:
        return child.answer(html, variant, limit_s=limit_s)


def warm_up() -> None:
    """Start a child, unless there is one, so that it is ready by the time a sheet is asked for; does not wait."""
    with _warm():
        pass


@contextmanager
def _warm() -> Iterator[Child]:
    with _lock:
        child = _idle.pop() if _idle else None
    if child and child.is_alive():
        yield from _lent(child)
    else:
        if child:
            child.close()
        yield from _lent(Child())


@contextmanager
def _fresh() -> Iterator[Child]:
    yield from _lent(Child())


def _lent(child: Child) -> Iterator[Child]:
    try:
        yield child
    finally:
        with _lock:
            is_kept = child.is_alive() and child.sheet_count < MOST_SHEETS and len(_idle) < KEPT_WARM
            if is_kept:
                _idle.append(child)
        if not is_kept:
            child.close()


def stop_all() -> None:
    """End the children nobody is using."""
    with _lock:
        children, _idle[:] = _idle[:], []
    for child in children:
        child.close()


def _forget() -> None:
    """In a forked copy of the server: the children are the other one's."""
    _idle.clear()


atexit.register(stop_all)
if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_forget)
