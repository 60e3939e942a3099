"""Speed and cloth figures, measured here and now and printed side by side."""

from collections.abc import Callable
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from gowngroup.demo.allocation_benchmark import allocation_section
from gowngroup.demo.lay_benchmark import lay_section, outline_section, rectangle_section, width_section
from gowngroup.demo.mix_benchmark import mix_section
from gowngroup.demo.page_benchmark import page_section
from gowngroup.demo.smocking_benchmark import smocking_section
from gowngroup.demo.trim_benchmark import trim_section
from gowngroup.printing.benchmark import sheet_section

Say = Callable[[str], Any]


class Command(BaseCommand):
    help = "Print speed and cloth figures as ratios side by side; nothing is stored."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "sections",
            nargs="*",
            choices=[[], *SECTIONS],
            help="which tables; all of them where none is named",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        for name in options["sections"] or SECTIONS:
            SECTIONS[name](self.stdout.write)


# Each section prints one table.
SECTIONS: dict[str, Callable[[Say], None]] = {
    "lays": lay_section,
    "widths": width_section,
    "rectangles": rectangle_section,
    "outlines": outline_section,
    "mix": mix_section,
    "allocation": allocation_section,
    "smocking": smocking_section,
    "trims": trim_section,
    "sheets": sheet_section,
    "pages": page_section,
}
