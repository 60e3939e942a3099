"""The app's own settings as tests need them: the demo's plain http, files as they are, tasks at once."""

import os

os.environ.setdefault("GOWNGROUP_DEMO", "1")
os.environ.setdefault("STATIC_STORAGE", "django.contrib.staticfiles.storage.StaticFilesStorage")
os.environ.setdefault("TASKS_BACKEND", "django_tasks.backends.immediate.ImmediateBackend")
os.environ.setdefault("NESTING_SECONDS", "0")

from gowngroup.settings import *  # noqa: F403 - the environment is set first

STATIC_ROOT = BASE_DIR / "static"  # noqa: F405 - a folder that is there without collectstatic
# What a test has written need not outlive a power cut: no waiting for the disk at each commit.
SQLITE_OPTIONS["init_command"] = str(SQLITE_OPTIONS["init_command"]).replace("=FULL", "=OFF")  # noqa: F405
# Many threads that write at once take turns; on a busy machine the last one waits long.
SQLITE_OPTIONS["timeout"] = 60  # noqa: F405
