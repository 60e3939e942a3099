"""Cards that are of no one stitch: floss and needle, pleats and rows, starting and ending (common practice, no source)."""

from dataclasses import replace

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.catalog.drawing.stitch_pictures import PictureOf
from gowngroup.catalog.drawing.stitch_tools import fold_picture, strands_picture
from gowngroup.catalog.planner import PlannerSettings
from gowngroup.catalog.stitch_cards.rows import ROWS, WorkedRow, sample_rows, worked_row
from gowngroup.catalog.stitch_cards.steps import (
    Step,
    phases,
    picture_of,
    picture_words,
    pleats_beside,
    rows_beside,
    start_sentence,
    take_sentence,
    thread_sentence,
)
from gowngroup.catalog.stitch_cards.stitches import StitchCard, common_practice
from gowngroup.catalog.stitch_cards.titles import TITLES
from gowngroup.planning.smocking import Move
from gowngroup.records.templatetags.gown import mm_length

USUAL_STRANDS = ROWS["cable"].strand_count


def needle_card(settings: PlannerSettings) -> StitchCard:
    """Which floss, how many strands, which needle."""
    strands = int(settings.figures["floss_strand_count"])
    return StitchCard(
        key="needle",
        has_hand=False,
        title=str(TITLES["needle"]),
        purpose=(_("What you sew with, and how to get it ready."),),
        steps=(
            Step(
                sentences=(
                    _("Cut the floss %(length)s long. A longer thread rubs thin and knots.")
                    % {"length": mm_length(settings.figures["floss_cut_mm"])},
                )
            ),
            Step(
                sentences=(
                    _(
                        "Draw out one strand at a time, %(count)d in all, and lay them together again. So they lie smooth."
                    )
                    % {"count": USUAL_STRANDS},
                ),
                tool=strands_picture(strand_count=strands, drawn_out=USUAL_STRANDS),
                label=_("Picture: floss of %(strands)d strands, %(count)d of them drawn out.")
                % {"strands": strands, "count": USUAL_STRANDS},
            ),
            Step(
                sentences=(
                    _(
                        "The chart says how many strands each row takes: usually 3, 2 for fine work, 4 for pictures."
                    ),
                )
            ),
            Step(
                sentences=(
                    _(
                        "Take a crewel needle, which has a long eye and a sharp point. No. 8 does for most rows."
                    ),
                    _("The higher the number, the finer the needle: no. 9 for 2 strands, no. 7 for 4."),
                )
            ),
        ),
        hints=needle_hints(),
        source=common_practice(),
    )


def needle_hints() -> tuple[str, ...]:
    """What to mind with needles round things for babies."""
    return (
        _(
            "Count your needles and pins before you begin, and count them again when you stop. The numbers must agree."
        ),
        _(
            "Is one missing? Stop, and ring us before the gown goes anywhere. Keep the gown by until the needle is found."
        ),
        _("Never leave a needle in the work, and use no pins while smocking."),
        _("Follow your local rules and the ward’s own policy; the ward decides."),
    )


def pleats_card(settings: PlannerSettings) -> StitchCard:
    """What a pleat, a row and the centre are, and how deep the needle goes."""
    bite_mm = settings.pleater.take_up_mm * settings.figures["floss_bite_share"]
    holding = settings.pleater.holding_row_count
    return StitchCard(
        key="pleats",
        has_hand=False,
        title=str(TITLES["pleats"]),
        purpose=(_("Where you are on the cloth, and in the chart."),),
        steps=(
            Step(
                sentences=(
                    _("Hold the pleats upright, the side you smock towards you."),
                    _(
                        "Draw up the pleating threads to the width on your kit sheet, and tie their ends in pairs so that no row slips."
                    ),
                )
            ),
            Step(
                sentences=(
                    _("Each pleating thread is a row. Row 1 is the first that gets stitches."),
                    ngettext(
                        "%(count)d more row is pleated only to hold the cloth: leave it without stitches.",
                        "%(count)d more rows are pleated only to hold the cloth: leave them without stitches.",
                        holding,
                    )
                    % {"count": holding},
                    _("Half a row is halfway between two pleating threads."),
                )
            ),
            Step(
                sentences=(
                    _(
                        "The centre is a valley between two pleats. Count from both edges to find it, and mark it with a thread."
                    ),
                    _(
                        "In the chart, upright lines are pleats, dotted lines are rows, and the line down the middle is the centre."
                    ),
                ),
                chart=sample_rows(settings),
                label=_(
                    "Picture: a chart with two rows of stitches, its rows numbered at the left, its centre marked."
                ),
            ),
            Step(
                sentences=(
                    _(
                        "The needle goes through the top of the fold only, about %(length)s mm deep, along the pleating thread."
                    )
                    % {"length": f"{bite_mm:.0f}"},
                ),
                tool=fold_picture(
                    take_up_mm=settings.pleater.take_up_mm,
                    cloth_ratio=settings.figures["cloth_ratio_medium"],
                    bite_mm=bite_mm,
                ),
                label=_(
                    "Picture: pleats seen from the end; the needle goes through one fold, just below its top."
                ),
            ),
        ),
        hints=(
            _("Every few stitches look along the pleats: they must stand straight."),
            _("Put the work away with its needle in the needle case, not in the cloth."),
        ),
        source=common_practice(),
    )


def start_card(settings: PlannerSettings, *, is_left_handed: bool) -> StitchCard:
    """How a thread is fastened, comes up, and how the second half of a row begins."""
    worked = worked_row("cable", settings, is_left_handed=is_left_handed)
    back = picture_of(worked.seen_from_behind(), done_count=0, pose="none", is_fastened=True)
    up = picture_of(worked, done_count=0, pose="up")
    first = picture_of(worked, done_count=0)
    second = _second_half(worked)
    return StitchCard(
        key="start",
        title=str(TITLES["start"]),
        purpose=(_("For every new thread, and for both halves of a row that starts at the centre."),),
        steps=(
            Step(
                sentences=(
                    _(
                        "On the wrong side, make two tiny stitches one over the other across the fold beside pleat 1."
                    ),
                    _(
                        "They hold the thread without a knot: a knot presses on a baby’s skin. Leave no end hanging."
                    ),
                ),
                picture=back,
                label=_("Picture: the wrong side, two tiny stitches across one fold."),
            ),
            Step(sentences=(start_sentence(up.way),), picture=up, label=" ".join(picture_words(up))),
            Step(
                sentences=(
                    thread_sentence(worked.run[0]),
                    take_sentence(phases(worked.run)[0]),
                    _("The first stitch of a row that starts at the centre crosses the centre."),
                ),
                picture=first,
                label=" ".join(picture_words(first)),
            ),
            Step(
                sentences=(
                    _(
                        "The second half: take a fresh thread and turn the work upside down. Now you work away from the centre in the usual direction again."
                    ),
                    _(
                        "Start at the same pleat 1. Turn the chart round too: what it shows above the needle is now below."
                    ),
                ),
                picture=second,
                label=" ".join(picture_words(second)),
            ),
        ),
        hints=(
            _(
                "A row that starts at an edge needs no second half: work it in one go from the edge that the chart names."
            ),
            needle_hints()[0],
        ),
        source=common_practice(),
    )


def end_card(settings: PlannerSettings, *, is_left_handed: bool) -> StitchCard:
    """How a thread ends at the end of a row or amid it, and how the next takes over."""
    worked = worked_row("cable", settings, is_left_handed=is_left_handed)
    behind = worked.seen_from_behind()
    last = len(worked.run) - 1
    down = picture_of(worked, done_count=last, pose="down")
    back = picture_of(behind, done_count=last, pose="none", is_fastened=True)
    up = picture_of(worked, done_count=last, pose="up")
    return StitchCard(
        key="end",
        title=str(TITLES["end"]),
        purpose=(_("At the end of a row, or when the thread is nearly used up."),),
        steps=(
            Step(
                sentences=(
                    _("Stop when %(length)s of thread are left: you need that much to fasten it.")
                    % {"length": mm_length(settings.figures["floss_waste_mm"])},
                    _("Put the needle down to the wrong side where the thread came out."),
                ),
                picture=down,
                label=" ".join(picture_words(down)),
            ),
            Step(
                sentences=(
                    _("On the wrong side, make two tiny stitches one over the other across the fold."),
                    _(
                        "Slide the needle along inside the fold, about as far as your fingertip is wide, and cut the thread close to the cloth."
                    ),
                ),
                picture=back,
                label=_("Picture: the wrong side, two tiny stitches across one fold."),
            ),
            Step(
                sentences=(
                    _(
                        "Amid a row: fasten the new thread beside the same pleat, bring it up where the old one went down, and go on as if nothing had happened."
                    ),
                ),
                picture=up,
                label=" ".join(picture_words(up)),
            ),
        ),
        hints=(
            _("No loose threads and no long floats inside: tiny fingers catch in them."),
            _("No knots, above all not where the baby lies on them."),
            *needle_hints(),
        ),
        source=common_practice(),
    )


def _second_half(worked: WorkedRow) -> PictureOf:
    """The start of the second half with the work turned upside down, stitches of the first half behind it."""
    half, other = worked.other_run, worked.run[:3]
    turned = tuple(_upside_down(move, worked) for move in half)
    earlier = tuple(_upside_down(move, worked) for move in other)
    return PictureOf(
        moves=turned,
        done_count=0,
        earlier=earlier,
        pleats=pleats_beside(turned, earlier),
        rows=rows_beside(turned),
    )


def _upside_down(move: Move, worked: WorkedRow) -> Move:
    last, rows = worked.compiled.pleat_count - 1, 2 * float(worked.compiled.row.top_row)
    return replace(
        move,
        from_pleat=last - move.from_pleat,
        to_pleat=last - move.to_pleat,
        from_row=rows - move.from_row,
        to_row=rows - move.to_row,
        thread="below" if move.thread == "above" else "above",
    )
