"""WeasyPrint as our sheets use it. It runs in a guarded child process (render_child), never in the server."""

import contextlib
import io
import warnings
from dataclasses import dataclass
from functools import cache
from typing import Any

from gowngroup.printing.finishing import finish
from gowngroup.printing.own_files import BASE_URL, own_file


class NoEngine(Exception):
    """This machine lacks the library that lays out PDFs."""


class EngineFailed(Exception):
    """The engine gave up on a sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """What of WeasyPrint is used: documents, the fetcher that serves our own files only, its fatal error."""

    document: Any
    fetcher: Any
    fatal: type[BaseException]


@cache
def engine() -> Engine:
    """WeasyPrint, loaded once; raises NoEngine, without its banner, where its libraries are missing."""
    try:
        with contextlib.redirect_stdout(io.StringIO()), warnings.catch_warnings():
            warnings.simplefilter("ignore", DeprecationWarning)  # harfbuzz-subset: told by the system check
            import weasyprint  # noqa: PLC0415 - only where a PDF is made: it takes a second and system libraries
            from weasyprint.urls import FatalURLFetchingError  # noqa: PLC0415
    except (ImportError, OSError) as error:
        raise NoEngine from error

    class OwnFilesOnly(weasyprint.URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: object = None) -> Any:
            content, mime_type = own_file(url)
            return weasyprint.urls.URLFetcherResponse(url, content, {"Content-Type": mime_type})

    return Engine(document=weasyprint.HTML, fetcher=OwnFilesOnly(), fatal=FatalURLFetchingError)


def written(html: str, variant: str) -> bytes:
    """The document as a tagged PDF of this variant; raises EngineFailed whatever the engine stumbled over."""
    parts = engine()
    document = parts.document(string=html, base_url=BASE_URL, url_fetcher=parts.fetcher)
    try:
        return bytes(document.write_pdf(finisher=finish, pdf_variant=variant, pdf_tags=True))
    # The fatal error is a BaseException: left alone it would end the process.
    except (Exception, parts.fatal) as error:
        raise EngineFailed(f"{type(error).__name__}: {error}") from error
