"""What keeps a chart from being worked, in sentences that name the row and the way out."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import groupby

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.planning import smocking

OF_THE_PLEATS = ("odd_pleats", "fewer_pleats_than_one_repeat")


def chart_sentences(chart: smocking.Chart, pleat_count: int) -> tuple[str, ...]:
    """Why a chart cannot be worked over a number of pleats, and which numbers next to it suit every row."""
    faults = smocking.chart_faults(chart, pleat_count)
    sentences = fault_sentences(faults)
    if any(fault.reason in OF_THE_PLEATS for fault in faults):
        return (*sentences, nearest_sentence(smocking.nearest_pleat_counts(chart, pleat_count)))
    return sentences


def fault_sentences(faults: Sequence[smocking.SmockingFault]) -> tuple[str, ...]:
    """A sentence for each fault; rows that share one are named together."""
    ordered = sorted(enumerate(faults), key=lambda entry: (_first_place(entry[1], faults), entry[0]))
    grouped = groupby((fault for _place, fault in ordered), key=_likeness)
    return tuple(_sentence(list(alike)) for _likeness_of, alike in grouped)


def _likeness(fault: smocking.SmockingFault) -> tuple[object, ...]:
    return fault.reason, fault.found, fault.needed


def _first_place(fault: smocking.SmockingFault, faults: Sequence[smocking.SmockingFault]) -> int:
    return [_likeness(each) for each in faults].index(_likeness(fault))


def nearest_sentence(nearest: smocking.NearestPleatCounts) -> str:
    """The numbers of pleats that suit every row."""
    if nearest.at_or_below in (None, nearest.at_or_above):
        return _("The nearest number of pleats that suits every row is %(above)d.") % {
            "above": nearest.at_or_above
        }
    return _("The nearest numbers of pleats that suit every row are %(below)d and %(above)d.") % {
        "below": nearest.at_or_below,
        "above": nearest.at_or_above,
    }


def spare_sentence(compiled: smocking.CompiledRow) -> str:
    """How many pleats a row leaves without stitches."""
    return ngettext(
        "Row %(row)s leaves %(count)d pleat at each side without stitches.",
        "Row %(row)s leaves %(count)d pleats at each side without stitches.",
        compiled.spare_each_side,
    ) % {"row": compiled.row.name, "count": compiled.spare_each_side}


def height_words(row: float) -> str:
    """A pleated row's number, `2` or `2½`."""
    height = Fraction(row).limit_denominator(12)
    fractions = {Fraction(1, 2): "½", Fraction(1, 3): "⅓", Fraction(2, 3): "⅔", Fraction(1, 4): "¼"}
    whole, rest = divmod(height, 1)
    return f"{whole}{fractions.get(rest, '¾' if rest else '')}"


def low_row_sentence(row: smocking.ChartRow, pleated_row_count: int) -> str:
    """A row of the chart reaches below the rows that a size has pleated."""
    return _(
        "Row %(row)s reaches down to pleated row %(needed)s; this size has only %(found)d. Choose a chart with fewer rows."
    ) % {"row": row.name, "needed": height_words(float(row.bottom_row)), "found": pleated_row_count}


def _sentence(faults: Sequence[smocking.SmockingFault]) -> str:
    first = faults[0]
    values = {
        "row": ", ".join(fault.row_name for fault in faults),
        "found": height_words(first.found),
        "needed": height_words(first.needed),
    }
    return _fault_words(first, len(faults)) % values


def _fault_words(fault: smocking.SmockingFault, row_count: int) -> str:
    if fault.reason == "odd_pleats":
        return ngettext(
            "Row %(row)s is worked from a valley in the middle, so the pleats must be even: not %(found)s.",
            "Rows %(row)s are worked from a valley in the middle, so the pleats must be even: not %(found)s.",
            row_count,
        )
    if fault.reason == "fewer_pleats_than_one_repeat":
        return ngettext(
            "Row %(row)s needs at least %(needed)s pleats for one repeat; there are %(found)s.",
            "Rows %(row)s need at least %(needed)s pleats for one repeat; there are %(found)s.",
            row_count,
        )
    return _row_words(fault)


def _row_words(fault: smocking.SmockingFault) -> str:
    if fault.reason == "turns_do_not_meet" and fault.found == fault.needed:
        return _(
            "Row %(row)s cannot meet the row above it: give both as many steps between their turns, one a low"
            " middle stitch and the other a high one; the first row has none above."
        )
    sentences = {
        "no_rows": _("The smocking chart has no rows yet."),
        "steps_do_not_suit_stitch": _(
            "Row %(row)s: waves and trellises have steps between their turns, level stitches have none."
        ),
        "rise_does_not_suit_stitch": _(
            "Row %(row)s: waves and trellises rise by half or whole spaces, level stitches do not rise."
        ),
        "step_too_steep": _(
            "Row %(row)s rises %(found)s spaces, which is too steep: with steps of one space at most it rises"
            " %(needed)s. Give it more steps, or let it rise less."
        ),
        "strands_below_one": _("Row %(row)s needs at least one strand of floss."),
        "turns_do_not_meet": _(
            "Row %(row)s cannot meet the row above it: its top lies at row %(found)s, and the row above ends at"
            " row %(needed)s."
        ),
        "row_off_pleated_height": _(
            "Row %(row)s reaches row %(found)s, outside the pleated rows: the last it may reach is %(needed)s."
        ),
    }
    return sentences[fault.reason]
