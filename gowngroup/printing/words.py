"""Sentences that stand on every kit sheet, and numbers in words."""

from datetime import date
from functools import cache

from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from unicode_rbnf import RbnfEngine

from gowngroup.catalog import models
from gowngroup.catalog.planner import GownNeed, TrimNeed
from gowngroup.records.reader import current_reader
from gowngroup.records.templatetags.gown import mm_length, size_length
from gowngroup.records.written import known, written_date

UNITS = [
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
]  # fmt: skip
# In Spanish gowns are feminine: veintiuna batitas.
COUNTED = "spellout-cardinal-feminine"
TENS = ["", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def in_words(number: int) -> str:
    """A count below a million in the reader's words, “one hundred and twelve” gowns; ValueError for any other."""
    if not 0 <= number < 1_000_000:
        raise ValueError(number)
    language = current_reader().language
    if language == "en":
        return _in_english(number)
    spelt = _speller(language).format_number(number)
    return spelt.text_by_ruleset.get(COUNTED, spelt.text)


@cache
def _speller(language: str) -> RbnfEngine:
    return RbnfEngine.for_language(language)


def _in_english(number: int) -> str:
    if number < 20:
        return UNITS[number]
    if number < 100:
        tens, rest = divmod(number, 10)
        return TENS[tens] + (f"-{UNITS[rest]}" if rest else "")
    step, name = (1000, "thousand") if number >= 1000 else (100, "hundred")
    many, rest = divmod(number, step)
    joint = " and " if 0 < rest < 100 else " "
    return f"{_in_english(many)} {name}" + (joint + _in_english(rest) if rest else "")


def gowns_in_words(count: int) -> str:
    """`1 gown`, `3 gowns`."""
    return ngettext("%(count)d gown", "%(count)d gowns", count) % {"count": count}


def day_in_words(day: date) -> str:
    """A day written out: `7 April 2026`."""
    return written_date(day, "j F Y")


def size_as_length(body_length_um: int) -> str:
    """How a size is named where parents may see it, in whole centimetres or half inches."""
    return _("for a baby up to %(length)s") % {"length": size_length(body_length_um)}


def usual_steps(kind: str) -> tuple[str, ...]:
    """The order of work where the design has none of its own (common practice, no source)."""
    if kind == models.Design.Kind.ROUND_NECK:
        return (
            _("Hem the sleeves and sew on their lace."),
            _("Sew the raglan seams as narrow French seams and trim them."),
            _("Pleat the gown as one strip and find its centre."),
            _("Smock, then steam-block to size without touching the pleats."),
            _("Draw out the pleating threads but the top holding row."),
            _("Bind the neck, then remove that last thread."),
            _("Sew underarm and side seams, then the back."),
        )
    if kind == models.Design.Kind.WRAP:
        return (
            _("Sew wrap and lining together all round, leaving an opening to turn them."),
            _("Turn, press, and close the opening with flat stitches."),
        )
    return (
        _("Pleat the panel and find its centre."),
        _("Smock, then steam-block to size without touching the pleats."),
        _("Join the panel to the yoke; sew the shoulders."),
        _("Sew in the sleeves, then the sides, then the back."),
    )


def bag_caution() -> str:
    """What stands on every plastic bag."""
    return _("Keep the plastic bag away from babies and children: danger of suffocation.")


def cautions() -> tuple[str, ...]:
    """The usual cautions for baby clothes; the ward decides."""
    return (
        _("No cords, ties or drawstrings at the head or neck, and none tied behind the neck."),
        _(
            "No metal: no snaps, hooks or pins left in. Nothing small that can come off: no beads, no buttons."
        ),
        _("No knot and no thick seam on the centre back; the gown opens fully and lies flat."),
        *handling_cautions(),
    )


def handling_cautions() -> tuple[str, ...]:
    """What to mind with needle, thread and cloth at any stage."""
    return (
        _("No pins while smocking. Count needles and pins out, and count them back."),
        _("No long floats or loose threads inside: tiny fingers catch in them."),
        _("No pens whose marks vanish with heat: they come back in the cold."),
        _("Sew with clean hands, away from smoke and pets; wash without scent. A home wash is “washed”, not “disinfected”."),
        bag_caution(),
    )  # fmt: skip


def trim_place(trim: TrimNeed) -> str:
    """Where a trim goes and, where it is not simply sewn on, how: `yoke, set in flat, ends caught in the seams`."""
    if trim.is_drawn_through:
        return _("%(place)s, drawn through the beading, ends caught in the seams, never tied") % {
            "place": known(trim.place)
        }
    if trim.batiste_mm is not None:
        return _("%(place)s, set in flat, its batiste trimmed to %(width)s") % {
            "place": known(trim.place),
            "width": mm_length(trim.batiste_mm),
        }
    if trim.is_set_in:
        return _("%(place)s, set in flat, ends caught in the seams") % {"place": known(trim.place)}
    return known(trim.place)


def seam_steps(need: GownNeed) -> tuple[str, ...]:
    """Which machine stitch the seams are sewn with, to stand before the order of work; nothing for lockstitch."""
    lockstitch = models.DesignRevision.SeamClass.LOCKSTITCH
    classes = [each.seam.stitch_class for each in need.seam_threads if each.seam.name == "seams"]
    return tuple(
        _("Sew the seams with %(stitch)s.") % {"stitch": models.DesignRevision.SeamClass(stitch_class).label}
        for stitch_class in classes
        if stitch_class != lockstitch
    )
