"""The faces of pages, cut down to the letters most pages use, so that they weigh a twentieth on the way.

Finding static files makes them, once for every version of the faces; any other letter comes from the whole face.
"""

from collections.abc import Iterable, Iterator
from hashlib import sha256
from pathlib import Path
from tempfile import NamedTemporaryFile

import font_source_sans_pro
import font_source_serif_pro
from django.conf import settings
from django.contrib.staticfiles.finders import BaseFinder
from django.contrib.staticfiles.utils import matches_patterns
from django.core.checks import CheckMessage
from django.core.files.storage import FileSystemStorage
from fontTools.subset import Options, Subsetter, parse_unicodes, save_font
from fontTools.ttLib import TTFont

SANS = Path(font_source_sans_pro.__file__).parent / "files"
SERIF = Path(font_source_serif_pro.__file__).parent / "files"
FACES = {
    "sans-400.woff2": SANS / "SourceSansPro-Regular.ttf",
    "sans-400-italic.woff2": SANS / "SourceSansPro-It.ttf",
    "sans-600.woff2": SANS / "SourceSansPro-Semibold.ttf",
    "serif-600.woff2": SERIF / "SourceSerifPro-Semibold.ttf",
}
# English, Spanish and their neighbours, fractions, arrows and the tick; faces.css names the same letters.
LETTERS = (
    "U+0020-007E, U+00A0-00FF, U+0131, U+0152-0153, U+02C6, U+02DC, U+2002-200A, U+2010-2027, U+202F-203A, "
    "U+2044, U+20AC, U+2122, U+2150-215E, U+2190-2193, U+2212, U+2248, U+2260-2265, U+2713"
)
PREFIX = "fonts/web/"
FAMILY, NAMES_OF_FAMILY = "Gowngroup Text", (1, 3, 4, 6, 16)  # the licence keeps the name for whole faces


class FacesStorage(FileSystemStorage):
    """The folder of cut-down faces."""

    prefix = PREFIX.rstrip("/")  # where collectstatic puts them


class WebFontFinder(BaseFinder):
    """Finds the cut-down faces among the static files, and makes those that are not there yet."""

    def check(self, **_kwargs: object) -> list[CheckMessage]:
        return []

    def find(self, path: str, find_all: bool = False, **_kwargs: object) -> str | list[str] | None:  # type: ignore[override]
        name = path.removeprefix(PREFIX)
        if not path.startswith(PREFIX) or name not in FACES:
            return [] if find_all else None
        found = str(_made(name))
        return [found] if find_all else found

    def list(self, ignore_patterns: Iterable[str] | None) -> Iterator[tuple[str, FileSystemStorage]]:
        storage = FacesStorage(location=_folder())
        for name in FACES:
            if not matches_patterns(name, list(ignore_patterns or ())):
                yield _made(name).name, storage


def _folder() -> Path:
    said = "".join((LETTERS, *(f"{name}{face.stat().st_size}" for name, face in FACES.items())))
    return Path(settings.VAR_DIR) / "web_fonts" / sha256(said.encode()).hexdigest()[:12]


def _made(name: str) -> Path:
    """The file of a face, made first where it is missing; whoever else makes it at the same time makes the same."""
    file = _folder() / name
    if not file.exists():
        file.parent.mkdir(parents=True, exist_ok=True)
        with NamedTemporaryFile(dir=file.parent, delete=False) as half:
            _cut_down(FACES[name], half.name)
        done = Path(half.name)
        done.chmod(0o644)
        done.replace(file)
    return file


def _cut_down(face: Path, to: str) -> None:
    font = TTFont(face)
    options = Options(
        flavor="woff2", hinting=False, notdef_outline=True, name_IDs=[0, 1, 2, 3, 4, 5, 6, 13, 14, 16]
    )
    options.layout_features += ["tnum", "lnum"]
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=parse_unicodes(LETTERS))
    subsetter.subset(font)
    for record in font["name"].names:
        if record.nameID in NAMES_OF_FAMILY:
            record.string = FAMILY.replace(" ", "") if record.nameID == 6 else FAMILY
    save_font(font, to, options)
