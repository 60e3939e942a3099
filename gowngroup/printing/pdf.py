"""Sheets as PDFs: made in guarded child processes, two at a time on the whole machine, none for long."""

import contextlib
import ctypes
import logging
import threading
from collections.abc import Iterator, Mapping

from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from gowngroup.printing import children
from gowngroup.printing.children import Answer
from gowngroup.printing.places import AT_ONCE, TRY_AGAIN_S, PrinterBusy, place
from gowngroup.printing.render_child import MADE, MISSING
from gowngroup.records.errors import NotNow

logger = logging.getLogger(__name__)

FOR_READERS, FOR_THE_FILE = "pdf/ua-1", "pdf/a-3b"
LIMIT_S = 20.0
WAIT_S, LONG_WAIT_S = 4.0, 600.0
# Somebody who waits for a sheet keeps a thread of the server busy: no more of them than leave some for the pages.
WAITING_AT_MOST = 2 * AT_ONCE
TRY_LATER_S, TRY_TOMORROW_S = 60, 24 * 3600
HOW_TO_INSTALL = (
    "Debian or Ubuntu: sudo apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0",
    "Fedora: sudo dnf install pango",
    "macOS: brew install pango",
    "Windows (MSYS2): pacman -S mingw-w64-ucrt-x86_64-pango",
)
# The names WeasyPrint looks for, on Linux, macOS and Windows.
LIBRARIES = {
    "pango": ("libpango-1.0.so.0", "libpango-1.0.dylib", "libpango-1.0-0.dll"),
    "pangoft2": ("libpangoft2-1.0.so.0", "libpangoft2-1.0.dylib", "libpangoft2-1.0-0.dll"),
    "harfbuzz-subset": (
        "libharfbuzz-subset.so.0",
        "libharfbuzz-subset.0.dylib",
        "libharfbuzz-subset-0.dll",
    ),
}

_door = threading.BoundedSemaphore(WAITING_AT_MOST)


class NoPdfLibrary(NotNow):
    """This machine lacks the library that lays out PDFs."""


class SheetFailed(NotNow):
    """The engine gave up on a sheet."""


class SheetTooLong(NotNow):
    """A sheet took longer than a sheet may take, so that it was stopped."""


def missing_library_sentence() -> str:
    """What to say when the PDF library is not there: what works all the same, and the command for each system."""
    first = _(
        "PDFs cannot be made on this computer yet because a library is missing (Pango). Everything else works, and each sheet can be printed from its page in the browser. To have PDFs, run the line for your system and start again."
    )
    return " ".join((first, *(f"{line}." for line in HOW_TO_INSTALL)))


def missing_libraries() -> tuple[str, ...]:
    """Which of the system libraries cannot be loaded, found out without loading the engine."""
    return tuple(name for name, files in LIBRARIES.items() if not any(_can_be_loaded(file) for file in files))


def _can_be_loaded(file: str) -> bool:
    try:
        ctypes.CDLL(file)
    except OSError:
        return False
    return True


def render_pdf(template: str, context: Mapping[str, object], *, variant: str = FOR_READERS) -> bytes:
    """A sheet as PDF/UA, or PDF/A to be kept, tagged, with title and language; refused, kindly, when busy."""
    return pdf_of(html_of(template, context), variant=variant)


def html_of(template: str, context: Mapping[str, object]) -> str:
    """A sheet as it is laid out on paper."""
    return render_to_string(template, {**context, "is_pdf": True})


def pdf_of(html: str, *, variant: str = FOR_READERS) -> bytes:
    """A sheet as a PDF for somebody who waits for it. Raises NotNow when busy, broken or too long."""
    with _through_the_door(), place(wait_s=WAIT_S):
        return _made(html, variant).content


def pdf_in_its_turn(html: str) -> Answer:
    """The same for a long print in the background, which waits until whoever stands before it has his sheet."""
    with place(wait_s=LONG_WAIT_S):
        return _made(html, FOR_READERS)


@contextlib.contextmanager
def _through_the_door() -> Iterator[None]:
    if not _door.acquire(blocking=False):
        raise PrinterBusy()
    try:
        yield
    finally:
        _door.release()


def _made(html: str, variant: str) -> Answer:
    try:
        answer = children.answer(html, variant, limit_s=LIMIT_S)
    except children.TooLong as error:
        logger.warning("a sheet was stopped after %s seconds", LIMIT_S)
        raise SheetTooLong(
            _(
                "This sheet takes too long to make as a PDF just now. Its page can be printed from the browser, or try again when less is being done."
            ),
            retry_after_s=TRY_LATER_S,
        ) from error
    except children.ChildGone as error:
        logger.exception("a sheet could not be made")
        raise _failed() from error
    if answer.state == MISSING:
        raise NoPdfLibrary(missing_library_sentence(), retry_after_s=TRY_TOMORROW_S)
    if answer.state != MADE:
        logger.error("a sheet could not be made: %s", answer.error)
        raise _failed()
    return answer


def _failed() -> SheetFailed:
    return SheetFailed(
        _("This sheet could not be made as a PDF. Its page can be printed from the browser."),
        retry_after_s=TRY_AGAIN_S,
    )
