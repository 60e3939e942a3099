"""Gather every word marked for translation, keep what has been translated, and compile it."""

import json
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.files import locks
from django.core.management.commands import makemessages

from gowngroup.home.known_words import known_words

# Our own words are found through LOCALE_PATHS, not by looking for folders.
LEFT_OUT = (".*", "var", "tests", "manage.py", "locale", "gowngroup/locale")
CHANGES_EACH_TIME = '"POT-Creation-Date:'
LOCK = "words.lock"


class Command(makemessages.Command):
    """`python3 manage.py words`, run in the project's folder; needs the tools of GNU gettext."""

    help = __doc__ or ""
    # A new sentence starts empty: a guess from one that resembles it would only look translated.
    msgmerge_options = [*makemessages.Command.msgmerge_options, "--no-fuzzy-matching"]

    def handle(self, *args: Any, **options: Any) -> None:
        """Gather, merge and compile the words of every language but English, one process after another."""
        with self.in_turn():
            self.gather(*args, **options)

    @contextmanager
    def in_turn(self) -> Iterator[None]:
        """Wait until no other process gathers: two at once empty each other's files and lose translations."""
        with (Path(settings.LOCALE_PATHS[0]) / LOCK).open("w") as lock:
            if not locks.lock(lock, locks.LOCK_EX | locks.LOCK_NB):
                self.stdout.write("Words are being gathered by somebody else; waiting for that to end …")
                self.stdout.flush()
                locks.lock(lock, locks.LOCK_EX)
            yield

    def gather(self, *args: Any, **options: Any) -> None:
        """Do the work itself."""
        languages = [code for code, _name in settings.LANGUAGES if code != settings.LANGUAGE_CODE]
        chosen = {"locale": languages, "ignore_patterns": list(LEFT_OUT), "add_location": "file"}
        super().handle(*args, **{**options, **chosen, "no_wrap": True, "no_obsolete": True, "verbosity": 0})
        for language in languages:
            compile_words(Path(settings.LOCALE_PATHS[0]) / language / "LC_MESSAGES" / "django.po")

    def process_files(self, file_list: Any) -> None:
        """Gather what is marked in the files, and the words that stand in data."""
        super().process_files(file_list)
        gathered = Path(settings.LOCALE_PATHS[0]) / "django.pot"
        marked = gathered.read_text(encoding="utf-8")
        entries = {words: _entry(where, words) for where, words in sorted(set(known_words()))}
        fresh = [
            entry for words, entry in entries.items() if words and f"\nmsgid {_quoted(words)}\n" not in marked
        ]
        gathered.write_text(marked + "".join(fresh), encoding="utf-8")

    def write_po_file(self, potfile: str, locale: str) -> None:
        """Merge what was gathered, without the moment it was gathered in."""
        super().write_po_file(potfile, locale)
        words = Path(potfile).parent / locale / "LC_MESSAGES" / "django.po"
        lines = words.read_text(encoding="utf-8").splitlines(keepends=True)
        kept = [line for line in lines if not line.startswith(CHANGES_EACH_TIME)]
        words.write_text("".join(kept), encoding="utf-8", newline="\n")


def _entry(where: str, words: str) -> str:
    return f'\n#: gowngroup/{where}\nmsgid {_quoted(words)}\nmsgstr ""\n'


def _quoted(words: str) -> str:
    return json.dumps(words, ensure_ascii=False)


def compile_words(words: Path) -> None:
    """Write the compiled words beside the words, or say which of them have a mistake."""
    tool = ["msgfmt", "--check-format", "--output-file", str(words.with_suffix(".mo")), str(words)]
    subprocess.run(tool, check=True)  # noqa: S603 - fixed words and our own files
