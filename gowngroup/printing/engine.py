"""WeasyPrint as our sheets use it. It runs in a guarded child process (render_child), never in the server."""

import contextlib
import io
import re
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any
from urllib.parse import urljoin

from gowngroup.printing.finishing import finish
from gowngroup.printing.own_files import BASE_URL, own_file

LINK = re.compile(r'<link rel="stylesheet" href="([^"]+)">')


class WholeText(str):
    """Words of a drawing set in one go, as words are elsewhere.

    The engine sets each letter of them by itself, which turns Hebrew and Arabic round, parts joined letters, and costs ten times as much.
    """

    __slots__ = ()

    def __iter__(self) -> Iterator[str]:
        """All of it at once, for whoever asks for letter after letter."""
        return iter((str(self),))


class NoEngine(Exception):
    """This machine lacks the library that lays out PDFs."""


class EngineFailed(Exception):
    """The engine gave up on a sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """What of WeasyPrint is used, with the fetcher that serves our own files only, and its fatal error."""

    document: Any
    style_sheet: Any
    fonts: Any
    fetcher: Any
    fatal: type[BaseException]


@cache
def engine() -> Engine:
    """WeasyPrint, loaded once; raises NoEngine, without its banner, where its libraries are missing."""
    try:
        with contextlib.redirect_stdout(io.StringIO()), warnings.catch_warnings():
            warnings.simplefilter("ignore", DeprecationWarning)  # harfbuzz-subset: told by the system check
            import weasyprint  # noqa: PLC0415 - only where a PDF is made: it takes a second and system libraries
            from weasyprint.svg import Node  # noqa: PLC0415
            from weasyprint.text.fonts import FontConfiguration  # noqa: PLC0415
            from weasyprint.urls import FatalURLFetchingError  # noqa: PLC0415
    except (ImportError, OSError) as error:
        raise NoEngine from error

    class OwnFilesOnly(weasyprint.URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: object = None) -> Any:
            content, mime_type = own_file(url)
            return weasyprint.urls.URLFetcherResponse(url, content, {"Content-Type": mime_type})

    Node.text = property(lambda node: node._etree_node.text and WholeText(node._etree_node.text))
    return Engine(
        document=weasyprint.HTML,
        style_sheet=weasyprint.CSS,
        fonts=FontConfiguration(),
        fetcher=OwnFilesOnly(),
        fatal=FatalURLFetchingError,
    )


def written(html: str, variant: str) -> bytes:
    """The document as a tagged PDF of this variant; raises EngineFailed whatever the engine stumbled over."""
    parts = engine()
    try:
        html, style_sheets = _apart(html)
        document = parts.document(string=html, base_url=BASE_URL, url_fetcher=parts.fetcher)
        options = {"stylesheets": style_sheets, "font_config": parts.fonts}
        return bytes(document.write_pdf(finisher=finish, pdf_variant=variant, pdf_tags=True, **options))
    # The fatal error is a BaseException: left alone it would end the process.
    except (Exception, parts.fatal) as error:
        raise EngineFailed(f"{type(error).__name__}: {error}") from error


def _apart(html: str) -> tuple[str, list[Any]]:
    """The document without its links to our style sheets, and those, read and understood once for all documents.

    That saves a seventh of the time and changes no byte. A document with styles of its own, which must come after
    the others, stays as it is, and so does a link that leads nowhere.
    """
    hrefs = LINK.findall(html)
    if "<style" in html:
        return html, []
    try:
        return LINK.sub("", html), [_style_sheet(href) for href in hrefs]
    except (OSError, ValueError):  # not one of ours, which the engine tells in its own way
        return html, []


@cache
def _style_sheet(href: str) -> Any:
    parts = engine()
    url = urljoin(BASE_URL, href)
    return parts.style_sheet(url=url, url_fetcher=parts.fetcher, font_config=parts.fonts)
