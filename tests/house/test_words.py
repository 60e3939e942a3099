"""Every visible word can be said in Spanish: nothing unmarked, nothing untranslated, nothing out of date."""

import ast
import gettext
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import read_mo
from babel.messages.pofile import read_po
from django.conf import settings
from django.core.management import call_command

from gowngroup.people.models import Language

ROOT = Path(settings.BASE_DIR)
WORDS = ROOT / "gowngroup" / "locale" / "es" / "LC_MESSAGES" / "django.po"

# -- templates --

TRANSLATED = re.compile(r"\{%\s*blocktranslate\b.*?\{%\s*endblocktranslate\s*%\}", re.DOTALL)
COMMENT = re.compile(r"\{#.*?#\}|\{%\s*comment\s*%\}.*?\{%\s*endcomment\s*%\}", re.DOTALL)
TAG = re.compile(r"\{%.*?%\}|\{\{.*?\}\}", re.DOTALL)
ATTRIBUTES = {
    "title",
    "alt",
    "aria-label",
    "aria-description",
    "placeholder",
    "data-label",
    "summary",
    "label",
}
ATTRIBUTES_BLOCK = re.compile(r"\{% block body_attributes %\}.*?\{% endblock %\}")  # outside of any tag
WORD = re.compile(r"[^\W\d_]{2,}")
UNITS = {"mm", "cm"}


class VisibleWords(HTMLParser):
    """Collects what a reader sees or hears of a page: its text and the attributes that are read out."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.is_style = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.is_style = tag == "style"
        self.found += [value for name, value in attrs if name in ATTRIBUTES and value]
        is_button = tag == "input" and ("type", "submit") in attrs
        self.found += [value for name, value in attrs if is_button and name == "value" and value]

    def handle_endtag(self, tag: str) -> None:
        self.is_style = False

    def handle_data(self, data: str) -> None:
        if not self.is_style:
            self.found.append(data)


def bare_words(template: str) -> list[str]:
    """Words of a template that no reader of another language would get in hers."""
    page = VisibleWords()
    page.feed(TAG.sub(" ", TRANSLATED.sub(" ", ATTRIBUTES_BLOCK.sub(" ", COMMENT.sub(" ", template)))))
    page.close()
    return [text.strip() for text in page.found if set(WORD.findall(text)) - UNITS]


def test_templates_hold_no_unmarked_words() -> None:
    """Whatever stands in a template to be read is marked for translation."""
    found = {
        str(path.relative_to(ROOT)): bare
        for path in sorted((ROOT / "templates").rglob("*"))
        if path.suffix in (".html", ".txt", ".svg") and (bare := bare_words(path.read_text()))
    }
    assert not found


@pytest.mark.parametrize(
    "template",
    [
        "<p>Good morning</p>",
        '<a title="Good">{{ x }}</a>',
        '<input type="submit" value="Go on">',
        "{{ x }} gowns",
    ],
)
def test_bare_words_are_seen(template: str) -> None:
    """The search above finds words in text, in attributes and on buttons."""
    assert bare_words(template)


# -- Python --

MARKED = {
    "_", "gettext", "gettext_lazy", "ngettext", "ngettext_lazy", "pgettext", "pgettext_lazy", "gettext_noop",
}  # fmt: skip
# What shows words, and the place of the first of them among what it takes.
SHOWN_BY = {
    "ValidationError": 0, "HttpResponseBadRequest": 0, "add_error": 1, "success": 1, "info": 1, "warning": 1, "error": 1,
}  # fmt: skip
SHOWN_AS = {"label", "help_text", "verbose_name", "error_messages", "subject", "empty_label", "message"}
NOT_SHOWN = {"planning", "demo", "migrations", "management"}


def _name(call: ast.Call) -> str:
    return getattr(call.func, "id", "") or getattr(call.func, "attr", "")


def _bare(node: ast.AST) -> Iterator[str]:
    """Words within an expression that no marking function stands around."""
    if (isinstance(node, ast.Call) and _name(node) in MARKED) or isinstance(
        node, ast.Subscript | ast.Compare
    ):
        return
    if isinstance(node, ast.Constant) and isinstance(node.value, str) and WORD.search(node.value):
        yield node.value
    for child in node.values if isinstance(node, ast.Dict) else ast.iter_child_nodes(node):
        yield from _bare(child)


def unmarked(source: str, refusals: set[str]) -> list[str]:
    """Words a file shows to readers without marking them: messages, errors, refusals, labels, choices."""
    found: list[str] = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call):
            name, is_log = _name(node), "logg" in ast.unparse(node.func)
            is_column = name.endswith("Field") and ast.unparse(node.func).startswith("models.")
            first = SHOWN_BY.get(name, 0 if name in refusals or is_column else None)
            last = 1 if is_column or name in refusals else None
            shown = [] if first is None or is_log else node.args[first:last]
            found += [word for each in shown for word in _bare(each)]
            found += [word for each in node.keywords if each.arg in SHOWN_AS for word in _bare(each.value)]
        if isinstance(node, ast.ClassDef) and any("TextChoices" in ast.unparse(base) for base in node.bases):
            values = (line.value for line in node.body if isinstance(line, ast.Assign))
            found += [word for each in values if isinstance(each, ast.Tuple) for word in _bare(each.elts[1])]
    return found


@cache
def _sources() -> dict[str, str]:
    files = (ROOT / "gowngroup").rglob("*.py")
    return {str(path.relative_to(ROOT)): path.read_text() for path in files if not NOT_SHOWN & {*path.parts}}


def _refusals() -> set[str]:
    """Every exception that carries a sentence to the reader, by the classes it is made from."""
    bases = {"Refusal", "Taken", "NotNow"}
    classes = [
        (node.name, {ast.unparse(base) for base in node.bases})
        for source in _sources().values()
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.ClassDef)
    ]
    while fresh := {name for name, above in classes if above & bases} - bases:
        bases |= fresh
    return bases


OWN_NAMES = {"English", "Español"}  # a language is called by its own name in every language


def test_python_shows_no_unmarked_words() -> None:
    """Messages, errors, refusals, labels, hints and choices are marked for translation."""
    refusals = _refusals()
    found = {
        path: bare
        for path, source in _sources().items()
        if (bare := {*unmarked(source, refusals)} - OWN_NAMES)
    }
    assert not found


@pytest.mark.parametrize(
    "source",
    [
        'messages.success(request, "It is done.")',
        'raise ValidationError(f"No {x} here.")',
        'raise Refused("Not so.", field="x")',
        'forms.CharField(label="Name")',
        'models.CharField("name", max_length=3)',
        'class Kind(models.TextChoices):\n    A = "a", "one of these"',
    ],
)
def test_unmarked_words_are_seen(source: str) -> None:
    """The search above finds each kind of place where words are shown."""
    assert unmarked(source, {"Refused"})


def test_dates_are_written_as_each_language_does() -> None:
    """Only `records.written` asks Django for a date in words, since it knows “30 de noviembre de 2026”."""
    culprits = [
        path for path, source in _sources().items() if "date_format" in source and "written.py" not in path
    ]
    assert not culprits


# -- the Spanish words --


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A sentence and what is said for it; of a plural the English of one and of many, and every form of it."""

    context: str | None
    english: tuple[str, ...]
    said: tuple[str, ...]
    is_guess: bool

    @property
    def is_plural(self) -> bool:
        """Does it count something?"""
        return len(self.english) > 1


def _texts(value: object) -> tuple[str, ...]:
    return tuple(map(str, value)) if isinstance(value, tuple | list) else (str(value or ""),)


@cache
def spanish() -> Catalog:
    with WORDS.open("rb") as file:
        return read_po(file, locale="es")


@cache
def entries() -> list[Entry]:
    return [
        Entry(context=each.context, english=_texts(each.id), said=_texts(each.string), is_guess=each.fuzzy)
        for each in spanish()
        if each.id
    ]


def test_languages_are_those_of_the_settings() -> None:
    """Whoever chooses a language chooses among those the site speaks."""
    assert Language.choices == settings.LANGUAGES


def test_everything_is_said_in_spanish() -> None:
    """No sentence is left in English, none is a guess, and each plural has every form."""
    forms = spanish().num_plurals
    missing = [
        each.english
        for each in entries()
        if each.is_guess or not all(each.said) or len(each.said) != (forms if each.is_plural else 1)
    ]
    assert not missing


NAMED = re.compile(r"%(?:\((\w+)\))?[sd]|%%")
COUNTS = {"%(count)d", "%(count)s", "%(counter)d", "%(counter)s"}
HTML_TAG = re.compile(r"</?[a-z][^>]*>")


def _placeholders(text: str) -> set[str]:
    return {found.group() for found in NAMED.finditer(text)}


def test_what_is_filled_in_is_the_same() -> None:
    """Each sentence takes the same values in both languages; only of a single thing the number may be left out."""
    wrong = []
    for each in entries():
        one, many = _placeholders(each.english[0]), _placeholders(each.english[-1])
        found_one, found_many = _placeholders(each.said[0]), _placeholders(each.said[-1])
        is_one_alike = found_one == one or (each.is_plural and one - COUNTS <= found_one <= one | many)
        if not is_one_alike or found_many != many:
            wrong.append((each.english, each.said))
    assert not wrong


def test_tenths_are_never_written_with_a_point_for_all() -> None:
    """Numbers with tenths come into a sentence as the reader's language writes them (`written_number`)."""
    assert not [
        each.english for each in entries() if re.search(r"%\(\w+\)[-+0-9.]*[eEfFgG]", str(each.english))
    ]


def test_tags_line_ends_and_spaces_are_the_same() -> None:
    """A translation brings no HTML of its own and keeps the spaces and empty lines around and within letters."""

    def frame(text: str) -> tuple[object, ...]:
        return sorted(HTML_TAG.findall(text)), text.count("\n\n"), text[:1].isspace(), text[-1:].isspace()

    assert not [
        (each.english, text)
        for each in entries()
        for text in each.said
        if frame(text) != frame(each.english[-1])
    ]


def test_compiled_words_are_those_of_the_file() -> None:
    """Whoever runs the demo without tools for translators reads the very words of the file."""
    with WORDS.with_suffix(".mo").open("rb") as file:
        compiled = read_mo(file)
    found = {(each.context, _texts(each.id), _texts(each.string)) for each in compiled if each.id}
    assert found == {(each.context, each.english, each.said) for each in entries()}
    with WORDS.with_suffix(".mo").open("rb") as file:
        assert (
            gettext.GNUTranslations(file).ngettext("%(count)d gown", "%(count)d gowns", 2)
            == "%(count)d batitas"
        )


def test_words_are_gathered_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file holds the sentences the sources hold now, and says nothing of this machine or of today."""
    if shutil.which("xgettext") is None:
        pytest.skip("GNU gettext is not installed: CI looks whether the words are those of the sources")
    copy = tmp_path / "es" / "LC_MESSAGES" / WORDS.name
    copy.parent.mkdir(parents=True)
    shutil.copy(WORDS, copy)
    for sources in (
        "gowngroup",
        "templates",
    ):  # a copy: gathering leaves files beside its sources for a moment
        shutil.copytree(
            ROOT / sources, tmp_path / "house" / sources, ignore=shutil.ignore_patterns("locale", "*.pyc")
        )
    monkeypatch.chdir(tmp_path / "house")
    monkeypatch.setattr(settings, "LOCALE_PATHS", [tmp_path])
    call_command("words")
    assert copy.read_text() == WORDS.read_text(), "run: python3 manage.py words"
    assert all(str(path) not in copy.read_text() for path in (ROOT, tmp_path))
