#!/usr/bin/env python3
"""Run Gowngroup's commands: `demo`, `test` and Django's own, each in the project's environment."""

import os
import sys

from gowngroup import bootstrap


def main() -> int:
    """Run one command; the environment is made on first use."""
    if not bootstrap.is_ready_here():
        return bootstrap.run_in_environment(sys.argv[1:])
    command = sys.argv[1] if len(sys.argv) > 1 else "help"
    if command == "test":
        import pytest

        os.chdir(bootstrap.ROOT)
        return int(pytest.main(sys.argv[2:] or ["-n", "auto"]))
    if command in ("demo", "benchmark"):
        os.environ.setdefault("GOWNGROUP_DEMO", "1")
        os.environ.setdefault("GOWNGROUP_VAR_DIR", str(bootstrap.ROOT / "var" / "demo"))
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "gowngroup.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)
    return 0


if __name__ == "__main__":
    sys.exit(main())
