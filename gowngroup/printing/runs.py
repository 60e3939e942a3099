"""What the worker does to print many kit sheets: makes those not kept yet, two at a time, and notes how far it is."""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from contextlib import closing
from datetime import datetime
from itertools import islice

from gowngroup.batches.models import Kit
from gowngroup.people.models import Person
from gowngroup.printing import actions
from gowngroup.printing.children import Answer
from gowngroup.printing.models import KitSheetFile
from gowngroup.printing.pdf import NoPdfLibrary, pdf_in_its_turn
from gowngroup.printing.places import AT_ONCE
from gowngroup.printing.queries import kept_sheet
from gowngroup.printing.sheets import WrittenSheet, written_sheet
from gowngroup.records.errors import NotNow
from gowngroup.records.models import Job

BEAT_S = 5.0
AHEAD = 2 * AT_ONCE  # sheets written while others are made, so that no child waits

Made = tuple[WrittenSheet, Answer | None]


class PrintStopped(Exception):
    """Somebody cancelled the print, or another worker has taken it up."""


def made_two_at_a_time(sheets: Iterator[WrittenSheet]) -> Iterator[Made | None]:
    """Each sheet as soon as it is made, without an answer where it could not be; None while nothing gets ready.

    The threads only wait for the children that make PDFs: sheets are written, and the database asked, by the thread
    that asks for the next one.
    """
    making: dict[Future[Answer], WrittenSheet] = {}
    with ThreadPoolExecutor(max_workers=AT_ONCE) as pool:
        try:
            while True:
                for sheet in islice(sheets, AHEAD - len(making)):
                    making[pool.submit(pdf_in_its_turn, sheet.html)] = sheet
                if not making:
                    return
                done, _others = wait(making, timeout=BEAT_S, return_when=FIRST_COMPLETED)
                if not done:
                    yield None
                for each in done:
                    yield making.pop(each), _answer_of(each)
        finally:
            pool.shutdown(wait=False, cancel_futures=True)


def _answer_of(made: Future[Answer]) -> Answer | None:
    try:
        return made.result()
    except NoPdfLibrary:
        raise
    except NotNow:  # this one alone; the others can still be made
        return None


class PrintRun:
    """One print while it runs: what is kept of it already, and what could not be made."""

    def __init__(self, *, job: Job, kits: Sequence[Kit], by: Person, now: Callable[[], datetime]) -> None:
        self.job, self.kits, self.by, self.now = job, kits, by, now
        self.files: dict[int, KitSheetFile] = {}
        self.missed: list[int] = []

    def make(self) -> None:
        """Make every sheet; raises PrintStopped where nobody wants them any more."""
        with closing(made_two_at_a_time(self._to_make())) as made:  # type: ignore[type-var]
            for each in made:
                if each is not None:
                    self._keep(*each)
                self._note()
        self._note()

    def _to_make(self) -> Iterator[WrittenSheet]:
        """The sheets that are not kept yet; an interrupted print goes on where it was."""
        for kit in self.kits:
            sheet = written_sheet(kit)
            kept = kept_sheet(kit, sheet.data_sha256)
            if kept is None:
                yield sheet
            else:
                self.files[kit.pk] = kept

    def _keep(self, sheet: WrittenSheet, answer: Answer | None) -> None:
        kept = answer and actions.keep_sheet(sheet=sheet, content=answer.content, by=self.by, at=self.now())
        if kept:
            self.files[sheet.kit.pk] = kept
        else:
            self.missed.append(sheet.kit.pk)

    def _note(self) -> None:
        files = [self.files[kit.pk] for kit in self.kits if kit.pk in self.files]
        progress = {
            "kits": [kit.pk for kit in self.kits],
            "files": [file.pk for file in files],
            "pages": sum(file.page_count for file in files),
            "missed": self.missed,
        }
        if not actions.note_printed_so_far(job=self.job, progress=progress, at=self.now()):
            raise PrintStopped
