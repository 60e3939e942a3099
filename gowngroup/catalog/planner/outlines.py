"""A piece the group drew itself, as a pattern piece."""

from django.utils.translation import gettext as _

from gowngroup.catalog.limits import WIDEST_CLOTH_UM
from gowngroup.catalog.models import OutlinePiece
from gowngroup.catalog.planner.rows import UM_PER_MM
from gowngroup.planning.drafting import Piece
from gowngroup.planning.own_outlines import BadOutline, OutlinePoint, OwnOutline, own_outline_piece


def outline_as_piece(row: OutlinePiece) -> Piece:
    """The pattern piece of a row; raises planning's BadOutline where it cannot be cut."""
    return own_outline_piece(
        OwnOutline(
            name=row.name,
            points=tuple(
                OutlinePoint(x_mm=x / UM_PER_MM, y_mm=y / UM_PER_MM, bow_mm=bow / UM_PER_MM)
                for x, y, bow in row.corners_um
            ),
            count=row.piece_count,
            allowance_mm=row.allowance_um / UM_PER_MM,
            grain_angle_deg=float(row.grain_deg),
            is_pair=row.is_pair,
            is_on_fold=row.is_on_fold,
            may_turn=row.may_turn,
        ),
        cloth_width_mm=WIDEST_CLOTH_UM / UM_PER_MM,
    )


def outline_sentence(row: OutlinePiece) -> str:
    """Why a piece cannot be cut as it is drawn; empty where it can."""
    try:
        outline_as_piece(row)
    except BadOutline as refusal:
        return _words(refusal)
    return ""


def _words(refusal: BadOutline) -> str:
    """A refusal naming the piece and, where one corner is to blame, its line."""
    sentences = {
        "repeated_point": _("“%(name)s”, line %(line)s: the next corner stands in the same place."),
        "crosses": _("“%(name)s”: the outline crosses itself. Enter the corners in the order you walk round."),
        "no_area": _("“%(name)s”: the corners lie on one line, so there is no piece between them."),
        "fold": _("“%(name)s”: a piece on the fold needs one straight edge down its left side, which is the fold."),
        "wider_than_cloth": _("“%(name)s” is wider than any usual cloth once it is unfolded."),
        "count": _("“%(name)s” is cut in pairs, so an even number of times."),
        "name": _("A piece needs a name."),
        "allowance": _("“%(name)s”: the seam allowance is too wide, or the outline has a hollow too narrow for it."),
        "grain": _("“%(name)s”: type the degrees of the grain as a number."),
        "too_few_points": _("“%(name)s”: an outline needs at least three corners."),
        "too_many_points": _("“%(name)s”: the outline has too many corners."),
        "not_a_number": _("“%(name)s”, line %(line)s: type numbers."),
        "too_far": _("“%(name)s”, line %(line)s: this corner lies too far away, or the bow after it stands out too far."),
    }  # fmt: skip
    return sentences[refusal.code] % {"name": refusal.piece, "line": refusal.point}
