"""A figure of the planner as people read it: a share in hundredths, a choice as yes or no, else with its unit."""

from collections.abc import Callable, Mapping

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.records.written import known, written_number

SHARE, CHOICE, RATIO = "share", "yes or no", "ratio"


def figure_words(value: float, unit: str) -> str:
    """`4 %`, `no`, `2.5 to 1`, `25 mm`, `1 cut`: a figure's value with its unit."""
    if unit == CHOICE:
        return _("yes") if value else _("no")
    number = written_number(f"{100 * value:.4g}" if unit == SHARE else f"{value:.10g}")
    if unit in COUNTED:
        return COUNTED[unit](1 if value == 1 else 2) % {"number": number}
    return f"{number} {unit_words(unit)}".strip()


COUNTED: Mapping[str, Callable[[int], str]] = {
    "cuts": lambda count: ngettext("%(number)s cut", "%(number)s cuts", count),
    "gowns": lambda count: ngettext("%(number)s gown", "%(number)s gowns", count),
    "gowns a month": lambda count: ngettext("%(number)s gown a month", "%(number)s gowns a month", count),
    "kits": lambda count: ngettext("%(number)s kit", "%(number)s kits", count),
    "minutes": lambda count: ngettext("%(number)s minute", "%(number)s minutes", count),
    "minutes a metre": lambda count: ngettext(
        "%(number)s minute a metre", "%(number)s minutes a metre", count
    ),
    "needlefuls": lambda count: ngettext("%(number)s needleful", "%(number)s needlefuls", count),
    "pleats": lambda count: ngettext("%(number)s pleat", "%(number)s pleats", count),
    "rows": lambda count: ngettext("%(number)s row", "%(number)s rows", count),
    "stitches an hour": lambda count: ngettext(
        "%(number)s stitch an hour", "%(number)s stitches an hour", count
    ),
    "strands": lambda count: ngettext("%(number)s strand", "%(number)s strands", count),
}


def unit_words(unit: str) -> str:
    """What is written behind the number of a figure."""
    return {SHARE: "%", RATIO: _("to 1")}.get(unit) or known(unit)
