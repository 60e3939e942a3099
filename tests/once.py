"""Something that every process of the tests needs is made by one of them and read by the others."""

import time
from collections.abc import Callable
from pathlib import Path


def made_once(file: Path, make: Callable[[Path], None], *, marks: Path) -> Path:
    """Have the first process that asks make the file; those that ask meanwhile wait for it.

    `make` writes to the path it is given. `marks` is a folder of this very run, so that a run that was killed keeps
    no later one waiting.
    """
    is_ours = marks / f"{file.name}.maker"
    while not file.exists():
        try:
            is_ours.touch(exist_ok=False)
        except FileExistsError:
            time.sleep(0.2)
            continue
        try:
            half = marks / f"{file.name}.half"
            make(half)
            half.replace(file)
        except BaseException:
            is_ours.unlink()  # so that the next process does not wait for ever
            raise
    return file
