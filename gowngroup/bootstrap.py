"""The project's own environment, made on first use; this file needs nothing but Python's own library."""

import hashlib
import importlib.util
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
LOCK = ROOT / "requirements.lock"
STAMP = ENVIRONMENT / "made-from.sha256"

VENV_HELP = """Python cannot make its own environment here, because a part of it is missing. Please install it, then try again:
  Debian, Ubuntu:  sudo apt install python3-venv
  Fedora:          sudo dnf install python3-pip
  macOS:           brew install python
  Windows:         install Python from the Microsoft Store or with: winget install Python.Python.3.13
"""
INSTALL_HELP = """The parts listed in requirements.lock could not be installed (see above).
Please check the connection to the internet and run the same command again; what is there already is kept.
"""


def environment_python() -> Path:
    """The Python inside the project's environment."""
    folder, name = ("Scripts", "python.exe") if os.name == "nt" else ("bin", "python")
    return ENVIRONMENT / folder / name


def is_ready_here() -> bool:
    """Does this very Python have what the app needs: the project's environment, or one somebody made?"""
    if Path(sys.prefix).resolve() == ENVIRONMENT.resolve():
        return _lock_hash() == _stamp()
    return sys.prefix != sys.base_prefix and importlib.util.find_spec("django") is not None


def run_in_environment(arguments: list[str]) -> int:
    """Run `manage.py` with these arguments in the project's environment, making it first if need be."""
    if sys.version_info < (3, 11):  # noqa: UP036 - older Pythons reach this line
        sys.stderr.write("Gowngroup needs Python 3.11 or newer; this is " + sys.version.split()[0] + ".\n")
        return 1
    if _lock_hash() != _stamp() and not _make_environment():
        return 1
    command = [str(environment_python()), str(ROOT / "manage.py"), *arguments]
    if os.name == "posix":
        # In this process's place: whoever stops it, or asks how it ended, means the command itself.
        os.execv(command[0], command)  # noqa: S606 - our own Python
    return subprocess.call(command)  # noqa: S603 - our own Python


def _lock_hash() -> str:
    return hashlib.sha256(LOCK.read_bytes()).hexdigest()


def _stamp() -> str:
    return STAMP.read_text() if STAMP.exists() else ""


def _make_environment() -> bool:
    sys.stderr.write("Setting up Gowngroup's own environment; this takes about a minute, once.\n")
    if not environment_python().exists() and not _ran([_base_python(), "-m", "venv", str(ENVIRONMENT)]):
        sys.stderr.write(VENV_HELP)
        return False
    pip = [str(environment_python()), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    # The lock names every part, so pip need not look for more; Python compiles what is used when it is used.
    if not _ran([*pip, "--no-deps", "--no-compile", "--require-hashes", "-r", str(LOCK)]):
        sys.stderr.write(INSTALL_HELP)
        return False
    STAMP.write_text(_lock_hash())
    return True


def _base_python() -> str:
    return getattr(sys, "_base_executable", sys.executable) or sys.executable


def _ran(command: list[str]) -> bool:
    return subprocess.call(command) == 0  # noqa: S603 - fixed commands
