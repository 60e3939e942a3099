"""What a kit sheet leaves out and says where a kit is only one stage of a gown: pleat, smock or make up."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.conf import settings
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, override, pgettext

from gowngroup.batches.models import Kit, Stage
from gowngroup.catalog.planner import GownNeed, GownPiece
from gowngroup.catalog.planner.values import PleatingGuide
from gowngroup.people.models import Group
from gowngroup.planning.smocking import PleaterProfile
from gowngroup.printing.planner.kit_lines import HARD_SPACE
from gowngroup.printing.planner.kit_seams import seams_in_words
from gowngroup.printing.templatetags.sheets import fine_length
from gowngroup.records.templatetags.gown import mm_length

# The pieces that are pleated, under whichever name a kind of design cuts them; else those round the neck.
PANELS = ("front panel", "smocked panel")
ROUND_THE_NECK = ("front", "back", "sleeve")


@dataclass(frozen=True, slots=True, kw_only=True)
class StageParts:
    """Which parts of the sheet a stage needs."""

    has_pieces: bool = True
    has_trims: bool = True
    has_guide: bool = True
    has_chart: bool = True
    has_measures: bool = True


PARTS: dict[str, StageParts] = {
    Stage.WHOLE: StageParts(),
    Stage.PLEAT: StageParts(has_trims=False, has_chart=False, has_measures=False),
    Stage.SMOCK: StageParts(has_pieces=False, has_trims=False, has_guide=False, has_measures=False),
    Stage.MAKE_UP: StageParts(has_guide=False, has_chart=False),
}


def stage_title(kit: Kit) -> str:
    """Which stage of the work this sheet is for; nothing for a whole gown."""
    titles = {
        Stage.PLEAT: _("To pleat only – stage 1 of 3"),
        Stage.SMOCK: _("To smock only – stage 2 of 3"),
        Stage.MAKE_UP: _("To make up only – stage 3 of 3"),
    }
    return titles.get(Stage(kit.stage), "")


def comes_in(kit: Kit, need: GownNeed) -> str:
    """What a stage starts from; nothing for a whole gown that is not pleated yet."""
    guide = need.pleating
    if kit.stage == Stage.WHOLE:
        return _("The pleating is done already.") if kit.is_pleated and guide else ""
    if kit.stage == Stage.PLEAT:
        return _("Comes to you: the pieces listed here, cut out, and the pleating thread.")
    if kit.stage == Stage.MAKE_UP:
        return _("Comes to you: the smocking, done and blocked to size, and what is listed here, cut out.")
    return _("Comes to you: the cloth, pleated with %(pleats)s in %(rows)s, and the floss.") % {
        "pleats": ngettext("%(count)d pleat", "%(count)d pleats", guide.pleat_count if guide else 0)
        % {"count": guide.pleat_count if guide else 0},
        "rows": ngettext("%(count)d row", "%(count)d rows", guide.row_count if guide else 0)
        % {"count": guide.row_count if guide else 0},
    }


def goes_out(kit: Kit, group: Group) -> str:
    """What a stage ends with, and to whom it goes next; nothing for a whole gown (common practice, no source)."""
    ends = {
        Stage.PLEAT: _(
            "Goes on from you: the pleated cloth with all its threads in, their ends tied loosely in pairs, to whoever smocks it."
        ),
        Stage.SMOCK: _(
            "Goes on from you: the smocking with the pleating threads that the last step leaves in, to whoever makes the gown up."
        ),
        Stage.MAKE_UP: _("Goes on from you: the finished gown, to be checked, washed and bagged."),
    }
    end = ends.get(Stage(kit.stage), "")
    if not end or not group.pick_up_place:
        return end
    return " ".join((end, _("Bring it to: %(place)s.") % {"place": group.pick_up_place}))


def pieces_of_stage(kit: Kit, pieces: Sequence[GownPiece]) -> tuple[GownPiece, ...]:
    """The pieces that go with a stage: those to be pleated, or those that are not among them."""
    parts = pleated_parts(pieces)
    if kit.stage == Stage.PLEAT:
        return tuple(piece for piece in pieces if piece.part in parts and not piece.is_companion)
    if kit.stage == Stage.MAKE_UP:
        return tuple(piece for piece in pieces if piece.part not in parts or piece.is_companion)
    return tuple(pieces)


def seams_of_stage(kit: Kit, pieces: Sequence[GownPiece]) -> str:
    """How far in to sew and how much to turn under, where a stage sews pieces together."""
    is_sewn = kit.stage in (Stage.WHOLE, Stage.MAKE_UP) or pleated_parts(pieces) == ROUND_THE_NECK
    return seams_in_words(pieces) if is_sewn and PARTS[kit.stage].has_pieces else ""


def pleated_parts(pieces: Sequence[GownPiece]) -> tuple[str, ...]:
    """The parts that are pleated: a panel, else all that join to the strip round the neck."""
    panels = tuple(piece.part for piece in pieces if piece.part in PANELS)
    return panels or ROUND_THE_NECK


def steps_of_stage(stage: str, steps: Sequence[str], ends: Sequence[int] = ()) -> tuple[str, ...]:
    """The steps of a stage; all of them where that leaves it without any.

    `ends` are how many steps are done when pleating and smocking end, as the design says; where it does not, its
    words do.
    """
    if stage == Stage.WHOLE:
        return tuple(steps)
    first, after = ends or _told_by_words(steps)
    found = {
        Stage.PLEAT: steps[:first],
        Stage.SMOCK: steps[first:after],
        Stage.MAKE_UP: steps[after:],
    }[Stage(stage)]
    return tuple(found or steps)


def _told_by_words(steps: Sequence[str]) -> tuple[int, int]:
    """Pleating ends before the first step that speaks of smocking; smocking goes on with steps that still speak of it or of pleats."""
    smock, pleat = _parts_of_words()
    first = next((at for at, step in enumerate(steps) if _speaks_of(smock, step)), 0)
    after = first
    while after < len(steps) and _speaks_of(smock | pleat, steps[after]):
        after += 1
    return first, after


def _parts_of_words() -> tuple[set[str], set[str]]:
    """Parts of words about smocking and about pleating, of all languages, for steps stay as the group typed them."""
    smock, pleat = set[str](), set[str]()
    for language, _name in settings.LANGUAGES:
        with override(language):
            # Translators: one or more, with a space between
            smock |= set(pgettext("part of a word, to find steps about smocking", "smock").split())
            # Translators: one or more, with a space between
            pleat |= set(pgettext("part of a word, to find steps about pleating", "pleat").split())
    return smock, pleat


def _speaks_of(parts: set[str], step: str) -> bool:
    return any(part in step.lower() for part in parts)


def pleating_in_short(guide: PleatingGuide, pleater: PleaterProfile, first_row_mm: float | None) -> str:
    """Rows and pleats as one sets up the pleater by them: `Rows to thread: 7 (5 + 2 holding), 9.5 mm apart.`"""
    rows = _("Rows to thread: %(rows)s (%(design)s + %(holding)s holding), %(space)s apart.") % {
        "rows": guide.row_count,
        "design": guide.design_row_count,
        "holding": pleater.holding_row_count,
        "space": fine_length(guide.row_space_mm),
    }
    first = _("Row 1 lies %(length)s below the cut edge.") % {"length": fine_length(first_row_mm)}
    pleats = _("Pleats to smock: %(count)s, and %(spare)s to spare at each end.") % {
        "count": guide.pleat_count,
        "spare": pleater.spare_each_side_count,
    }
    return " ".join((rows, *((first,) if first_row_mm else ()), pleats))


def smocked_width(need: GownNeed) -> str:
    """To which width the smocking is blocked, row by row where the rows differ."""
    guide = need.pleating
    if guide is None:
        return ""
    widths = [mm_length(row.finished_mm) for row in guide.rows]
    if len(set(widths)) < 2:
        return _("Block the smocking to %(width)s.") % {"width": mm_length(guide.finished_mm)}
    rows = ", ".join(
        (_("row %(number)s: %(width)s") % {"number": row.number, "width": width}).replace(" ", HARD_SPACE)
        for row, width in zip(guide.rows, widths, strict=True)
    )
    return _("Block each row to its own width: %(rows)s.") % {"rows": rows}
