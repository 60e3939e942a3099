#!/usr/bin/env python3
"""Run Gowngroup's commands: `demo`, `test` and Django's own, each in the project's environment."""

import os
import subprocess
import sys

from gowngroup import bootstrap


def main() -> int:
    """Run one command; the environment is made on first use."""
    if not bootstrap.is_ready_here():
        return bootstrap.run_in_environment(sys.argv[1:])
    command = sys.argv[1] if len(sys.argv) > 1 else "help"
    if command == "test":
        os.chdir(bootstrap.ROOT)
        return _run_tests(sys.argv[2:])
    if command in ("demo", "benchmark"):
        os.environ.setdefault("GOWNGROUP_DEMO", "1")
        os.environ.setdefault("GOWNGROUP_VAR_DIR", str(bootstrap.ROOT / "var" / "demo"))
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "gowngroup.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)
    return 0


def _run_tests(arguments: list[str]) -> int:
    """Run the tests; with `--coverage` in front, say afterwards which lines and branches none of them reached."""
    if arguments[:1] == ["--coverage"]:
        tool, found = [sys.executable, "-m", "slipcover"], str(bootstrap.ROOT / ".coverage")
        # Its own limit makes it forget what the other processes measured: it is asked afterwards, of all of them.
        suite = ["-m", "pytest", "-p", "tests.coverage_at_once", *arguments[1:]]
        tested = [*tool, "--fail-under", "0", "--json", "--out", found, *suite]
        told = [*tool, "--merge", found, "--out", found]
        return subprocess.call(tested) or subprocess.call(told)  # noqa: S603 - our own Python
    import pytest

    return int(pytest.main(arguments or ["-n", "auto"]))


if __name__ == "__main__":
    sys.exit(main())
