"""Looks whether the drawings of a page hold numbers as SVG wants them, whatever language the page is in."""

import re

NUMBER = r"[-+]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
ONE = re.compile(rf"{NUMBER}(?:mm|cm|em|px|%)?")
SEVERAL = re.compile(rf"{NUMBER}(?: {NUMBER})*")
POINTS = re.compile(rf"{NUMBER},{NUMBER}(?: {NUMBER},{NUMBER})*")
PATH = re.compile(rf"(?:[MmLlHhVvCcSsQqTtAaZz]|{NUMBER}| )+")
TRANSFORM = re.compile(rf"(?:(?:translate|rotate|scale|matrix)\({NUMBER}(?: {NUMBER})*\) ?)+")
SHAPES: dict[str, re.Pattern[str]] = {
    "viewBox": SEVERAL,
    "stroke-dasharray": SEVERAL,
    "points": POINTS,
    "d": PATH,
    "transform": TRANSFORM,
    **dict.fromkeys(
        ("x", "y", "x1", "x2", "y1", "y2", "dx", "dy", "cx", "cy", "r", "rx", "ry", "width", "height", "font-size", "stroke-width"),
        ONE,
    ),
}  # fmt: skip
DRAWING = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
ATTRIBUTE = re.compile(r'\s([a-zA-Z0-9-]+)="([^"]*)"')


def wrong_numbers(page: str) -> set[str]:
    """Attributes of a page's drawings that no browser reads as meant, such as `x="1,5"`."""
    return {
        f'{name}="{value[:60]}"'
        for drawing in DRAWING.findall(page)
        for name, value in ATTRIBUTE.findall(drawing)
        if name in SHAPES and value and not SHAPES[name].fullmatch(value)
    }
