"""What the circle has made its own of the designs a catalog starts with."""

from datetime import datetime

from gowngroup.catalog.actions import (
    NeedEntry,
    OutlineEntry,
    PieceEntry,
    RevisionDetails,
    SizeEntry,
    add_design,
    change_design,
    change_revision,
    set_design_sizes,
    set_needs,
    set_outlines,
    set_pieces,
)
from gowngroup.catalog.models import Design, DesignRevision, DesignSize
from gowngroup.catalog.queries import newest_revision
from gowngroup.catalog.starting import BEADING_STEP, ENTREDEUX_PLACE, ENTREDEUX_STEP, SQUARES_STEP
from gowngroup.demo.scene import size_to
from gowngroup.people.models import Person

CM, MM = 10_000, 1_000


def add_keepsakes(*, by: Person, at: datetime) -> DesignRevision:
    """From the cloth of each wrap two matching squares are cut: one stays with the baby, one with the family."""
    wrap = newest_revision(Design.objects.get(kind=Design.Kind.WRAP))
    *before, last = wrap.order_of_work
    details = RevisionDetails(
        closure=wrap.closure,
        difficulty=wrap.difficulty,
        order_of_work=(*before, SQUARES_STEP, last),
        companions=(DesignRevision.Companion.KEEPSAKES.value,),
    )
    return change_revision(revision=wrap, details=details, by=by, at=at)


def set_in_fine_trims(*, by: Person, at: datetime) -> DesignRevision:
    """The yoke gown is finished as a keen member does it: entredeux above the smocking, beading above the lace."""
    yoke = newest_revision(Design.objects.get(kind=Design.Kind.YOKE))
    steps = {
        "Sew the panel to the front yoke.": ENTREDEUX_STEP,
        "Hem the sleeves, sew their lace on, and sew the sleeves in.": BEADING_STEP,
    }
    details = RevisionDetails(
        chart=yoke.chart,
        closure=yoke.closure,
        difficulty=yoke.difficulty,
        order_of_work=tuple(steps.get(step, step) for step in yoke.order_of_work),
        stage_ends=tuple(yoke.stage_ends),
    )
    changed = change_revision(revision=yoke, details=details, by=by, at=at)
    return set_needs(revision=changed, needs=_FINE_TRIMS, by=by, at=at)


def keep_old_patterns(*, by: Person, at: datetime) -> None:
    """Two gowns nobody makes any more are kept as they were cut: one of rectangles, one of outlines."""
    details = RevisionDetails(is_for_memorial=False)
    shift = add_design(name="Straight shift", kind=Design.Kind.RECTANGLES, details=details, by=by, at=at)
    set_pieces(design_size=_in_one_size(shift, by=by, at=at), pieces=_SHIFT, by=by, at=at)
    bell = add_design(name="Bell gown", kind=Design.Kind.OUTLINES, details=details, by=by, at=at)
    set_outlines(design_size=_in_one_size(bell, by=by, at=at), outlines=_BELL, by=by, at=at)
    for revision in (shift, bell):
        change_design(design=revision.design, name=revision.design.name, is_active=False, by=by, at=at)


def _in_one_size(revision: DesignRevision, *, by: Person, at: datetime) -> DesignSize:
    size = size_to(2500)
    measures = {"neck_mm": 190.0, "length_mm": 300.0}
    kept = set_design_sizes(
        revision=revision, entries=[SizeEntry(size=size, overrides=measures)], by=by, at=at
    )
    return kept.sizes.get()


_FINE_TRIMS = (
    NeedEntry(
        kind="entredeux",
        place=ENTREDEUX_PLACE,
        edge="yoke_seam",
        end_allowance_um=7 * MM,
        width_um=4 * MM,
    ),
    NeedEntry(
        kind="beading", place="sleeve hems", edge="sleeve_hem", end_allowance_um=7 * MM, is_threaded=True
    ),
    NeedEntry(kind="lace", place="sleeve hems", edge="sleeve_hem", gather_percent=150),
    NeedEntry(kind="notion", place="flat fastening, not of metal"),
)
_SHIFT = (
    PieceEntry(name="front", piece_count=1, width_um=26 * CM, length_um=33 * CM, part="front"),
    PieceEntry(name="back", piece_count=2, width_um=16 * CM, length_um=33 * CM, part="back"),
    PieceEntry(name="sleeve", piece_count=2, width_um=21 * CM, length_um=12 * CM, part="sleeve"),
    PieceEntry(name="neck binding", piece_count=1, width_um=3 * CM, length_um=23 * CM, part="binding"),
)
_BELL = (
    OutlineEntry(
        name="front",
        piece_count=1,
        part="front",
        is_on_fold=True,
        allowance_um=7 * MM,
        corners_um=(
            (0, 4 * CM, -12 * MM),
            (5 * CM, 0, 0),
            (9 * CM, 1 * CM, -8 * MM),
            (10 * CM, 8 * CM, -10 * MM),
            (17 * CM, 31 * CM, 5 * MM),
            (0, 33 * CM, 0),
        ),
    ),
    OutlineEntry(
        name="back",
        piece_count=2,
        part="back",
        is_pair=True,
        allowance_um=7 * MM,
        corners_um=(
            (0, 1 * CM, 0),
            (5 * CM, 0, 0),
            (9 * CM, 1 * CM, -8 * MM),
            (10 * CM, 8 * CM, -10 * MM),
            (17 * CM, 31 * CM, 5 * MM),
            (0, 33 * CM, 0),
        ),
    ),
    OutlineEntry(
        name="sleeve",
        piece_count=2,
        part="sleeve",
        allowance_um=7 * MM,
        corners_um=((0, 4 * CM, 20 * MM), (19 * CM, 4 * CM, 0), (18 * CM, 12 * CM, 0), (1 * CM, 12 * CM, 0)),
    ),
)
