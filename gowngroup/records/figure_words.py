"""A figure of the planner as people read it: a share in hundredths, a choice as yes or no, else with its unit."""

from django.utils.translation import gettext as _

from gowngroup.records.written import known, written_number

SHARE, CHOICE, RATIO = "share", "yes or no", "ratio"


def figure_words(value: float, unit: str) -> str:
    """`4 %`, `no`, `2.5 to 1`, `25 mm`: a figure's value with its unit."""
    if unit == CHOICE:
        return _("yes") if value else _("no")
    number = written_number(f"{100 * value:.4g}" if unit == SHARE else f"{value:.10g}")
    return f"{number} {unit_words(unit)}".strip()


def unit_words(unit: str) -> str:
    """What is written behind the number of a figure."""
    return {SHARE: "%", RATIO: _("to 1")}.get(unit) or known(unit)
