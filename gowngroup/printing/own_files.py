"""The only files a sheet may read: our own style sheets and fonts, never an address and never a path."""

from pathlib import Path, PurePosixPath
from urllib.parse import unquote, urlsplit

from django.conf import settings
from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage

BASE_URL = "https://own-files.invalid/"
MIME_TYPES = {".css": "text/css", ".ttf": "font/ttf", ".otf": "font/otf"}


class NotOurOwnFile(ValueError):
    """Something else than one of our own style sheets or fonts was asked for."""


def own_file(url: str) -> tuple[bytes, str]:
    """Content and media type of one of our own static files; raises NotOurOwnFile for anything else."""
    name = _static_name(url)
    mime_type = MIME_TYPES.get(PurePosixPath(name).suffix)
    if mime_type is None:
        raise NotOurOwnFile(url)
    return _content(name), mime_type


def _static_name(url: str) -> str:
    parts, base = urlsplit(url), urlsplit(BASE_URL)
    prefix = f"/{settings.STATIC_URL.strip('/')}/"
    if (parts.scheme, parts.netloc) != (base.scheme, base.netloc) or not parts.path.startswith(prefix):
        raise NotOurOwnFile(url)
    return unquote(parts.path.removeprefix(prefix))


def _content(name: str) -> bytes:
    """From where collectstatic put it, else from where it is kept; both refuse to leave their folders."""
    if staticfiles_storage.exists(name):
        with staticfiles_storage.open(name) as file:
            return bytes(file.read())
    found = finders.FileSystemFinder().find(
        name
    )  # asks no app, as there are none in the child that makes PDFs
    if not isinstance(found, str):
        raise NotOurOwnFile(name)
    return Path(found).read_bytes()
