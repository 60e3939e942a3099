"""Two processes that gather words at the same moment, each standing still where the other could spoil its files.

It runs in a program of its own, which starts the two, since a program of many threads should not be forked.
"""

import io
import json
import multiprocessing
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command

from gowngroup.home.management.commands import words

SENTENCE, SAID = "Smock a sleeve before tea.", "Frunza una manga antes del té."
HEADER = 'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=UTF-8\\n"\n\n'
GATHERED, HALF_WRITTEN = "gathered", "half written"
IN_TURN, AT_ONCE = "in turn", "at once"
LIMIT_S = 120.0


def build_house(folder: Path) -> Path:
    """A house of one page, whose one sentence is said in Spanish."""
    (folder / "templates").mkdir(parents=True)
    (folder / "templates" / "page.html").write_text(f'{{% load i18n %}}{{% translate "{SENTENCE}" %}}')
    spanish = spanish_of(folder)
    spanish.parent.mkdir(parents=True)
    spanish.write_text(f'{HEADER}msgid "{SENTENCE}"\nmsgstr "{SAID}"\n', encoding="utf-8")
    return folder


def spanish_of(house: Path) -> Path:
    """Its Spanish words."""
    return house / "locale" / "es" / "LC_MESSAGES" / "django.po"


def gather(house: Path, stands: str, turns: str, line: Connection) -> None:
    """Gather the words of a house, standing still after the marked ones until told to go on.

    `half written` stands in the moment in which no more than the head of the file of gathered words has been written.
    """
    os.chdir(house)
    settings.LOCALE_PATHS = [house / "locale"]

    class Told(io.StringIO):
        def write(self, text: str) -> int:
            line.send(text)
            return len(text)

    class Standing(words.Command):
        def process_locale_dir(self, locale_dir: str, files: Any) -> None:
            super().process_locale_dir(locale_dir, files)
            gathered = house / "locale" / "django.pot"
            marked = gathered.read_text(encoding="utf-8")
            if stands == HALF_WRITTEN:
                gathered.write_text(marked.partition("\n\n")[0] + "\n", encoding="utf-8")
            line.send(stands)
            line.recv()
            if stands == HALF_WRITTEN:
                gathered.write_text(marked, encoding="utf-8")

        @contextmanager
        def in_turn(self) -> Iterator[None]:
            with super().in_turn() if turns == IN_TURN else nullcontext():
                yield

    call_command(Standing(stdout=Told()))


def gather_twice(house: Path, turns: str) -> dict[str, object]:
    """What the second process said first, and whether both ended well and the sentence is still said."""
    processes = multiprocessing.get_context("fork")

    def begun(stands: str) -> tuple[multiprocessing.process.BaseProcess, Connection]:
        mine, its = processes.Pipe()
        process = processes.Process(target=gather, args=(house, stands, turns, its))
        process.start()
        return process, mine

    one, to_one = begun(GATHERED)
    assert to_one.recv() == GATHERED
    other, to_other = begun(HALF_WRITTEN)
    said = to_other.recv()
    for process, line in ((one, to_one), (other, to_other)):
        line.send("go on")
        process.join(LIMIT_S)
    return {
        "said": said,
        "ended_well": [one.exitcode, other.exitcode] == [0, 0],
        "words": spanish_of(house).read_text(encoding="utf-8"),
    }


def main(folder: Path) -> None:
    """Gather twice in turn and, as a control, at once, and print what came of it."""
    found = {turns: gather_twice(build_house(folder / turns), turns) for turns in (IN_TURN, AT_ONCE)}
    sys.stdout.write(json.dumps(found))
