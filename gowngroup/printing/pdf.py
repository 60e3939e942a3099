"""Sheets as PDFs. WeasyPrint is loaded when the first one is made, so that all else works without it."""

import contextlib
import ctypes
import io
import logging
import sys
import threading
import warnings
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from gowngroup.printing.own_files import BASE_URL, own_file
from gowngroup.records.errors import NotNow

logger = logging.getLogger(__name__)

FOR_READERS, FOR_THE_FILE = "pdf/ua-1", "pdf/a-3b"
AT_ONCE = 2
WAIT_S = 4.0
TRY_AGAIN_S, TRY_TOMORROW_S = 10, 24 * 3600
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

_places = threading.BoundedSemaphore(AT_ONCE)


class NoPdfLibrary(NotNow):
    """This machine lacks the library that lays out PDFs."""


class PrinterBusy(NotNow):
    """As many PDFs as may be made at once are being made."""


class SheetFailed(NotNow):
    """The engine gave up on a sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """What of WeasyPrint is used: documents, the fetcher that serves our own files only, its fatal error."""

    document: Any
    fetcher: Any
    fatal: type[BaseException]


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
    html = render_to_string(template, {**context, "is_pdf": True})
    with _place():
        return _written(html, variant)


@contextlib.contextmanager
def _place() -> Iterator[None]:
    if not _places.acquire(timeout=WAIT_S):
        raise PrinterBusy(
            _("Several sheets are being made just now. Please try again in a moment."),
            retry_after_s=TRY_AGAIN_S,
        )
    try:
        yield
    finally:
        _places.release()


def _written(html: str, variant: str = FOR_READERS) -> bytes:
    engine = _engine()
    document = engine.document(string=html, base_url=BASE_URL, url_fetcher=engine.fetcher)
    try:
        return bytes(document.write_pdf(pdf_variant=variant, pdf_tags=True))
    except engine.fatal as error:  # a BaseException: left alone it would end the worker
        logger.exception("a sheet could not be made")
        raise SheetFailed(
            _("This sheet could not be made as a PDF. Its page can be printed from the browser."),
            retry_after_s=TRY_AGAIN_S,
        ) from error


@cache
def _engine() -> Engine:
    """WeasyPrint, loaded once; raises NoPdfLibrary, without its banner, where its libraries are missing."""
    try:
        with contextlib.redirect_stdout(io.StringIO()), warnings.catch_warnings():
            warnings.simplefilter("ignore", DeprecationWarning)  # harfbuzz-subset: told by the system check
            import weasyprint  # noqa: PLC0415 - only where a PDF is made: it takes a second and system libraries
            from weasyprint.urls import FatalURLFetchingError  # noqa: PLC0415
    except (ImportError, OSError) as error:
        for name in [name for name in sys.modules if name.split(".")[0] == "weasyprint"]:
            del sys.modules[name]  # half loaded; the next try starts afresh
        raise NoPdfLibrary(missing_library_sentence(), retry_after_s=TRY_TOMORROW_S) from error

    class OwnFilesOnly(weasyprint.URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: object = None) -> Any:
            content, mime_type = own_file(url)
            return weasyprint.urls.URLFetcherResponse(url, content, {"Content-Type": mime_type})

    return Engine(document=weasyprint.HTML, fetcher=OwnFilesOnly(), fatal=FatalURLFetchingError)
