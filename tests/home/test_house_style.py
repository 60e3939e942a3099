"""House rules for templates and styles that no linter checks."""

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.template.loader import get_template

TEMPLATES = sorted((settings.BASE_DIR / "templates").rglob("*.html"))
STYLES = sorted((settings.BASE_DIR / "static" / "css").rglob("*.css"))
INLINE = (
    re.compile(r"\sstyle\s*=", re.I),
    re.compile(r"<style\b", re.I),
    re.compile(r"\son[a-z]+\s*=\s*[\"']", re.I),
    re.compile(r"javascript:", re.I),
    re.compile(r"<script\b(?![^>]*\bsrc=)", re.I),
    re.compile(r"\bhx-on\b|\bhx-on:", re.I),
)
ON_PAPER = re.compile(r"{% if is_pdf %}.*?{% else %}", re.S)  # a PDF carries its style inside
COLOUR = re.compile(r"#(?:[0-9a-f]{3,4}|[0-9a-f]{6}|[0-9a-f]{8})\b(?=[^{]*;)|\b(?:rgb|hsl|oklch)a?\(", re.I)


def named(path: Path) -> str:
    return str(path.relative_to(settings.BASE_DIR))


def without_comments(css: str) -> str:
    return re.sub(r"/\*.*?\*/", "", css, flags=re.S)


@pytest.mark.parametrize("path", TEMPLATES, ids=named)
def test_templates_hold_no_inline_style_or_script(path: Path) -> None:
    """The Content-Security-Policy forbids styles and scripts inside pages, so no template has any."""
    text = ON_PAPER.sub("", path.read_text(encoding="utf-8"))
    assert [pattern.pattern for pattern in INLINE if pattern.search(text)] == []


@pytest.mark.parametrize("path", TEMPLATES, ids=named)
def test_templates_compile(path: Path) -> None:
    """Every template is readable by the engine."""
    get_template(str(path.relative_to(settings.BASE_DIR / "templates")))


@pytest.mark.parametrize(
    "path", [path for path in STYLES if path.name != "tokens.css" and "print" not in path.parts], ids=named
)
def test_colours_are_named_in_one_file(path: Path) -> None:
    """Only tokens.css holds a colour; all other styles name its role."""
    assert COLOUR.findall(without_comments(path.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize("path", STYLES, ids=named)
def test_no_rule_shouts(path: Path) -> None:
    """Layers settle which rule wins; nothing is marked important."""
    assert "!important" not in path.read_text(encoding="utf-8")


@pytest.mark.parametrize("path", STYLES, ids=named)
def test_every_role_a_style_names_exists(path: Path) -> None:
    """A custom property used without a fallback is defined in the tokens, with the faces or in the same file."""
    text = without_comments(path.read_text(encoding="utf-8"))
    named = [settings.BASE_DIR / "static/css" / name for name in ("tokens.css", "faces.css")]
    defined = set(re.findall(r"(--[a-z0-9-]+)\s*:", "".join(map(Path.read_text, named)) + text))
    assert set(re.findall(r"var\((--[a-z0-9-]+)\)", text)) <= defined


def test_inline_handlers_would_be_found() -> None:
    """The patterns above find what they are there to find."""
    samples = (
        '<p style="x">',
        "<style>",
        '<a onclick="x">',
        "<script>alert(1)</script>",
        '<a href="javascript:x">',
    )
    assert all(any(pattern.search(sample) for pattern in INLINE) for sample in samples)
    assert COLOUR.search("a { color: #a1b2c3; }")


def test_pages_that_swap_parts_bring_the_script_for_it() -> None:
    """htmx weighs as much as all styles, so a page asks for it by itself; whoever uses it must not forget."""
    texts = {named(path): path.read_text(encoding="utf-8") for path in TEMPLATES}
    uses = {name for name, text in texts.items() if re.search(r"\shx-(get|post|boost)=", text)}
    pages = {name for name in uses if not Path(name).name.startswith("_")}
    parts = {name.removeprefix("templates/") for name in uses - pages}
    pages |= {name for name, text in texts.items() if any(f'include "{part}"' in text for part in parts)}
    assert len(pages) >= 6
    assert [name for name in sorted(pages) if '{% include "_htmx.html" %}' not in texts[name]] == []
