"""Colours of text and edges against what lies behind them, by the formula of WCAG 2.2 (contrast ratio)."""

import re

import pytest
from django.conf import settings

TOKENS = (settings.BASE_DIR / "static/css/tokens.css").read_text(encoding="utf-8")
SCREEN, PAPER = TOKENS.split("@media print")
LIGHT, DARK = SCREEN.split("@media screen and (prefers-color-scheme: dark)")
TEXT_PAIRS = [
    ("ink", "paper"),
    ("ink", "paper-raised"),
    ("ink", "paper-sunk"),
    ("ink-soft", "paper"),
    ("ink-soft", "paper-raised"),
    ("ink-soft", "paper-sunk"),
    ("thread", "paper"),
    ("thread", "paper-raised"),
    ("thread-deep", "thread-faint"),
    ("on-thread", "thread"),
    ("on-thread", "thread-deep"),
    ("ink", "thread-faint"),
    ("alarm", "paper"),
    ("alarm", "paper-raised"),
    ("alarm", "alarm-faint"),
    ("ink", "alarm-faint"),
    ("on-demo", "demo"),
]
EDGE_PAIRS = [("edge", "paper"), ("edge", "paper-raised"), ("focus", "paper"), ("focus", "paper-raised")]


def colours(scheme: str) -> dict[str, str]:
    found = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", LIGHT))
    return found | dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", DARK)) if scheme == "dark" else found


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it for sRGB."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    ]
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("front", "back"), TEXT_PAIRS)
def test_text_is_readable(scheme: str, front: str, back: str) -> None:
    """WCAG 2.2, 1.4.3 (AA): text has a contrast of at least 4.5 to 1."""
    roles = colours(scheme)
    assert contrast(roles[front], roles[back]) >= 4.5


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("front", "back"), EDGE_PAIRS)
def test_edges_of_fields_are_seen(scheme: str, front: str, back: str) -> None:
    """WCAG 2.2, 1.4.11 (AA): edges of fields and the focus have a contrast of at least 3 to 1."""
    roles = colours(scheme)
    assert contrast(roles[front], roles[back]) >= 3


def test_the_formula_knows_black_and_white() -> None:
    """Black on white is 21 to 1 (WCAG 2.2, definition of contrast ratio)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


def test_paper_is_white_and_ink_black() -> None:
    """Printed pages spend no ink on backgrounds, and all that is read is black."""
    printed = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", PAPER))
    assert {printed[name] for name in printed if "paper" in name or "faint" in name} == {"#ffffff"}
    assert {printed[name] for name in ("ink", "ink-soft", "thread", "alarm")} == {"#000000"}
