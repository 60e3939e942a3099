"""The demo's background worker is started again when it is killed, and stays away when it is stopped."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from queue import SimpleQueue

from gowngroup.demo.watching import AGAIN, Watched

SLEEPER = [sys.executable, "-S", "-c", "import time; time.sleep(600)"]
PATIENCE_S = 20.0
Said = SimpleQueue[tuple[str, float]]


@contextmanager
def watched(command: list[str], *, pause_s: float) -> Iterator[tuple[Watched, Said]]:
    """A program that runs and is watched, and what is said of it, with the moment."""
    said: Said = SimpleQueue()
    program = Watched(command, lambda line: said.put((line, time.monotonic())), pause_s=pause_s)
    try:
        yield program, said
    finally:
        program.stop()


def is_running(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def started_anew(program: Watched, after: subprocess.Popen[bytes]) -> subprocess.Popen[bytes]:
    """The process that came after this one."""
    until = time.monotonic() + PATIENCE_S
    while program.process is after and time.monotonic() < until:
        time.sleep(0.01)
    assert program.process is not after
    return program.process


def test_killed_it_is_started_again() -> None:
    """Killed twice, it runs again twice, with a line each time; stopped, it is gone."""
    with watched(SLEEPER, pause_s=0.01) as (program, said):
        for _round in range(2):
            before = program.process
            os.kill(before.pid, signal.SIGKILL)
            assert said.get(timeout=PATIENCE_S)[0] == AGAIN
            assert is_running(started_anew(program, before).pid)
            assert not is_running(before.pid)
        last = program.process
    assert not is_running(last.pid)
    assert not program._start_again()
    assert said.empty()


def test_let_go_it_is_not_started_again() -> None:
    """Ctrl+C ends the program and the demo at once: nothing is started any more, and nothing said."""
    with watched(SLEEPER, pause_s=600) as (program, said):
        program.process.kill()
        program.let_go()
        program._thread.join(PATIENCE_S)
        assert not program._thread.is_alive()
        assert said.empty()


def test_what_cannot_run_keeps_no_processor_busy() -> None:
    """A program that ends at once is started with longer and longer pauses between."""
    with watched([sys.executable, "-S", "-c", ""], pause_s=0.05) as (_program, said):
        moments = [said.get(timeout=PATIENCE_S)[1] for _round in range(3)]
    assert moments[1] - moments[0] >= 0.1
    assert moments[2] - moments[1] >= 0.2
