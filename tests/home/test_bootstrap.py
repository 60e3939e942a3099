"""Commands of a system's own Python run in the project's environment, in their own place."""

import hashlib
import subprocess
import sys

import pytest

from gowngroup.bootstrap import LOCK, ROOT, STAMP

IS_MADE = STAMP.exists() and STAMP.read_text() == hashlib.sha256(LOCK.read_bytes()).hexdigest()
WAIT = "import os, sys, time; print(os.getpid(), flush=True); time.sleep(30)"


@pytest.mark.skipif(sys.platform == "win32", reason="of systems on which one program takes another's place")
@pytest.mark.skipif(not IS_MADE, reason="the project's environment is elsewhere, or not made yet")
def test_who_stops_the_command_stops_the_app() -> None:
    """A server begun by the system's Python is the very process that was begun, so that stopping it leaves nothing behind."""
    python = getattr(sys, "_base_executable", sys.executable)
    command = [python, str(ROOT / "manage.py"), "shell", "--no-imports", "-c", WAIT]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as begun:  # noqa: S603 - our own command
        assert begun.stdout is not None
        said = begun.stdout.readline()
        begun.kill()
    assert int(said) == begun.pid
