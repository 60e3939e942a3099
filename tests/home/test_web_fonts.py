"""The faces of pages, cut down to the letters most pages use, read back by the library that reads any face."""

import re

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from fontTools.subset import parse_unicodes
from fontTools.ttLib import TTFont

from gowngroup.home.web_fonts import FACES, LETTERS, PREFIX, WebFontFinder

FACES_CSS = (settings.BASE_DIR / "static/css/faces.css").read_text(encoding="utf-8")
SEEN = "AZaz09ñáéíóúü¿¡«»–—“”‘’…×½¼⅛⅞←→✓€°−"


@pytest.fixture(scope="module")
def faces() -> dict[str, TTFont]:
    return {name: TTFont(str(finders.find(PREFIX + name))) for name in FACES}


def test_every_face_has_the_letters_pages_use(faces: dict[str, TTFont]) -> None:
    """Whatever letter of the list the whole face has, the cut-down face has, those of our pages among them."""
    for name, face in faces.items():
        kept, whole = set(face.getBestCmap()), set(TTFont(FACES[name]).getBestCmap())
        assert kept == whole & set(parse_unicodes(LETTERS)), name
        assert {letter for letter in SEEN if ord(letter) in whole} <= {chr(code) for code in kept}


def test_styles_ask_for_the_letters_that_are_there() -> None:
    """faces.css names the very letters the faces were cut down to, and every face once."""
    ranges = re.findall(r'url\("\.\./fonts/web/([^"]+)"\)[^}]*?unicode-range:\s*([^;]+);', FACES_CSS)
    assert [name for name, _range in ranges] == list(FACES)
    assert {" ".join(found.split()) for _name, found in ranges} == {LETTERS}


def test_whole_faces_are_for_the_other_letters() -> None:
    """Nobody fetches a whole face for letters of the cut-down one, late as that may come; any other letter is in it."""
    ranges = re.findall(r'url\("\.\./fonts/s[^"]+"\)[^}]*?unicode-range:\s*([^;]+);', FACES_CSS)
    assert len(ranges) == len(FACES)
    for name, said in zip(FACES, ranges, strict=True):
        others = set(parse_unicodes(" ".join(said.split())))
        assert others & set(parse_unicodes(LETTERS)) == set()
        assert set(TTFont(FACES[name]).getBestCmap()) <= others | set(parse_unicodes(LETTERS)), name


def test_faces_are_light(faces: dict[str, TTFont]) -> None:
    """All four together are at most 60 kB, where the whole faces are 900."""
    assert (
        sum(settings.VAR_DIR.joinpath(finders.find(PREFIX + name) or "").stat().st_size for name in FACES)
        < 60_000
    )
    assert {face.flavor for face in faces.values()} == {"woff2"}


def test_the_licence_is_kept(faces: dict[str, TTFont]) -> None:
    """The SIL Open Font License lets whole faces alone bear the reserved name, and asks for its own words."""
    for face in faces.values():
        assert "Source" not in str(face["name"].getDebugName(1)) + str(face["name"].getDebugName(4))
        assert "SIL Open Font License" in face["name"].getDebugName(13)


def test_faces_are_collected_and_nothing_else_is_found() -> None:
    """collectstatic gets each face; a name that is none of them is not found."""
    finder = WebFontFinder()
    assert [name for name, _storage in finder.list(["*italic*"])] == [
        name for name in FACES if "italic" not in name
    ]
    assert finder.find(PREFIX + "../../db.sqlite3") is None
    assert finder.find("css/base.css", find_all=True) == []
    assert finder.check() == []


def test_no_face_holds_a_page_up() -> None:
    """Each face may be missed: a page shows at once and never moves when one comes late."""
    fetched = [rule for rule in re.findall(r"@font-face {.*?}", FACES_CSS, re.S) if "url(" in rule]
    assert len(fetched) == 2 * len(FACES) + 1
    assert all("font-display: optional;" in rule for rule in fetched)
